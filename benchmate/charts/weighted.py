"""EWMA: a mean that forgets slowly, for shifts too small for a single value to show.

Source: z_i = lambda x_i + (1 - lambda) z_(i-1) from the target, with its exact or steady limits;
checked against the NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4, and a textbook case.
"""

from collections.abc import Iterator, Sequence
from math import sqrt

from benchmate.charts.alarm import of_weighted_mean
from benchmate.charts.baseline import take_baseline
from benchmate.charts.chart import (
    WIDEST,
    Chart,
    ChartError,
    Point,
    Signal,
    check_setting,
    hair,
)

WEIGHT = 0.2
WIDTH = 2.962
"""With a weight of 0.2 this calls about once in 500 points of chance, twice as seldom as its
neighbour 2.7 that is widely printed; see `run_length`."""


def ewma(
    values: Sequence[float],
    *,
    base: int | None = None,
    target: float | None = None,
    sigma: float | None = None,
    weight: float = WEIGHT,
    width: float = WIDTH,
    steady: bool = False,
) -> Chart:
    """The chart of exponentially weighted means, started from the target.

    Target and sigma are taken from the first `base` values unless given. `weight` is lambda, above
    0 and at most 1; `width` the limits' distance in the mean's own sigmas. With `steady` the limits
    are those of the long run at every point; otherwise they are exact, narrower for the first
    points. Raises ChartError for a setting out of range or values that don't vary.
    """
    check_setting("weight lambda", weight, 0.0, 1.0)
    check_setting("limit width", width, 0.0, WIDEST)
    found = take_baseline(values, base=base, target=target, sigma=sigma)
    if found.sigma == 0.0:
        raise ChartError(
            "The base values don't vary, so there is no spread to judge by; give a sigma."
        )
    reaches = _reaches(found.sigma, weight, width, steady=steady)
    means = _weighted_means(values, found.centre, weight)
    points = [
        Point(at, value, mean, found.centre - reach, found.centre + reach)
        for at, (value, mean, reach) in enumerate(zip(values, means, reaches, strict=False), 1)
    ]
    reach = width * found.sigma * sqrt(weight / (2.0 - weight))
    return Chart(
        kind="ewma",
        centre=found.centre,
        lower=found.centre - reach,
        upper=found.centre + reach,
        points=tuple(points),
        signals=_signals(points, found.centre, hair(values, found.sigma) * found.sigma),
        notes=found.notes,
        parameters={
            "target": found.centre,
            "sigma": found.sigma,
            "lambda": weight,
            "limit_width": width,
            "steady": steady,
            "base": found.count,
        },
        alarm=of_weighted_mean(weight, width),
    )


def _weighted_means(values: Sequence[float], start: float, weight: float) -> Iterator[float]:
    mean = start
    for value in values:
        mean += weight * (value - mean)
        yield mean


def _reaches(sigma: float, weight: float, width: float, *, steady: bool) -> Iterator[float]:
    """Half the distance of the limits, point by point from the first of a stretch; never ends."""
    in_the_long_run = width * sigma * sqrt(weight / (2.0 - weight))
    forgotten = 0.0 if steady else 1.0
    while True:
        forgotten *= (1.0 - weight) ** 2
        yield in_the_long_run * sqrt(1.0 - forgotten)


def _signals(points: Sequence[Point], centre: float, near: float) -> tuple[Signal, ...]:
    return tuple(
        Signal(point.index, "limit", _sentence(point, centre))
        for point in points
        if not point.lower - near <= point.statistic <= point.upper + near
    )


def _sentence(point: Point, centre: float) -> str:
    if point.statistic > centre:
        side, limit = "above the upper", point.upper
    else:
        side, limit = "below the lower", point.lower
    mean = f"The weighted mean at point {point.index} ({point.statistic:.6g})"
    return f"{mean} is {side} limit of {limit:.6g}."
