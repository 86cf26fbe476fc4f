"""A void measured before the pour, taken into a job's plan: shown before and after."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.bench.service import Bench
from benchmate.bench.weights.change_data import ChangedAmount, PlanChange
from benchmate.job.deciding import commands as cmd
from benchmate.job.events.stored import AmountChanged
from benchmate.job.state.state import JobState
from benchmate.job.weights.measured_void import by_depth, by_weight, fill_meant, with_void
from benchmate.job.words.event_text import amount_lines
from benchmate.plan.plan import Fill
from benchmate.quantities import QuantityError, Units, parse, show_volume
from benchmate.refusal import Refused

WRITE = 'write it like "A=46 mm" (its depth), "A=98 ml" or "A=98.4 g" (of water)'


def measured(state: JobState, typed: str) -> PlanChange:
    """What a measured void would change; nothing is recorded. Raises Refused."""
    fill, void_ml = _read(state, typed)
    _, amounts = with_void(state, fill, void_ml)
    return _change(state, fill, void_ml, amounts, taken=False)


def take_measured(bench: Bench, state: JobState, typed: str) -> PlanChange:
    """Go on by the measured void. Raises Refused."""
    fill, void_ml = _read(state, typed)
    plan, amounts = with_void(state, fill, void_ml)
    bench.do(state.job, cmd.ChangePlan(plan=plan, amounts=amounts, reason="measured void"))
    return _change(state, fill, void_ml, amounts, taken=True)


def words_of(change: PlanChange, units: Units = "metric") -> tuple[str, ...]:
    """ "A, void of the block: 105.9 ml → 101.5 ml", then each step's amounts."""
    where = f"{change.void} of the {change.part}" if change.void else f"void of the {change.part}"
    before, after = (show_volume(ml, units) for ml in (change.before_ml, change.after_ml))
    amounts = [
        AmountChanged(address=a.address, what=a.what, old=a.old, new=a.new, unit=a.unit)
        for a in change.amounts
    ]
    return (f"{change.piece}, {where}: {before} → {after}", *amount_lines(amounts))


def _read(state: JobState, typed: str) -> tuple[Fill, float]:
    """The void that is meant, and its volume: by depth, volume, or the water that filled it."""
    where, equals, value = typed.partition("=")
    if not equals or not value.strip():
        raise Refused(f"“{typed[:40]}” is no measured void; {WRITE}.")
    piece, _, rest = where.strip().partition("/")
    part, _, void = rest.partition("/")
    fill = fill_meant(state, piece, part, void)
    for kind in ("length", "volume", "mass"):
        try:
            number = parse(kind, value)
        except QuantityError:
            continue
        if number <= 0.0:
            break
        if kind == "length":
            return fill, by_depth(fill, number)
        return fill, number if kind == "volume" else by_weight(number)
    raise Refused(f"“{value.strip()[:40]}” is no depth, volume or weight; {WRITE}.")


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
