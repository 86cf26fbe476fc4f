"""Centre and spread that a chart is judged by: given, or taken from a base and then frozen.

The base is never worked out again when new values come. If it were, the very points that ought to
stand out would widen the limits until nothing does.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from statistics import median

from benchmate.charts.chart import LARGEST_VALUE, ChartError, check_setting, check_values, stretches
from benchmate.charts.constants import MEAN_RANGE, MEDIAN_RANGE
from benchmate.charts.summary import lag_one, mean

FEW = 20
"""Below this many base values the limits themselves are rough (common practice, no source)."""
_LEANING = 2.0
"""Lag-1 autocorrelation beyond this over the root of n is more than chance (about 95 %)."""


@dataclass(frozen=True, slots=True)
class Baseline:
    """The centre and the sigma of a chart, and how they came about.

    `sigma` is zero where every base value is the same. `mean_range` is None where sigma was given.
    """

    centre: float
    sigma: float
    mean_range: float | None
    count: int
    notes: tuple[str, ...]


def moving_ranges(values: Sequence[float], breaks: Collection[int] = ()) -> list[float | None]:
    """The distance of each value from the one before it; None at the first of each stretch."""
    ranges: list[float | None] = [None] * len(values)
    for stretch in stretches(len(values), breaks):
        for at in stretch[1:]:
            ranges[at] = abs(values[at] - values[at - 1])
    return ranges


def robust_sigma(values: Sequence[float], breaks: Collection[int] = ()) -> float:
    """The median moving range over 0.954, which one odd value doesn't widen; where that is nothing,
    the mean one over 1.128. Raises ChartError where that is nothing too."""
    ranges = [r for r in moving_ranges(values, breaks) if r is not None]
    spread = median(ranges) / MEDIAN_RANGE if ranges else 0.0
    spread = spread or (mean(ranges) / MEAN_RANGE if ranges else 0.0)
    if spread == 0.0:
        raise ChartError("These numbers don't vary, or no two of a kind follow each other.")
    return spread


def take_baseline(
    values: Sequence[float],
    *,
    base: int | None = None,
    target: float | None = None,
    sigma: float | None = None,
    breaks: Collection[int] = (),
) -> Baseline:
    """Centre and sigma from the first `base` values (None: all), unless they are given.

    Sigma is the mean moving range over 1.128; no range is taken across a break. Raises ChartError
    for values that can't be charted, a base that is too short or too long, or a sigma that isn't
    above zero.
    """
    check_values(values)
    count = _base_count(len(values), base)
    first = values[:count]
    if target is not None and not abs(target) <= LARGEST_VALUE:
        raise ChartError(f"The target is {target:g}, which can't be charted.")
    centre = mean(first) if target is None else target
    notes = _notes(first, count, base, target=target, sigma=sigma)
    if sigma is not None:
        check_setting("sigma", sigma, 0.0)
        return Baseline(centre, sigma, None, count, notes)
    ranges = [r for r in moving_ranges(first, breaks) if r is not None]
    if not ranges:
        raise ChartError(
            "The spread can't be taken from these values: two in a row, with no break between "
            "them, are needed, or a sigma that is given."
        )
    spread = mean(ranges) / MEAN_RANGE
    if spread == 0.0:
        notes = (*notes, "The base values don't vary, so any other value will be out.")
    return Baseline(centre, spread, mean(ranges), count, notes)


def _base_count(count: int, base: int | None) -> int:
    if base is None:
        return count
    if base < 2:
        raise ChartError(f"The base is {base}; at least two values are needed.")
    if base > count:
        raise ChartError(f"The base is {base}, but there are only {count} values.")
    return base


def _notes(
    first: Sequence[float],
    count: int,
    base: int | None,
    *,
    target: float | None,
    sigma: float | None,
) -> tuple[str, ...]:
    """What a reader must know of the base; nothing where both centre and sigma were given."""
    if target is not None and sigma is not None:
        return ()
    taken = f"all {count} values" if base is None else f"the first {count} values, then frozen"
    parts = [name for name, given in (("centre", target), ("sigma", sigma)) if given is None]
    notes = [f"{' and '.join(parts).capitalize()} from {taken}."]
    if count < FEW:
        notes.append(f"Limits from {count} values are rough; take them as a first guess.")
    lean = lag_one(first)
    if sigma is None and lean is not None and count >= FEW and lean > _LEANING / count**0.5:
        notes.append(
            f"Neighbouring values lean on each other (lag-1 {lean:.2f}), so moving ranges make "
            "the limits too tight."
        )
    return tuple(notes)
