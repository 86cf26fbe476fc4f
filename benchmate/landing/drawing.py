"""A piece's weight over its steps as plain characters: how far it is from the plan after each."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from benchmate.landing.outlook import CoursePlot

T = TypeVar("T")
SO_FAR, EXPECTED, BAND, PLAN, LIMIT = "●", "○", "░", "·", "─"
LEAST_ROWS, LEAST_STEP = 4, 2


@dataclass(frozen=True, slots=True)
class Drawn:
    """Rows of marks from heavy to light, each with its distance from the plan in g; `step` is how
    many cells each stage has, and the labels are in the order that was drawn."""

    rows: tuple[tuple[float, str], ...]
    step: int
    labels: tuple[str, ...]


def drawn(plot: CoursePlot, columns: int, high: int) -> Drawn | None:
    """The weight less the plan after every stage, in so many columns and rows; None where there is
    no room for it.

    ● is what it was after a stage that is done, ○ what is expected in its 95 % band ░, · the plan,
    ─ the limits of the tolerance that the finished piece must keep to.
    """
    plot = done_first(plot)
    if high < LEAST_ROWS or columns < LEAST_STEP * len(plot.labels):
        return None
    low_g, top_g = _range(plot)
    step = columns // len(plot.labels)
    grid = [[" "] * (step * len(plot.labels)) for _ in range(high)]

    def row_of(off_g: float) -> int:
        return max(0, min(high - 1, round((top_g - off_g) / (top_g - low_g) * (high - 1))))

    for limit_g in limits(plot):
        grid[row_of(limit_g)] = [LIMIT] * len(grid[0])
    grid[row_of(0.0)] = [PLAN] * len(grid[0])
    for i, plan_g in enumerate(plot.plan):
        x, done = i * step, plot.kind[i] == "done"
        if not done:
            for y in range(row_of(plot.high[i] - plan_g), row_of(plot.low[i] - plan_g) + 1):
                grid[y][x] = BAND
        grid[row_of(plot.middle[i] - plan_g)][x] = SO_FAR if done else EXPECTED
    at = [top_g - (top_g - low_g) * y / (high - 1) for y in range(high)]
    at[row_of(0.0)] = 0.0
    rows = tuple((g, "".join(row)) for g, row in zip(at, grid, strict=True))
    return Drawn(rows, step, plot.labels)


def limits(plot: CoursePlot) -> tuple[float, ...]:
    """The tolerance's limits, as distances from where the plan ends."""
    if plot.target_g is None or plot.tolerance_g is None:
        return ()
    off_g = plot.target_g - plot.plan[-1]
    return (off_g - plot.tolerance_g, off_g + plot.tolerance_g)


def done_first(plot: CoursePlot) -> CoursePlot:
    """The stages in the order in which they happened or will: a part that is still to be joined on
    stands first in the course, and after the layers on the drawing.

    What is known after a done stage then counts without that part, and what is expected after it
    with all that was done before.
    """
    order = sorted(range(1, len(plot.labels)), key=lambda i: plot.kind[i] == "to come")
    places, plan = [0, *order], [plot.plan[0]]
    for i in order:
        plan.append(plan[-1] + plot.plan[i] - plot.plan[i - 1])

    def picked(values: Sequence[T]) -> tuple[T, ...]:
        return tuple(values[i] for i in places)

    return replace(
        plot,
        labels=picked(plot.labels),
        plan=tuple(plan),
        low=picked(plot.low),
        middle=picked(plot.middle),
        high=picked(plot.high),
        records=picked(plot.records),
        kind=picked(plot.kind),
    )


def _range(plot: CoursePlot) -> tuple[float, float]:
    offs = [0.0, *limits(plot)]
    for i, plan_g in enumerate(plot.plan):
        ends = (plot.middle[i],) if plot.kind[i] == "done" else (plot.low[i], plot.high[i])
        offs += [g - plan_g for g in ends]
    low, high = min(offs), max(offs)
    pad = max(0.5, (high - low) * 0.04)
    return low - pad, high + pad


def short_name(name: str, cells: int) -> str:
    """ "layer 3" in three cells: "L3"; else its beginning."""
    head, _, tail = name.rpartition(" ")
    if len(name) > cells and tail.isdigit():
        return f"{head[:1].upper()}{tail}"
    return name[:cells]
