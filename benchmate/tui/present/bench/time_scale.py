"""The scale that all bars of the time line share.

It is logarithmic, so that eight minutes of pot life and two days of cure stand on the same line
and the near one still moves visibly.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from benchmate.job.windows.windows import WindowView
from benchmate.quantities import show_duration
from benchmate.tui.present.lines import Line, Span, line

NEAR_S = 300.0
"""Below this the scale is nearly even, beyond it each further cell is a longer time."""
LEAST_S = 900.0
_TICKS = (
    300.0,
    600.0,
    1800.0,
    3600.0,
    2 * 3600.0,
    4 * 3600.0,
    8 * 3600.0,
    12 * 3600.0,
    86400.0,
    2 * 86400.0,
    4 * 86400.0,
    7 * 86400.0,
    14 * 86400.0,
    28 * 86400.0,
)


class Scale:
    """Seconds from now to cells, for a bar of so many cells that ends at the longest edge."""

    def __init__(self, cells: int, longest_s: float) -> None:
        self.cells = max(4, cells)
        self.longest_s = max(longest_s, LEAST_S)

    def cell(self, seconds: float) -> int:
        """The cell that a time falls into, 0 for now and before."""
        if seconds <= 0:
            return 0
        share = math.log1p(seconds / NEAR_S) / math.log1p(self.longest_s / NEAR_S)
        return min(self.cells - 1, round(share * (self.cells - 1)))


def scale_for(views: Sequence[WindowView], cells: int) -> Scale:
    """The scale that shows the farthest edge of all."""
    ends = [e.at - v.now for v in views for e in (v.opens, v.full, v.closes) if e is not None]
    return Scale(cells, max(ends, default=LEAST_S) * 1.02)


def axis(scale: Scale, indent: int) -> Line:
    """Where now, ten minutes, an hour, a day lie; round times first where room is short."""
    marks = [" "] * scale.cells
    put(marks, 0, "now")
    taken = [(0, 4)]
    for tick in sorted(_TICKS, key=_rank):
        text = show_duration(tick)
        at = scale.cell(tick) - len(text) // 2
        span = (at - 1, at + len(text) + 1)
        fits = at + len(text) <= scale.cells and all(span[1] <= a or span[0] >= b for a, b in taken)
        if tick < scale.longest_s and fits:
            put(marks, at, text)
            taken.append(span)
    return line(" " * indent, Span("".join(marks).rstrip(), "dim"))


def _rank(tick: float) -> int:
    """An hour, a day, ten minutes and a week before the times between them."""
    first = (3600.0, 86400.0, 600.0, 7 * 86400.0, 4 * 3600.0)
    return first.index(tick) if tick in first else len(first)


def put(cells: list[str], at: int, text: str) -> None:
    """Put text into single cells; it must be one cell a character."""
    for i, character in enumerate(text):
        if 0 <= at + i < len(cells):
            cells[at + i] = character
