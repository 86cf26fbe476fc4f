"""Which templates a plan calls for, each at full size."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from benchmate.papers.drawing.flat import face, face_of, taper, tenon_on_round
from benchmate.papers.drawing.pages import Template
from benchmate.papers.drawing.turned import half_profile, profile_of, station_rows
from benchmate.papers.figures import Figures
from benchmate.plan.plan import PartPlan, Plan
from benchmate.plan.shapes import NO_SHAPES, Hollow, PartShape
from benchmate.refusal import Refused

_MARKED_OUT = ("void", "recess", "mortise")


def templates_of(plan: Plan, figures: Figures) -> list[Template]:
    """All of the first piece's; alike parts share one. Raises Refused without shapes, or where the
    plan has nothing that is cut or turned to a template."""
    if not plan.knows_shapes:
        raise Refused(f"{NO_SHAPES[:1].upper()}{NO_SHAPES[1:]}.")
    pieces = [piece.name for piece in plan.pieces]
    first = pieces[0] if pieces else ""
    made: dict[str, Template] = {}
    for part in plan.parts:
        if part.piece == first and part.shape is not None:
            for one in _of_part(part, part.shape, pieces, figures):
                made.setdefault(one.title, one)
    for built in (b for b in plan.built if b.piece == first):
        for one in _spacers(built.hollows, built.name, figures):
            made.setdefault(one.title, one)
    if not made:
        raise Refused("This plan has no turned profile, pocket, tenon or spacer to draw.")
    return list(made.values())


def _of_part(
    part: PartPlan, shape: PartShape, pieces: list[str], figures: Figures
) -> Iterator[Template]:
    called = shape.alike or part.name
    profile = profile_of(shape)
    if len(profile) > 2:
        yield Template(
            f"profile-{called}",
            f"Profile of the {called}",
            f"{part.wood}, {figures.length(profile[-1][0])} long. Saw to the line, keep the line. "
            "Hatched: steel; dotted: least wall; dashed: bores.",
            half_profile(shape),
            tuple(station_rows(profile, figures)),
            "mm" if figures.units == "metric" else "in",
        )
    for side, several in groupby(sorted(shape.hollows, key=_side), _side):
        hollows = list(several)
        marked = any(h.purpose in _MARKED_OUT for h in hollows)
        if marked and face_of(shape, hollows[0].side) != (0.0, 0.0):
            opens = hollows[0].opens_on
            of = f", “{opens}”" if opens not in ("", side) else ""
            yield Template(
                f"face-{called}-{side}",
                f"{side[:1].upper()}{side[1:]} of the {called}{of}",
                "As you look at it. Crosses: centres of the cutter. Dotted: least wall. "
                "Dashed: edge of the face.",
                face(shape, hollows[0].side, hollows, pieces[:6], figures),
            )
    yield from _spacers(shape.hollows, called, figures)
    if shape.tenon is not None:
        round_mm = profile[0][1] if profile else min(shape.blank.size_mm[1:3] or (0.0,))
        if shape.tenon.at == "other end" and profile:
            round_mm = profile[-1][1]
        yield Template(
            f"tenon-{called}",
            f"Tenon of the {called}",
            "Dashed: the round it is cut on. Kerfs and relief holes as drawn.",
            tenon_on_round(round_mm, shape.tenon, figures),
        )


def _side(hollow: Hollow) -> str:
    return hollow.side


def _spacers(hollows: Iterable[Hollow], called: str, figures: Figures) -> Iterator[Template]:
    for hollow in hollows:
        where = hollow.name or hollow.purpose
        for core in hollow.cores:
            if core.kind == "taper":
                yield Template(
                    f"spacer-{called}-{where}",
                    f"Spacer for the {where} of the {called}",
                    "Its outside: take tape and clearance off (see what to make first). Halves "
                    "part at the middle line.",
                    taper(core, figures),
                )
