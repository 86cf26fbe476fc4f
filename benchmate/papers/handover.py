"""The card that goes with a finished piece, and the family of all pieces that were made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from benchmate.papers.codes import rows_of_qr, shown
from benchmate.papers.drawing.section import section
from benchmate.papers.drawing.svg import Picture
from benchmate.papers.figures import Figures
from benchmate.papers.report import off_target
from benchmate.papers.sheet import (
    Block,
    Card,
    Drawing,
    PaperSheet,
    Photo,
    SheetHeading,
    pieces_of,
    table,
)
from benchmate.plan.plan import PartPlan
from benchmate.refusal import Refused

CARE = (
    "Keep it dry and out of the sun. Wipe it with a soft cloth. It is heavier than it looks: "
    "carry it with both hands, and set it down before you let go."
)
DONT = (
    "Don't drill, saw or screw into the hatched place: metal shot ruins the tool and can throw "
    "sparks."
)
QR_MM = 12.6


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


def handover_of(pieces: Sequence[Piece], maker: str, figures: Figures) -> PaperSheet:
    """One card a piece: weight, woods, what is inside, where not to drill, care, who made it."""
    cards = [_card(piece, maker, figures) for piece in pieces]
    return PaperSheet(
        "handover", "About this piece", "Cut along the dashes; it goes with it.", cards
    )


def _card(piece: Piece, maker: str, figures: Figures) -> Card:
    inside = f"{piece.inside[:1].upper()}{piece.inside[1:]}. {DONT}"
    return Card(
        title=piece.name,
        aside="not weighed" if piece.final_g is None else figures.mass(piece.final_g),
        under=f"{piece.woods}. {piece.finish}".strip(". ") + ".",
        says=(*([("Inside", inside)] if piece.inside else []), ("Care", CARE)),
        signed=f"Made by {maker or '_' * 22}, {piece.date or '_' * 12}",
        code=shown(piece.code),
        qr=_qr(piece.code),
        drawing=section(piece.parts, figures),
        photo=piece.photo,
    )


def _qr(code: str) -> Drawing | None:
    """The code as a picture; None where it can't be made: the letters alone do."""
    picture = Picture(QR_MM, QR_MM)
    try:
        picture.modules(rows_of_qr(code), (0.0, 0.0), QR_MM)
    except Refused:
        return None
    return picture.drawn(f"Code {shown(code)}")


def family_of(pieces: Sequence[Piece], figures: Figures) -> PaperSheet:
    """All finished pieces side by side."""
    rows = [
        (
            piece.name,
            piece.job,
            piece.date,
            piece.woods,
            figures.bare(piece.target_g),
            figures.bare(piece.final_g),
            off_target(piece.final_g, piece.target_g, figures),
        )
        for piece in pieces
    ]
    heads = (
        "piece*2 | job*2 | finished*1.2 | wood*2 "
        f"| planned, {figures.unit} > | weighs, {figures.unit} > | off, {figures.unit} >"
    )
    blocks: list[Block] = [table("Finished pieces, oldest first", heads, rows, "family")]
    for piece in pieces:
        if piece.photo is not None:
            blocks += [SheetHeading(f"{piece.name}, {piece.job}", 3), piece.photo]
    return PaperSheet(
        "family", "The family of pieces", f"{pieces_of(len(pieces))} finished", blocks
    )
