"""How often a chart cries out with nothing wrong: each added rule costs false alarms.

A maker who knows that eight rules call about once in 74 points of pure chance reads a signal
differently. Every figure takes centre and sigma as known and values as independent and normal.
"""

from math import sqrt

from benchmate.charts.chart import AlarmInterval
from benchmate.charts.constants import RANGE_LIMIT_SIGMA
from benchmate.charts.run_length import plain_limits, two_cumulative_sums, weighted_mean
from benchmate.charts.runs import RuleSet

_BY_RULES = {
    RuleSet.WESTERN_ELECTRIC: AlarmInterval(
        91.75, "Champ and Woodall 1987 (from memory); our own Markov chain gives the same"
    ),
    RuleSet.NELSON: AlarmInterval(
        73.5, "our own simulation of all eight rules, 200,000 runs, standard error 0.15"
    ),
}
_NEVER = 1e9
_INTEGRAL = "integral equation of the run length"


def of_limits(width: float) -> AlarmInterval | None:
    """For limits at +/- `width` sigmas and no other rule."""
    return _interval(plain_limits(width), "closed form for normal values")


def of_rules(rules: RuleSet) -> AlarmInterval:
    """For a set of run rules, all its rules used together; KeyError for the empty set."""
    return _BY_RULES[rules]


def of_ranges() -> AlarmInterval | None:
    """For the moving ranges: how seldom the difference of two normal values is above its limit."""
    return _interval(
        plain_limits(RANGE_LIMIT_SIGMA / sqrt(2.0)), "closed form for a difference of normal values"
    )


def of_weighted_mean(weight: float, width: float) -> AlarmInterval | None:
    """For an EWMA chart with steady limits."""
    return _interval(weighted_mean(weight, width), f"{_INTEGRAL}, steady limits")


def of_cumulative_sums(k: float, h: float) -> AlarmInterval | None:
    """For both cumulative sums, `k` and `h` in sigmas."""
    return _interval(two_cumulative_sums(k, h), f"{_INTEGRAL}, both sums")


def _interval(points: float | None, source: str) -> AlarmInterval | None:
    """None where the length isn't known, or is so long that it is never."""
    if points is None or points > _NEVER:
        return None
    return AlarmInterval(points, source)
