"""Individuals and moving range: single values against limits from their own short-term spread.

Source: the usual individuals chart, limits mean +/- 3 (mean moving range)/1.128; checked against
the NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2.
"""

from collections.abc import Collection, Sequence

from benchmate.charts.alarm import of_limits, of_ranges, of_rules
from benchmate.charts.baseline import Baseline, moving_ranges, take_baseline
from benchmate.charts.chart import (
    WIDEST,
    AlarmInterval,
    Chart,
    ChartError,
    Point,
    Signal,
    check_setting,
    hair,
)
from benchmate.charts.constants import MEAN_RANGE, RANGE_LIMIT, RANGE_LIMIT_SIGMA
from benchmate.charts.runs import RuleSet, find_patterns

WIDTH = 3.0
_RANGES_NOTE = "One value that is out makes two large moving ranges: to it and from it."


def individuals(
    values: Sequence[float],
    *,
    base: int | None = None,
    target: float | None = None,
    sigma: float | None = None,
    width: float = WIDTH,
    rules: RuleSet = RuleSet.NONE,
    breaks: Collection[int] = (),
) -> Chart:
    """The chart of individual values, with the chart of their moving ranges in `ranges`.

    Centre and sigma are taken from the first `base` values (None: all) unless given; `width` is
    the limits' distance in sigmas. A value exactly on a limit is inside. Raises ChartError for
    what `take_baseline` refuses, and for run rules with another width than three.
    """
    check_setting("limit width", width, 0.0, WIDEST)
    if rules is not RuleSet.NONE and width != WIDTH:
        raise ChartError(
            "Run rules count in zones of one, two and three sigma: leave the limit width at 3."
        )
    found = take_baseline(values, base=base, target=target, sigma=sigma, breaks=breaks)
    lower, upper = found.centre - width * found.sigma, found.centre + width * found.sigma
    return Chart(
        kind="individuals",
        centre=found.centre,
        lower=lower,
        upper=upper,
        points=tuple(Point(i, x, x, lower, upper) for i, x in enumerate(values, start=1)),
        signals=_signals(values, found, width, rules),
        notes=found.notes,
        parameters={
            "target": target,
            "sigma": found.sigma,
            "limit_width": width,
            "base": found.count,
            "rules": rules.value,
        },
        alarm=_alarm(found, width, rules),
        ranges=_range_chart(values, found, breaks),
    )


def _alarm(found: Baseline, width: float, rules: RuleSet) -> AlarmInterval | None:
    if found.sigma == 0.0:
        return None
    return of_limits(width) if rules is RuleSet.NONE else of_rules(rules)


def _signals(
    values: Sequence[float],
    found: Baseline,
    width: float,
    rules: RuleSet,
) -> tuple[Signal, ...]:
    near = hair(values, found.sigma)
    if rules is RuleSet.NONE or found.sigma == 0.0:
        reach = width * found.sigma + near * (found.sigma or max(abs(found.centre), 1e-3))
        return tuple(
            Signal(index, "limit", _beyond_sentence(index, value, found, width))
            for index, value in enumerate(values, start=1)
            if abs(value - found.centre) > reach
        )
    z = [(value - found.centre) / found.sigma for value in values]
    return tuple(
        Signal(f.index, f.rule, f"Point {f.index} ({values[f.index - 1]:.6g}): {f.pattern}.")
        for f in find_patterns(z, rules, near)
    )


def _beyond_sentence(index: int, value: float, found: Baseline, width: float) -> str:
    side, sign = ("above the upper", 1) if value > found.centre else ("below the lower", -1)
    limit = found.centre + sign * width * found.sigma
    return f"Point {index} ({value:.6g}) is {side} limit of {limit:.6g}."


def _range_chart(values: Sequence[float], found: Baseline, breaks: Collection[int]) -> Chart:
    """The moving ranges and their upper limit; a point that has no range is left out."""
    if found.mean_range is None:
        centre, upper = MEAN_RANGE * found.sigma, RANGE_LIMIT_SIGMA * found.sigma
    else:
        centre, upper = found.mean_range, RANGE_LIMIT * found.mean_range
    reach = upper + hair(values, found.sigma) * (found.sigma or 1e-3)
    points = tuple(
        Point(index, values[index - 1], distance, 0.0, upper)
        for index, distance in enumerate(moving_ranges(values, breaks), start=1)
        if distance is not None
    )
    signals = tuple(
        Signal(
            p.index,
            "limit",
            f"The step to point {p.index} ({p.statistic:.6g}) is above {upper:.6g}.",
        )
        for p in points
        if p.statistic > reach
    )
    return Chart(
        "moving range",
        centre,
        0.0,
        upper,
        points,
        signals,
        notes=(_RANGES_NOTE,),
        alarm=of_ranges(),
    )
