"""A void measured before the pour: the room and the amounts of all its layers follow.

Layers share what is left above the cap as before, so each keeps its part of the new room; the cap
keeps its thickness and its grams. A cup that serves the void is mixed as much larger.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot, pi
from typing import NamedTuple

import msgspec

from benchmate.job.events.stored import AmountChanged
from benchmate.job.state.state import JobState
from benchmate.plan.plan import Amount, Fill, Mix, Plan, Step
from benchmate.plan.shapes import Hollow
from benchmate.quantities.worded import Worded, millilitres
from benchmate.refusal import Refused

MOST_OFF = 0.5
"""A void that is half as large again as drawn, or half of it, is rather a slip of the pencil."""
MEASURED_U = 0.005
"""Relative doubt of a volume filled with water or fine shot and weighed: common practice."""


def fill_meant(job: JobState, piece: str, part: str = "", void: str = "") -> Fill:
    """The void of a piece that is meant; raises Refused where none or several can be."""
    plan = job.plan
    fills = [
        f
        for f in (plan.fills if plan is not None else ())
        if f.piece == piece and part in ("", f.part) and void in ("", f.void)
    ]
    if not fills:
        raise Refused(f"There is no such void in piece {piece}.")
    if len(fills) > 1:
        names = ", ".join(f.where for f in fills)
        raise Refused(f"Piece {piece} has several voids: {names}. Say which.")
    return fills[0]


class Measured(NamedTuple):
    """A void's volume as measured, and its doubt as a share of it."""

    ml: float
    u_share: float = MEASURED_U


def by_depth(fill: Fill, depth_mm: float) -> Measured:
    """The volume of a void with straight walls that is so deep, in ml; raises Refused."""
    if not fill.deep_mm:
        raise Refused("The plan knows no depth of that void; fill it with water and weigh that.")
    return Measured(fill.void_ml * depth_mm / fill.deep_mm)


def by_width(plan: Plan, fill: Fill, width_mm: float) -> Measured:
    """The volume of a void with straight walls that is so wide, its length and depth as drawn.

    What stands in it while it is poured stays what it is. Geometry: a slot's mouth is its box less
    (4 - π) r² for its round ends. Raises Refused where its shape has no one width.
    """
    shape = next(
        (p.shape for p in plan.parts if (p.piece, p.name) == (fill.piece, fill.part)), None
    )
    hollows = shape.hollows if shape is not None else ()
    drawn = next((h for h in hollows if h.purpose == "void" and h.name == fill.void), None)
    if drawn is None or drawn.kind not in ("slot", "block", "cylinder", "bore") or drawn.steps_mm:
        raise Refused(
            "The plan knows no one width of that void; fill it with water and weigh that."
        )
    old_mm2, new_mm2 = _mouth_mm2(drawn), _mouth_mm2(drawn, width_mm)
    return Measured(fill.void_ml + (new_mm2 - old_mm2) * drawn.size_mm[-1] / 1000.0)


def _mouth_mm2(drawn: Hollow, width_mm: float | None = None) -> float:
    """The mouth as drawn, or of another width (a round one's diameter)."""
    round_ = drawn.kind in ("cylinder", "bore")
    wide = width_mm or drawn.size_mm[0 if round_ else 1]
    if round_:
        return pi * wide**2 / 4.0
    long = drawn.size_mm[0]
    corner = 0.0 if drawn.kind == "block" else drawn.corner_mm or min(long, wide) / 2.0
    return long * wide - (4.0 - pi) * corner**2


def by_weight(grams: float, g_per_ml: float = 1.0) -> Measured:
    """The volume of what filled it to the brim: water, or fine shot by its bulk density."""
    return Measured(grams / g_per_ml)


def by_own_shot(fill: Fill, grams: float) -> Measured:
    """The volume that the plan's own shot filled to the brim, by the packing it is planned with."""
    doubt = hypot(MEASURED_U, fill.packing_u / fill.packing)
    return Measured(grams / (fill.packing * fill.shot_density_g_cm3), doubt)


def with_void(
    job: JobState, fill: Fill, measure: Measured
) -> tuple[Plan, tuple[AmountChanged, ...]]:
    """The plan with that void as measured, and each amount that differs, old and new.

    Raises Refused where something was poured into it already, or the measure can't be meant.
    """
    plan = job.plan
    assert plan is not None, "a fill is part of a plan"
    if any(layer.address in job.done for layer in fill.layers):
        raise Refused("Something was poured into that void already; measure it before the pour.")
    void_ml = measure.ml
    if not abs(void_ml - fill.void_ml) <= MOST_OFF * fill.void_ml:
        raise Refused(
            Worded(
                "A void of {new} where {old} was drawn is rather a slip; measure it again.",
                new=millilitres(void_ml),
                old=millilitres(fill.void_ml),
            )
        )
    cap_ml = fill.cap_g / fill.resin_density_g_cm3
    factor = (void_ml - cap_ml) / (fill.void_ml - cap_ml)
    poured = {layer.address: factor for layer in fill.layers}
    mixed = {m.address: _cup_factor(m, plan, poured) for m in plan.mixes}
    mixed = {address: share for address, share in mixed.items() if share != 1.0}
    steps = tuple(_step(step, poured, mixed) for step in plan.steps)
    changed = tuple(
        AmountChanged(address=old.address, what=a.what, old=a.amount, new=b.amount, unit=a.unit)
        for old, new in zip(plan.steps, steps, strict=True)
        for a, b in zip(old.amounts, new.amounts, strict=True)
        if abs(a.amount - b.amount) >= 0.05
    )
    fills = tuple(_fill(f, factor, measure) if f is fill else f for f in plan.fills)
    mixes = tuple(_mix(m, mixed.get(m.address, 1.0)) for m in plan.mixes)
    return msgspec.structs.replace(plan, fills=fills, steps=steps, mixes=mixes), changed


def _fill(fill: Fill, factor: float, measure: Measured) -> Fill:
    layers = tuple(
        msgspec.structs.replace(
            la,
            void_ml=la.void_ml * factor,
            shot_g=la.shot_g * factor,
            resin_g=la.resin_g * factor,
        )
        for la in fill.layers
    )
    deep = None if fill.deep_mm is None else fill.deep_mm * measure.ml / fill.void_ml
    return msgspec.structs.replace(
        fill,
        layers=layers,
        void_ml=measure.ml,
        void_u_ml=measure.u_share * measure.ml,
        deep_mm=deep,
    )


def _cup_factor(mix: Mix, plan: Plan, poured: Mapping[str, float]) -> float:
    """By how much a cup grows: by what its pours take of it."""
    takes = {
        s.address: sum(a.amount for a in s.amounts if a.what.startswith("resin"))
        for s in plan.steps
        if s.address in mix.serves
    }
    before = sum(takes.values())
    after = sum(g * poured.get(address, 1.0) for address, g in takes.items())
    return after / before if before else 1.0


def _mix(mix: Mix, factor: float) -> Mix:
    return msgspec.structs.replace(
        mix, total_g=mix.total_g * factor, a_g=mix.a_g * factor, b_g=mix.b_g * factor
    )


def _step(step: Step, poured: Mapping[str, float], mixed: Mapping[str, float]) -> Step:
    factor = poured.get(step.address) or mixed.get(step.address)
    if factor is None:
        return step
    amounts = tuple(_amount(a, factor) for a in step.amounts)
    weigh = step.weigh
    if weigh is not None and weigh.plan_g is not None and step.address in poured:
        weigh = msgspec.structs.replace(weigh, plan_g=weigh.plan_g * factor)
    return msgspec.structs.replace(step, amounts=amounts, weigh=weigh)


def _amount(amount: Amount, factor: float) -> Amount:
    return msgspec.structs.replace(amount, amount=amount.amount * factor)
