"""What a row of jobs says of one number: a robust mean with its interval, the odd jobs, the break.

One slip must neither bend what is learned nor silence it, and jobs from before the shop changed
must not speak for the shop as it is. So odd jobs are set apart by name, and where the last jobs
have clearly moved away from those before, only they count.

Sources: Student's interval for a mean; odd ones by their distance from the median in scaled median
absolute deviations (Hampel's identifier); the break by a pooled two-sample t over every split. How
often the intervals hold is counted in the tests, not assumed.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import hypot, inf, sqrt
from statistics import median

from benchmate.charts.chart import LARGEST_VALUE
from benchmate.charts.summary import mean, squares_about_mean
from benchmate.reckon.weight.student import student_quantile

SURE = 0.95
CLEARLY = 0.999
"""How sure a split must be before it passes for a break: there are many splits to try."""
FEW_SPLITS = 7
"""Splits that CLEARLY is meant for; of more, each is asked for so much more."""
ALSO = 0.9
"""How sure, where it is known that something changed with that job: there is one split to try."""
FEWEST = 2
"""Jobs after a break, and jobs below which nothing is said of a spread."""
MAD_TO_SD = 1.4826
_ODD_FROM = 3
_ODD_WITHIN = {3: 90.0, 4: 22.0, 5: 16.0, 6: 11.0, 7: 10.0}
"""Scaled deviations beyond which a value is odd, by how many values there are: of three, two that
happen to agree make any third look far. From eight on it is `_ODD_AMONG_MANY`."""
_ODD_AMONG_MANY = 7.0


@dataclass(frozen=True, slots=True)
class Told:
    """What one job says: the mean over its pieces, layers or coats."""

    job: str
    value: float


@dataclass(frozen=True, slots=True)
class Settled:
    """The mean over the jobs that count, and what is known of it.

    `spread` is the standard deviation from one job to the next, None for a single job; `low` and
    `high` bound the 95 % interval of the mean, None without a spread. `odd` are the jobs set apart,
    `since` the first job after the last break.
    """

    value: float
    n: int
    spread: float | None
    low: float | None
    high: float | None
    odd: tuple[Told, ...] = ()
    since: str | None = None

    @property
    def u(self) -> float | None:
        """Standard uncertainty of the mean; None for a single job."""
        return None if self.spread is None else self.spread / sqrt(self.n)


def settle(told: Sequence[Told], floor: float = 0.0, changed: Collection[str] = ()) -> Settled:
    """What the jobs say, oldest first. `floor` is a deviation that is never odd: what the scale and
    the plan's own scatter explain. Where something else in the shop changed, with one of the jobs
    `changed`, less is asked before this passes for changed too. Raises ValueError for no jobs or a
    value that isn't finite.
    """
    if not all(abs(one.value) <= LARGEST_VALUE for one in told):
        raise ValueError("Nothing can be learned from a number that isn't finite.")
    kept, odd = _without_odd(told, floor)
    values = [one.value for one in kept]
    recent = _after_break(values)
    for at, one in enumerate(kept):
        if at > recent and one.job in changed and _is_clear(values[recent:], at - recent, ALSO):
            recent = at
    counted = kept[recent:]
    values = [one.value for one in counted]
    middle, n = mean(values), len(values)
    odd = tuple(one for one in odd if told.index(one) >= told.index(counted[0]))
    if n < FEWEST:
        return Settled(middle, n, None, None, None, odd)
    spread = sqrt(squares_about_mean(values) / (n - 1))
    reach = student_quantile((1.0 + SURE) / 2.0, n - 1) * spread / sqrt(n)
    since = counted[0].job if recent else None
    return Settled(middle, n, spread, middle - reach, middle + reach, odd, since)


def _without_odd(told: Sequence[Told], floor: float) -> tuple[list[Told], tuple[Told, ...]]:
    """The jobs that belong together, and those far from all the others.

    Two or more far ones on one side, at the end, are no slips but a change: they stay.
    """
    if len(told) < _ODD_FROM:
        return list(told), ()
    middle = median(one.value for one in told)
    scaled = MAD_TO_SD * median(abs(one.value - middle) for one in told)
    limit = _ODD_WITHIN.get(len(told), _ODD_AMONG_MANY) * hypot(scaled, floor)
    odd = tuple(one for one in told if abs(one.value - middle) > limit)
    if limit == 0.0 or _is_change(told, odd, middle):
        return list(told), ()
    return [one for one in told if one not in odd], odd


def _is_change(told: Sequence[Told], odd: Sequence[Told], middle: float) -> bool:
    last = told[-len(odd) :] if odd else ()
    one_side = len({one.value > middle for one in odd}) == 1
    return len(odd) >= FEWEST and one_side and list(last) == list(odd)


def _after_break(values: Sequence[float]) -> int:
    """Where the row begins that speaks of the shop as it is: 0, or just after the last break."""
    n = len(values)
    splits = range(FEWEST, n - FEWEST + 1) if n > 2 * FEWEST else ()
    at = max(splits, key=lambda split: _errors_apart(values, split), default=0)
    sure = 1.0 - (1.0 - CLEARLY) * min(1.0, FEW_SPLITS / max(1, len(splits)))
    return at + _after_break(values[at:]) if at and _is_clear(values, at, sure) else 0


def _is_clear(values: Sequence[float], split: int, sure: float) -> bool:
    """Whether the values after a split surely lie elsewhere than those before."""
    dof = len(values) - 2
    return dof > 0 and _errors_apart(values, split) > student_quantile((1.0 + sure) / 2.0, dof)


def _errors_apart(values: Sequence[float], split: int) -> float:
    """How far apart the means before and after a split are, in standard errors (pooled)."""
    before, after = values[:split], values[split:]
    dof = len(values) - 2
    if dof < 1 or not before or not after:
        return 0.0
    pooled = (squares_about_mean(before) + squares_about_mean(after)) / dof
    error = sqrt(pooled * (1.0 / len(before) + 1.0 / len(after)))
    apart = abs(mean(after) - mean(before))
    if error == 0.0:
        return inf if apart > 0.0 else 0.0
    return apart / error
