"""What past jobs would change in the next plan, as one list that is offered once.

No nagging: a change is offered only where it is surely more than luck, is worth acting on, and
rests on more than two jobs. What was only seen together is offered together.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from benchmate.charts.summary import mean
from benchmate.learning.settle import Settled, Told, settle
from benchmate.learning.values import Observed, PlanValue, show_value, smallest_change
from benchmate.learning.weighings import Taught, doubt, is_offered
from benchmate.quantities import Units

FEWEST_JOBS = 3


@dataclass(frozen=True, slots=True)
class Offer:
    """A plan value that could change from `old` to `new`, learned from `n` jobs.

    `u` is the standard uncertainty of the new value; `effect` says in one sentence what would be
    different. `scatter`: how far one more such act may be off, where the weighings tell it. `odd`
    names jobs that were left out as too far from all others, `since` the first job that counts
    where the shop has changed.
    """

    key: str
    old: float
    new: float
    n: int
    u: float
    effect: str
    scatter: float | None = None
    odd: tuple[str, ...] = ()
    since: str = ""


def offer(
    current: Iterable[PlanValue],
    records: Sequence[Observed],
    units: Units = "metric",
    changed: Collection[str] = (),
) -> list[Offer]:
    """The changes worth offering, in the order of the current values; often none.

    Several records of one job count as one, by their mean: layers of one pour share its shot and
    its hands. All records count anew from the procedure's value, and the outcome is held against
    what is in use. Records without a current value are passed over. `changed` is as for `settle`,
    which says what is raised.
    """
    by_key = job_means(records)
    offers = (_offer_one(value, by_key.get(value.key, []), units, changed) for value in current)
    return [made for made in offers if made is not None]


def breaks_of(current: Iterable[PlanValue], records: Sequence[Observed]) -> set[str]:
    """The jobs from which on a value clearly came out otherwise than before."""
    by_key = job_means(records)
    told = [(value, by_key[value.key]) for value in current if value.key in by_key]
    return {since for value, row in told if (since := settle(row, _guess(value)).since)}


def job_means(records: Iterable[Observed]) -> dict[str, list[Told]]:
    """Each key's mean per job, in the order in which the jobs first come."""
    jobs: dict[tuple[str, str], list[float]] = {}
    for record in records:
        jobs.setdefault((record.key, record.job), []).append(record.value)
    by_key: dict[str, list[Told]] = {}
    for (key, job), values in jobs.items():
        by_key.setdefault(key, []).append(Told(job, mean(values)))
    return by_key


def _offer_one(
    current: PlanValue, told: Sequence[Told], units: Units, changed: Collection[str]
) -> Offer | None:
    """The jobs' mean where it is clearly not the value in use: by their own scatter, and by what
    the plan guesses of it."""
    if not told:
        return None
    settled = settle(told, _guess(current), changed)
    if settled.n < FEWEST_JOBS or not is_offered(settled, current.now, _guess(current)):
        return None
    return made_of(current, settled.value, doubt(settled), settled, units)


def _guess(value: PlanValue) -> float:
    """What the plan guesses of the scatter from job to job."""
    return value.within_sd or value.u


def made_of(
    current: PlanValue,
    value: float,
    u: float,
    settled: Settled,
    units: Units,
    scatter: float | None = None,
) -> Offer | None:
    """The offer of a new value, None where nobody would act on so small a change."""
    grain = smallest_change(current.measure)
    new = round(round(value / grain) * grain, 9)
    if abs(new - current.now) < grain * (1.0 - 1e-9):
        return None
    return Offer(
        current.key,
        current.now,
        new,
        settled.n,
        u,
        _effect(current, new, u, units),
        scatter,
        tuple(one.job for one in settled.odd),
        settled.since or "",
    )


def of_weighings(
    current: Iterable[PlanValue], taught: Iterable[Taught], units: Units
) -> list[Offer]:
    """The changes that the weighings teach, together where they were seen together.

    Where one of them would take or add less than nothing, the weighings contradict each other, and
    none of that stretch is offered.
    """
    values = {value.key: value for value in current}
    known = [one for one in taught if one.key in values and one.settled.n >= FEWEST_JOBS]
    below = {one.key for one in known if values[one.key].value > 0.0 > one.value}
    offers = [
        made_of(values[one.key], one.value, one.u, one.settled, units, one.scatter)
        for one in known
        if not below & set(one.together)
    ]
    return [made for made in offers if made is not None]


def _effect(current: PlanValue, new: float, u: float, units: Units) -> str:
    """What would be different: of a weight on each piece, or of an amount that follows."""
    if current.per_piece:
        change = current.per_piece * (new - current.now)
        more = "more" if change > 0.0 else "less"
        doubt = show_value(2.0 * abs(current.per_piece) * u, current.measure, units)
        return f"{show_value(abs(change), current.measure, units)} {more} on each piece, ± {doubt}."
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
