"""The card that goes with a finished piece, and the family of all pieces that were made."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from benchmate.papers.drawing.section import section
from benchmate.papers.report import off_target
from benchmate.papers.sheet import (
    Block,
    Column,
    Heading,
    Paragraph,
    Photo,
    Sheet,
    Table,
)
from benchmate.plan.plan import PartPlan
from benchmate.quantities import Units

CARE = (
    "Keep it dry and out of the sun. Wipe it with a soft cloth. It is heavier than it looks: "
    "carry it with both hands, and set it down before you let go."
)


@dataclass(frozen=True)
class Piece:
    """A finished piece. Weights in g; None where nobody weighed it."""

    job: str
    name: str
    date: str
    final_g: float | None
    target_g: float | None
    parts: Sequence[PartPlan]
    inside: str
    """What fills it: "steel 2 mm in slow casting epoxy"."""
    finish: str
    code: str
    photo: Photo | None = None

    @property
    def woods(self) -> str:
        """Its woods, each once."""
        return ", ".join(dict.fromkeys(part.wood for part in self.parts if part.wood))


def handover_of(
    pieces: Sequence[Piece], maker: str, mass: Callable[[float], str], units: Units
) -> Sheet:
    """One card a piece: weight, woods, what is inside, where not to drill, care, who made it."""
    blocks: list[Block] = []
    for piece in pieces:
        weighs = mass(piece.final_g) if piece.final_g is not None else "not weighed"
        blocks.append(Heading(f"{piece.name}, {weighs}"))
        blocks.append(Paragraph(f"{piece.woods}. {piece.finish}".strip(), strong=True))
        drawn = section(piece.parts, units)
        if drawn is not None:
            blocks.append(drawn)
        if piece.inside:
            blocks.append(
                Paragraph(
                    f"Inside: {piece.inside}. Don't drill, saw or screw into the hatched place: "
                    "metal shot ruins the tool and can throw sparks."
                )
            )
        blocks.append(Paragraph(f"Care: {CARE}"))
        blocks += [piece.photo] if piece.photo else []
        blocks.append(Paragraph(f"Made by {maker or '______________'}, {piece.date}. {piece.code}"))
    return Sheet("handover", "About this piece", "Goes with it", blocks)


def family_of(pieces: Sequence[Piece], mass: Callable[[float], str]) -> Sheet:
    """All finished pieces side by side."""
    columns = (
        Column("piece", width=2.0),
        Column("job", width=2.0),
        Column("finished"),
        Column("wood", width=2.0),
        Column("planned", "number"),
        Column("weighs", "number"),
        Column("off", "number"),
    )
    rows = tuple(
        (
            piece.name,
            piece.job,
            piece.date,
            piece.woods,
            "" if piece.target_g is None else mass(piece.target_g),
            "" if piece.final_g is None else mass(piece.final_g),
            _off(piece, mass),
        )
        for piece in pieces
    )
    blocks: list[Block] = [Table("Finished pieces, oldest first", columns, rows, "family")]
    for piece in pieces:
        if piece.photo is not None:
            blocks += [Heading(f"{piece.name}, {piece.job}", 3), piece.photo]
    title = f"{len(pieces)} finished {'piece' if len(pieces) == 1 else 'pieces'}"
    return Sheet("family", "The family of pieces", title, blocks)


def _off(piece: Piece, mass: Callable[[float], str]) -> str:
    if piece.final_g is None or piece.target_g is None:
        return ""
    return off_target(piece.final_g - piece.target_g, mass)
