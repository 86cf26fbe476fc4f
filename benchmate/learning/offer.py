"""What past jobs would change in the next plan, as one list that is offered once.

No nagging: a change is offered only where it is larger than its own noise, is worth acting on, and
rests on more than one job.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchmate.charts.summary import mean
from benchmate.learning.shrink import shrink
from benchmate.learning.values import Observed, PlanValue, show_value, smallest_change
from benchmate.quantities import Units

FEWEST_JOBS = 2
NOISE_FACTOR = 2.0
"""A change must exceed this many standard uncertainties of the learned value (about 95 %)."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A plan value that could change from `old` to `new`, learned from `n` jobs.

    `u` is the standard uncertainty of the new value; `effect` says in one sentence what would be
    different in the plan.
    """

    key: str
    old: float
    new: float
    n: int
    u: float
    effect: str


def offer(
    current: Iterable[PlanValue], records: Sequence[Observed], units: Units = "metric"
) -> list[Offer]:
    """The changes worth offering, in the order of the current values; often none.

    Several records of one job count as one, by their mean: layers of one pour share its shot and
    its hands. All records count anew from the procedure's value, and the outcome is held against
    what is in use. Records without a current value are passed over. Raises ValueError as `shrink`
    does.
    """
    by_key = _job_means(records)
    offers = (_offer_one(value, by_key.get(value.key, []), units) for value in current)
    return [found for found in offers if found is not None]


def _job_means(records: Iterable[Observed]) -> dict[str, list[float]]:
    jobs: dict[tuple[str, str], list[float]] = {}
    for record in records:
        jobs.setdefault((record.key, record.job), []).append(record.value)
    by_key: dict[str, list[float]] = {}
    for (key, _), values in jobs.items():
        by_key.setdefault(key, []).append(mean(values))
    return by_key


def _offer_one(current: PlanValue, seen: Sequence[float], units: Units) -> Offer | None:
    if len(seen) < FEWEST_JOBS:
        return None
    learned = shrink(current.value, current.u, seen, current.within_sd)
    grain = smallest_change(current.measure)
    new = round(round(learned.value / grain) * grain, 9)
    change = abs(new - current.now)
    if change < grain * (1.0 - 1e-9) or change <= NOISE_FACTOR * learned.u:
        return None
    effect = _effect(current, new, units)
    return Offer(current.key, current.now, new, learned.n, learned.u, effect)


def _effect(current: PlanValue, new: float, units: Units) -> str:
    driven = current.driven
    if driven is None or current.value == 0.0:
        name, before, after = current.name, current.now, new
        measure = current.measure
    else:
        name, measure = driven.name, driven.measure
        before, after = (driven.amount * value / current.value for value in (current.now, new))
    return (
        f"{name[:1].upper()}{name[1:]} would be planned as {show_value(after, measure, units)} "
        f"instead of {show_value(before, measure, units)}."
    )
