"""A piece's weight from blank to finish, drawn in plain characters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from benchmate.quantities import Units, show_mass
from benchmate.tui.present.lines import Line, Span, line

if TYPE_CHECKING:
    from benchmate.landing.outlook import CoursePlot

T = TypeVar("T")
LEFT = 9
"""Cells of the weights beside the plot."""
BAND, PLAN, RECORD, AHEAD, TARGET = "░", "·", "●", "○", "─"


def course_lines(plot: CoursePlot, cells: int, rows: int, units: Units) -> list[Line]:
    """What it weighed so far (●), what is expected (○ in its 95 % band ░), the plan (·), the
    target (─).

    Empty where there is no room to draw it.
    """
    plot = done_first(plot)
    columns, high = cells - LEFT, rows - 2
    if high < 4 or columns < 2 * len(plot.labels):
        return []
    step = columns // len(plot.labels)
    ends = _range(plot)
    grid = _grid(plot, ends, step, high)
    out = [_legend(plot)]
    for y, row in enumerate(grid):
        g = ends[1] - (ends[1] - ends[0]) * y / (high - 1)
        name = show_mass(round(g), units) if y in (0, high - 1, high // 2) else ""
        out.append(line(Span(f"{name:>{LEFT - 1}} ", "dim"), *_spans(row)))
    names = "".join(short_name(n, step - 1).ljust(step) for n in plot.labels)
    return [*out, line(" " * LEFT, Span(names, "dim"))]


def done_first(plot: CoursePlot) -> CoursePlot:
    """The stages in the order in which they happened or will: a part that is still to be joined on
    stands first in the course, and after the layers on the drawing."""
    order = sorted(range(1, len(plot.labels)), key=lambda i: plot.kind[i] == "to come")
    places, plan = [0, *order], [plot.plan[0]]
    for i in order:
        plan.append(plan[-1] + plot.plan[i] - plot.plan[i - 1])

    def picked(values: Sequence[T]) -> tuple[T, ...]:
        return tuple(values[i] for i in places)

    return replace(
        plot, labels=picked(plot.labels), plan=tuple(plan), low=picked(plot.low),
        middle=picked(plot.middle), high=picked(plot.high), records=picked(plot.records),
        kind=picked(plot.kind),
    )  # fmt: skip


def _legend(plot: CoursePlot) -> Line:
    target = f"  {TARGET} target" if plot.target_g else ""
    text = f"{RECORD} so far  {AHEAD} expected {BAND} 95 %  {PLAN} plan{target}"
    return line(" " * LEFT, Span(text, "dim"))


def _range(plot: CoursePlot) -> tuple[float, float]:
    values = [*plot.plan, *plot.low, *plot.high, *(r for r in plot.records if r is not None)]
    if plot.target_g is not None:
        values.append(plot.target_g)
    low, high = min(values), max(values)
    pad = max(1.0, (high - low) * 0.04)
    return low - pad, high + pad


def _grid(plot: CoursePlot, ends: tuple[float, float], step: int, high: int) -> list[list[str]]:
    low, top = ends

    def row_of(g: float) -> int:
        return max(0, min(high - 1, round((top - g) / (top - low) * (high - 1))))

    grid = [[" "] * (step * len(plot.labels)) for _ in range(high)]
    if plot.target_g is not None:
        grid[row_of(plot.target_g)] = [TARGET] * len(grid[0])
    for i in range(len(plot.labels)):
        x = i * step
        for y in range(row_of(plot.high[i]), row_of(plot.low[i]) + 1):
            if plot.kind[i] == "to come":
                grid[y][x] = BAND
        grid[row_of(plot.plan[i])][x] = PLAN
        done = plot.kind[i] == "done"
        grid[row_of(plot.middle[i])][x] = RECORD if done else AHEAD
    return grid


def _spans(row: Sequence[str]) -> list[Span]:
    """Runs of one kind of mark, each in its role."""
    out: list[Span] = []
    for mark in row:
        role = {RECORD: "strong", AHEAD: "key", TARGET: "good", BAND: "dim", PLAN: "dim"}.get(mark)
        if out and out[-1].role == (role or "plain"):
            out[-1] = Span(out[-1].text + mark, out[-1].role)
        else:
            out.append(Span(mark, role or "plain"))  # type: ignore[arg-type]
    return out


def short_name(name: str, cells: int) -> str:
    """ "layer 3" in three cells: "L3"; else its beginning."""
    head, _, tail = name.rpartition(" ")
    if len(name) > cells and tail.isdigit():
        return f"{head[:1].upper()}{tail}"
    return name[:cells]
