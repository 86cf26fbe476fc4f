"""The shop's own numbers as one chart that a maker of twenty pieces a year can use.

One point a job, the mean of its pieces: what a pair shares (its day, its wood's moisture, its cup)
would make single pieces call falsely every 40 points where 370 are promised. Centred on the target
where there is one; the spread is the median moving range's, which one odd job doesn't widen.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from benchmate.charts.baseline import moving_ranges, robust_sigma
from benchmate.charts.chart import Chart, ChartError
from benchmate.charts.constants import MEAN_RANGE
from benchmate.charts.individuals import individuals
from benchmate.charts.summary import mean

FEWEST = 3
ROUGH = 12
"""Jobs below which limits are a first guess (common practice, no source)."""
WIDENED = 1.5
"""The mean moving range's spread over the median one's, from which on a single job makes it."""
DO_NOTHING = "Nothing here is more than chance: change nothing for it."
LOOK = "Find what was different there before the next one; a slip of the pen is put right by undo."


@dataclass(frozen=True, slots=True)
class Reading:
    """One of the shop's own numbers, such as a finished weight or a packing; `target` is what it
    was to be. `product` is what must stay the same for two to be compared directly, `at_s` the time
    on any one clock, `sigma` its own doubt where that is known (a scale's)."""

    value: float
    target: float | None = None
    product: str = ""
    at_s: float | None = None
    job: str = ""
    sigma: float | None = None


@dataclass(frozen=True, slots=True)
class ShopChart:
    """The chart, and what it says: a sentence a line, what to do among them."""

    chart: Chart
    lines: tuple[str, ...]


def of_shop(readings: Sequence[Reading], unit: str = "") -> ShopChart:
    """The chart of readings in the order they were taken. Raises ChartError for too few."""
    aimed = [r for r in readings if r.target is not None]
    kept = aimed or list(readings)
    rows: dict[tuple[str, str], list[Reading]] = {}
    for number, reading in enumerate(kept):
        rows.setdefault((reading.job or f"number {number + 1}", reading.product), []).append(
            reading
        )
    if len(rows) < FEWEST:
        raise ChartError(f"{len(rows)} recorded so far: a chart begins with {FEWEST}.")
    values = [mean([r.value - (r.target or 0.0) for r in of]) for of in rows.values()]
    names = [job for job, _ in rows]
    breaks = set() if aimed else _new_products([product for _, product in rows])
    centre = 0.0 if aimed else median(values)
    given = max((r.sigma for r in kept if r.sigma), default=None)
    sigma = given or robust_sigma(values, breaks)
    chart = individuals(values, target=centre, sigma=sigma, breaks=breaks)
    widest = "" if given else _widened(values, names, sigma, breaks)
    return ShopChart(
        chart, tuple(_said(chart, names, unit, sigma, widest, known=given is not None))
    )


def _new_products(products: Sequence[str]) -> set[int]:
    return {n + 1 for n in range(1, len(products)) if products[n] != products[n - 1]}


def _widened(values: Sequence[float], names: Sequence[str], sigma: float, breaks: set[int]) -> str:
    """The job that would have widened the limits, where one stands so far off."""
    ranges = [r for r in moving_ranges(values, breaks) if r is not None]
    if mean(ranges) / MEAN_RANGE < WIDENED * sigma:
        return ""
    middle = median(values)
    return max(zip(values, names, strict=True), key=lambda item: abs(item[0] - middle))[1]


def _said(
    chart: Chart, names: Sequence[str], unit: str, sigma: float, widest: str, *, known: bool
) -> list[str]:
    number = f" {unit}" if unit else ""
    reach, values = chart.upper - chart.centre, [p.statistic for p in chart.points]
    about = f"{chart.centre:.3g}{number}" if chart.centre else "the target"
    why = "the scale's own doubt allows" if known else "chance explains"
    lines = [f"{len(values)} in order, about {about}: {why} up to ± {reach:.3g}{number}."]
    out = [p for p in chart.points if {s.index for s in chart.signals} & {p.index}]
    for point in out:
        off = point.statistic - chart.centre
        lines.append(f"{names[point.index - 1]} is {off:+.3g}{number} off: more than chance.")
    lines.append(LOOK if out else DO_NOTHING)
    off, error = mean(values) - chart.centre, sigma / len(values) ** 0.5
    if abs(off) > 2.5 * error and not known:
        lines.append(
            f"All together they lie {off:+.3g}{number} off: that is the plan, not the day. "
            "`benchmate procedure lessons` offers what would put it right."
        )
    if widest:
        lines.append(f"{widest} alone would have widened the limits; they leave it out.")
    if len(values) < ROUGH and not known:
        lines.append(f"From {len(values)} they are rough: take them as a first guess.")
    return lines
