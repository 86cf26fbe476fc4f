"""Which templates a plan calls for, each at full size."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.papers.drawing.flat import face_of, pocket, taper, tenon_on_round
from benchmate.papers.drawing.pages import Template
from benchmate.papers.drawing.turned import half_profile, profile_of, station_rows
from benchmate.plan.plan import PartPlan, Plan
from benchmate.plan.shapes import NO_SHAPES, Hollow, PartShape
from benchmate.quantities import Units, show_length
from benchmate.refusal import Refused


def templates_of(plan: Plan, units: Units = "metric") -> list[Template]:
    """All of the first piece's; alike parts share one. Raises Refused without shapes, or where the
    plan has nothing that is cut or turned to a template."""
    if not plan.knows_shapes:
        raise Refused(f"{NO_SHAPES[:1].upper()}{NO_SHAPES[1:]}.")
    first = plan.pieces[0].name if plan.pieces else ""
    made: dict[str, Template] = {}
    for part in (p for p in plan.parts if p.piece == first and p.shape is not None):
        for template in _of_part(part, units):
            made.setdefault(template.title, template)
    for built in (b for b in plan.built if b.piece == first):
        for hollow in built.hollows:
            for template in _spacers(hollow, built.name, units):
                made.setdefault(template.title, template)
    if not made:
        raise Refused("This plan has no turned profile, pocket, tenon or spacer to draw.")
    return list(made.values())


def _of_part(part: PartPlan, units: Units) -> Iterator[Template]:
    shape = part.shape
    assert shape is not None
    called = shape.alike or part.name
    profile = profile_of(shape)
    if len(profile) > 2:
        size = f"{show_length(profile[-1][0], units)} long"
        yield Template(
            f"profile-{called}",
            f"Profile of the {called}",
            f"{part.wood}, {size}. Cut along the line. Hatched: steel; dotted: least wall.",
            half_profile(shape, units),
            tuple(station_rows(profile, units)),
        )
    for hollow in shape.hollows:
        if hollow.purpose in ("void", "recess", "mortise") and _is_drawn(shape, hollow):
            name = hollow.name or hollow.purpose
            yield Template(
                f"pocket-{called}-{name}",
                f"{name[:1].upper()}{name[1:]} of the {called}",
                "Crosses: centres of the cutter. Dotted: least wall. Dashed: edge of the face.",
                pocket(shape, hollow, units),
            )
        yield from _spacers(hollow, called, units)
    if shape.tenon is not None:
        round_mm = profile[0][1] if profile else min(shape.blank.size_mm[1:3] or (0.0,))
        if shape.tenon.at == "other end" and profile:
            round_mm = profile[-1][1]
        yield Template(
            f"tenon-{called}",
            f"Tenon of the {called}",
            f"On a round of {show_length(round_mm, units)}; kerfs and relief holes as drawn.",
            tenon_on_round(round_mm, shape.tenon, units),
        )


def _is_drawn(shape: PartShape, hollow: Hollow) -> bool:
    return hollow.kind in ("slot", "block") and face_of(shape, hollow) != (0.0, 0.0)


def _spacers(hollow: Hollow, called: str, units: Units) -> Iterator[Template]:
    for core in hollow.cores:
        if core.kind == "taper":
            where = hollow.name or hollow.purpose
            yield Template(
                f"spacer-{called}-{where}",
                f"Spacer for the {where} of the {called}",
                "The mortise's own size: take tape and clearance off (see what to make first).",
                taper(core, units),
            )
