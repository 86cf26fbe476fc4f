"""What a control chart is once it has been drawn: plain values that any screen can show.

Indexes count from 1, as people count the pieces on a shelf.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite
from typing import NamedTuple

LARGEST_VALUE = 1e150
"""Beyond this the squares of deviations overflow a double, and nothing in a shop is that large."""


WIDEST = 1000.0
"""Limits farther out than this many sigmas are a slip of the hand."""


class ChartError(ValueError):
    """A chart was asked for that can't be drawn; the text is a sentence that says why."""


class Point(NamedTuple):
    """One value on the chart, with the limits that hold at its place.

    `statistic` is what is plotted: the value itself, its moving range, its deviation from target,
    the weighted mean, or for the cumulative sums the one that stands farther from zero (the lower
    sum as a negative number). `sums` holds both cumulative sums (C+, C-), each at or above zero. A
    plain tuple, since a chart makes them by the ten thousand.
    """

    index: int  # type: ignore[assignment]  # hides tuple.index, which no one asks of a point
    value: float
    statistic: float
    lower: float
    upper: float
    sums: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Signal:
    """A point where a rule fires: the rule's short name, and what was seen in one sentence."""

    index: int
    rule: str
    sentence: str


class AlarmInterval(NamedTuple):
    """How many points pass on average between two false alarms, and where the figure is from."""

    points: float
    source: str


@dataclass(frozen=True, slots=True)
class Chart:
    """A drawn chart. `lower` and `upper` are the limits in the long run, in the statistic's units.

    `parameters` holds what the limits were worked out from (target, sigma and the like). `alarm`
    is None where the expected alarm interval isn't known. `ranges` is the chart of moving ranges
    that belongs to an individuals chart.
    """

    kind: str
    centre: float
    lower: float
    upper: float
    points: tuple[Point, ...]
    signals: tuple[Signal, ...]
    notes: tuple[str, ...] = ()
    parameters: Mapping[str, float | int | str | bool | None] = field(default_factory=dict)
    alarm: AlarmInterval | None = None
    ranges: "Chart | None" = None


def check_values(values: Sequence[float]) -> None:
    """Refuse with ChartError what can't be charted: nothing at all, NaN, infinity, a huge value."""
    if not values:
        raise ChartError("There are no values to chart.")
    for index, value in enumerate(values, start=1):
        if not isfinite(value) or abs(value) > LARGEST_VALUE:
            raise ChartError(f"Value {index} is {value:g}, which can't be charted.")


def check_setting(name: str, value: float, low: float, high: float = LARGEST_VALUE) -> None:
    """Refuse with ChartError a setting at or below `low` or above `high`, NaN included."""
    if not low < value <= high:
        upper = "" if high == LARGEST_VALUE else f" and at most {high:g}"
        raise ChartError(f"The {name} is {value:g}; it must be above {low:g}{upper}.")


def stretches(count: int, breaks: Collection[int]) -> list[range]:
    """Split points 0 … count - 1 where a new product, or the time after a gap, begins.

    `breaks` holds the indexes (from 1) of the points that begin a new stretch.
    """
    starts = sorted({0, *(at - 1 for at in breaks if 1 < at <= count)})
    return [range(start, end) for start, end in zip(starts, [*starts[1:], count], strict=True)]


def hair(values: Sequence[float], sigma: float) -> float:
    """The share of sigma within which a point counts as lying on a line, not beyond it.

    A value typed as 10.3 isn't exactly 10.3 in binary; without this, a point that stands on a
    limit in the shop's decimals would be called beyond it.
    """
    largest = max(map(abs, values))
    return 1e-9 + (1.8e-15 * largest / sigma if sigma > 0.0 else 0.0)
