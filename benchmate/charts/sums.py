"""Tabular CUSUM: deviations from target added up, so that a small lasting shift can't hide.

Source: C+ = max(0, C+ + x - (target + K)), C- = max(0, C- + (target - K) - x), a signal when
either is above H, and the shift begun after the last zero; checked against the NIST/SEMATECH
e-Handbook of Statistical Methods, 6.3.2.3, and a textbook case.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from benchmate.charts.alarm import of_cumulative_sums
from benchmate.charts.baseline import Baseline, take_baseline
from benchmate.charts.chart import (
    LARGEST_VALUE,
    Chart,
    ChartError,
    Point,
    Signal,
    check_setting,
)

K_SIGMAS = 0.5
"""Half of the shift that is to be found soonest: one sigma."""
H_SIGMAS = 5.0
"""With K of half a sigma, a false alarm about once in 465 points and a shift of one sigma found
after about ten; see `run_length`."""
_DUST = 1e-12
"""Share of the values' size below which a sum is rounding and counts as zero."""


class _Sum(NamedTuple):
    """One cumulative sum at a point, and the index (from 1) where its present climb began."""

    height: float
    since: int


def cusum(
    values: Sequence[float],
    *,
    base: int | None = None,
    target: float | None = None,
    sigma: float | None = None,
    k: float | None = None,
    h: float | None = None,
) -> Chart:
    """The chart of both cumulative sums, which no signal begins again.

    `k` and `h` are in sigmas when `sigma` is given, and in the values' own units when it isn't, as
    handbooks print them; left out, they are 0.5 and 5 sigmas. H itself is not a signal. Limits are
    -H and H; the statistic is the sum farther from zero, the lower one as a negative number.
    Raises ChartError for a setting out of range, or values that don't vary.
    """
    found = take_baseline(values, base=base, target=target, sigma=sigma)
    slack, reach = _decision(found, k, h, in_sigmas=sigma is not None)
    dust = _DUST * max(max(map(abs, values)), abs(found.centre), reach)
    off = [value - found.centre for value in values]
    points: list[Point] = []
    signals: list[Signal] = []
    uppers = _climb(off, slack, dust, sign=1.0)
    lowers = _climb(off, slack, dust, sign=-1.0)
    for at, (upper, lower) in enumerate(zip(uppers, lowers, strict=True)):
        farther = upper.height if upper.height >= lower.height else -lower.height
        sums = (upper.height, lower.height)
        points.append(Point(at + 1, values[at], farther, -reach, reach, sums))
        if max(sums) > reach + dust:
            signals.extend(_signals(at + 1, upper, lower, reach + dust))
    return Chart(
        kind="cusum",
        centre=0.0,
        lower=-reach,
        upper=reach,
        points=tuple(points),
        signals=tuple(signals),
        notes=found.notes,
        parameters={
            "target": found.centre,
            "sigma": found.sigma,
            "k": slack,
            "h": reach,
            "base": found.count,
        },
        alarm=of_cumulative_sums(slack / found.sigma, reach / found.sigma) if found.sigma else None,
    )


def _decision(
    found: Baseline, k: float | None, h: float | None, *, in_sigmas: bool
) -> tuple[float, float]:
    """K and H in the values' own units."""
    if found.sigma == 0.0 and (k is None or h is None):
        raise ChartError(
            "The base values don't vary, so there is no spread to judge by; "
            "give a sigma, or k and h."
        )
    unit = found.sigma if in_sigmas else 1.0
    slack = K_SIGMAS * found.sigma if k is None else k * unit
    reach = H_SIGMAS * found.sigma if h is None else h * unit
    if not 0.0 <= slack <= LARGEST_VALUE:
        raise ChartError(f"The slack k is {slack:g}; it must be zero or above.")
    check_setting("decision limit h", reach, 0.0)
    return slack, reach


def _climb(off: Sequence[float], slack: float, dust: float, *, sign: float) -> Iterator[_Sum]:
    """The sum of one side, point by point, from zero."""
    height, since = 0.0, 1
    for at, value in enumerate(off):
        height += sign * value - slack
        if height <= dust:
            height, since = 0.0, at + 2
        yield _Sum(height, since)


def _signals(index: int, upper: _Sum, lower: _Sum, reach: float) -> Iterator[Signal]:
    for rule, side, total in (("C+", "above", upper), ("C-", "below", lower)):
        if total.height > reach:
            yield Signal(
                index,
                rule,
                f"The sum {side} target is {total.height:.6g} at point {index}, over {reach:.6g}; "
                f"the shift began about point {total.since}.",
            )
