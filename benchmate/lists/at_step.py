"""What the reckoners say of a step, from the plan's own sizes: nothing is typed over."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.lists.hand import clamps_at
from benchmate.lists.sizes import finished_size, is_round
from benchmate.plan.found import balance_said
from benchmate.plan.plan import PartPlan, Plan, Step
from benchmate.quantities import Units, show_number
from benchmate.quantities.worded import show_measured
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.joinery.tenon import largest_side_mm, largest_square_mm, tenon_in_round
from benchmate.reckon.joinery.wedge import even_leaf_mm, wedged
from benchmate.reckon.turning.lathe import guide_rpm

_WEDGED = "wedged tenon"
_FITTING = ("fitted", "turned", "shaped")
"""Acts at which a tenon is cut or tried."""
_GLUED_ACTS = ("spread", "closed", "clamped")


def reckoned_at(plan: Plan, step: Step, units: Units = "metric") -> list[str]:
    """Sentences: speeds where something is turned, clamps at a joint, the tenon that a round
    holds, the balance of the finished piece."""
    return [
        *_speeds(plan, step, units),
        *_clamps(plan, step),
        *_tenon(plan, step, units),
        *_balance(plan, step, units),
    ]


def tenons_of(plan: Plan, units: Units = "metric") -> list[str]:
    """What the rounds of the first piece's wedged tenons hold, each sentence once."""
    steps = [s for s in plan.steps if s.block == _WEDGED and s.act in _FITTING]
    return list(dict.fromkeys(text for step in steps for text in _tenon(plan, step, units)))


def _parts(plan: Plan, step: Step) -> list[PartPlan]:
    """The parts of its piece that a step works on."""
    piece = step.piece or (plan.pieces[0].name if plan.pieces else "")
    mine = [p for p in plan.parts if p.piece == piece and p.shape is not None]
    return [p for p in mine if p.name == step.part] if step.part else mine


def _speeds(plan: Plan, step: Step, units: Units) -> Iterator[str]:
    if step.act != "turned":
        return
    for part in _parts(plan, step):
        if part.shape is None or not is_round(part.shape.blank) or part.shape.metal:
            continue
        wide = finished_size(part.shape)[1]
        low, high = guide_rpm(wide)
        yield (
            f"Speed of the {part.name}, {show_measured(wide, 'mm', units)} thick: the turners' "
            f"guide is {show_number(low, 0)} to {show_number(high, 0)} rpm; start well below while "
            "it is square or out of balance, and never above the lathe's limit."
        )


def _clamps(plan: Plan, step: Step) -> Iterator[str]:
    if step.act in _GLUED_ACTS and step.block != _WEDGED:
        note = clamps_at(plan, step)
        if note:
            yield f"Clamps: {note} (common practice; the glue's data sheet comes first)."


def _tenon(plan: Plan, step: Step, units: Units) -> Iterator[str]:
    wedging = step.block == _WEDGED
    if wedging and step.round_mm:
        square, round_ = (
            show_measured(mm, "mm", units)
            for mm in (largest_square_mm(step.round_mm), step.round_mm)
        )
        yield f"The largest square tenon in a round of {round_} is {square}, corners full."
    for part in _parts(plan, step):
        shape = part.shape
        if shape is None or not is_round(shape.blank) or shape.metal:
            continue
        if step.act not in _FITTING or (shape.tenon is None and not wedging):
            continue
        round_mm = _round_at_end(part)
        if shape.tenon is None or len(shape.tenon.size_mm) != 3:
            square = show_measured(largest_square_mm(round_mm), "mm", units)
            yield f"The largest square tenon in the {part.name}'s end is {square}."
            continue
        width, thick, _ = shape.tenon.size_mm
        yield from _of_tenon(part.name, round_mm, (thick, width), units)
        yield from _of_wedges(part, units)


def _round_at_end(part: PartPlan) -> float:
    """The diameter of a turned part where its tenon is cut."""
    shape = part.shape
    assert shape is not None
    profile = shape.blank.profile_mm
    if not profile:
        return finished_size(shape)[1]
    at_other = shape.tenon is not None and shape.tenon.at == "other end"
    return profile[-1][1] if at_other else profile[0][1]


def _of_tenon(name: str, round_mm: float, size: tuple[float, float], units: Units) -> Iterator[str]:
    try:
        tenon = tenon_in_round(round_mm, *size)
    except Refused as error:
        yield f"The tenon of the {name}: {error}."
        return
    needed = show_measured(tenon.smallest_round, "mm", units)
    own = show_measured(round_mm, "mm", units)
    if tenon.corners_full:
        widest = show_measured(largest_side_mm(round_mm, size[0]), "mm", units)
        thick = show_measured(size[0], "mm", units)
        yield (
            f"The tenon needs a round of {needed}; the {name}'s end has {own}: full corners. "
            f"{thick} thick it could be {widest} wide at most."
        )
    else:
        missing = show_measured(tenon.corner_missing or 0.0, "mm", units)
        yield (
            f"The tenon needs a round of {needed}; the {name}'s end has {own}: each corner lacks "
            f"{missing}."
        )


def _of_wedges(part: PartPlan, units: Units) -> Iterator[str]:
    shape = part.shape
    tenon = shape.tenon if shape is not None else None
    if tenon is None or len(tenon.wedge_mm) != 4 or not tenon.kerf_mm or not tenon.kerfs:
        return
    head, _, _, long = tenon.wedge_mm
    try:
        found = wedged(tenon.size_mm[0], tenon.kerf_mm, head, long, tenon.kerfs)
    except Refused as error:
        yield f"The wedges of the {part.name}: {error}."
        return
    leaf = even_leaf_mm(tenon.size_mm[0], tenon.kerf_mm, tenon.kerfs)
    yield (
        f"Wedged, it fills a mortise of {show_measured(found.outer_mortise, 'mm', units)} at its "
        f"outer face: {show_measured(found.spread, 'mm', units)} a side, leaves of "
        f"{show_measured(leaf, 'mm', units)}."
    )


def _balance(plan: Plan, step: Step, units: Units) -> Iterator[str]:
    if step.weigh is None or step.weigh.weighed != "whole":
        return
    found = next((b for b in plan.balances if b.piece == step.piece), None)
    if found is not None:
        yield f"By the plan it {balance_said(found, units)}."
