"""A void measured before the pour, taken into a job's plan: shown before and after."""

from __future__ import annotations

import re
from collections.abc import Sequence

from benchmate.bench.service import Bench
from benchmate.bench.weights.change_data import ChangedAmount, PlanChange
from benchmate.job.deciding import commands as cmd
from benchmate.job.events.stored import AmountChanged
from benchmate.job.state.state import JobState
from benchmate.job.weights.measured_void import (
    Measured,
    by_depth,
    by_own_shot,
    by_weight,
    by_width,
    fill_meant,
    with_void,
)
from benchmate.job.words.event_text import amount_lines
from benchmate.plan.plan import Fill, Plan
from benchmate.quantities import QuantityError, Units, parse, show_volume
from benchmate.refusal import Refused

WRITE = (
    'write it like "A=46 mm" (its depth), "A=31 mm wide", "A=98 ml", "A=98.4 g" (of water) or '
    '"A=460 g shot"'
)
_LENGTH = re.compile(r"(.+?)(?:\s+(deep|wide))?", re.S)
_MASS = re.compile(r"(.+?)(?:\s+(water|(?:of )?shot)(?:\s+at\s+(.+))?)?", re.S)


def measured(state: JobState, typed: str) -> PlanChange:
    """What a measured void would change; nothing is recorded. Raises Refused."""
    fill, measure = _read(state, typed)
    _, amounts = with_void(state, fill, measure)
    return _change(state, fill, measure.ml, amounts, taken=False)


def take_measured(bench: Bench, state: JobState, typed: str) -> PlanChange:
    """Go on by the measured void. Raises Refused."""
    fill, measure = _read(state, typed)
    plan, amounts = with_void(state, fill, measure)
    bench.do(state.job, cmd.ChangePlan(plan=plan, amounts=amounts, reason="measured void"))
    return _change(state, fill, measure.ml, amounts, taken=True)


def words_of(change: PlanChange, units: Units = "metric") -> tuple[str, ...]:
    """ "A, void of the block: 105.9 ml → 101.5 ml", then each step's amounts."""
    where = f"{change.void} of the {change.part}" if change.void else f"void of the {change.part}"
    before, after = (show_volume(ml, units) for ml in (change.before_ml, change.after_ml))
    amounts = [
        AmountChanged(address=a.address, what=a.what, old=a.old, new=a.new, unit=a.unit)
        for a in change.amounts
    ]
    return (f"{change.piece}, {where}: {before} → {after}", *amount_lines(amounts))


def _read(state: JobState, typed: str) -> tuple[Fill, Measured]:
    """The void that is meant, and its volume: by depth, width or both, by volume, or by the water
    or shot that filled it."""
    where, equals, value = typed.partition("=")
    if not equals or not value.strip():
        raise Refused(f"“{typed[:40]}” is no measured void; {WRITE}.")
    piece, _, rest = where.strip().partition("/")
    part, _, void = rest.partition("/")
    fill, plan = fill_meant(state, piece, part, void), state.plan
    assert plan is not None, "a fill is part of a plan"
    for read in (_by_lengths, _by_volume, _by_mass):
        try:
            return fill, read(plan, fill, value.strip())
        except QuantityError:
            continue
    raise Refused(f"“{value.strip()[:40]}” is no depth, width, volume or weight; {WRITE}.")


def _by_lengths(plan: Plan, fill: Fill, value: str) -> Measured:
    share, ml = 1.0, fill.void_ml
    for text in value.split(","):
        number, way = _split(_LENGTH, text)[:2]
        mm = _above_zero("length", number)
        if way == "wide":
            ml = by_width(plan, fill, mm).ml
        else:
            share = by_depth(fill, mm).ml / fill.void_ml
    return Measured(ml * share)


def _by_volume(plan: Plan, fill: Fill, value: str) -> Measured:
    del plan, fill
    return Measured(_above_zero("volume", value))


def _by_mass(plan: Plan, fill: Fill, value: str) -> Measured:
    del plan
    number, what, bulk = _split(_MASS, value)
    grams = _above_zero("mass", number)
    if what.endswith("shot") and not bulk:
        return by_own_shot(fill, grams)
    return by_weight(grams, _above_zero("density", bulk) if bulk else 1.0)


def _split(pattern: re.Pattern[str], text: str) -> tuple[str, ...]:
    found = pattern.fullmatch(text.strip())
    return tuple(group or "" for group in found.groups()) if found else (text, "", "")


def _above_zero(kind: str, text: str) -> float:
    number = parse(kind, text)
    if number <= 0.0:
        raise QuantityError("a void holds more than nothing")
    return number


def _change(
    state: JobState,
    fill: Fill,
    void_ml: float,
    amounts: Sequence[AmountChanged],
    *,
    taken: bool,
) -> PlanChange:
    return PlanChange(
        job=state.job,
        reason="measured void",
        piece=fill.piece,
        part=fill.part,
        void=fill.void,
        before_ml=fill.void_ml,
        after_ml=void_ml,
        amounts=tuple(
            ChangedAmount(address=a.address, what=a.what, old=a.old, new=a.new, unit=a.unit)
            for a in amounts
        ),
        taken=taken,
    )
