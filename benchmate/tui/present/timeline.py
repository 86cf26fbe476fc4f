"""The time line that all live windows share: one row a window, soonest edge first.

The scale is logarithmic, so that eight minutes of pot life and two days of cure stand on the same
line and the near one still moves visibly.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from rich.cells import cell_len

from benchmate.job.windows import WindowView
from benchmate.quantities import show_duration
from benchmate.tui.present.lines import Line, Role, Span, fit, line, spread

LABEL, CLOCK = 22, 10
NEAR_S = 300.0
"""Below this the scale is nearly even, beyond it each further cell is a longer time."""
_TICKS = (600.0, 3600.0, 4 * 3600.0, 12 * 3600.0, 86400.0, 2 * 86400.0, 4 * 86400.0, 7 * 86400.0)


class Scale:
    """Seconds from now to cells, for a bar of so many cells that ends at the longest edge."""

    def __init__(self, cells: int, longest_s: float) -> None:
        self.cells = max(4, cells)
        self.longest_s = max(longest_s, 900.0)

    def cell(self, seconds: float) -> int:
        """The cell that a time falls into, 0 for now and before."""
        if seconds <= 0:
            return 0
        share = math.log1p(seconds / NEAR_S) / math.log1p(self.longest_s / NEAR_S)
        return min(self.cells - 1, round(share * (self.cells - 1)))


def scale_for(views: Sequence[WindowView], cells: int) -> Scale:
    """The scale that shows the farthest edge of all."""
    ends = [e.at - v.now for v in views for e in (v.opens, v.full, v.closes) if e is not None]
    return Scale(cells, max(ends, default=900.0) * 1.02)


def rows(
    views: Sequence[WindowView], clock: Callable[[float], str], cells: int, most: int
) -> list[Line]:
    """The axis and at most so many windows; a last line counts the rest."""
    if not views or most < 1:
        return []
    label = min(LABEL, max(8, cells // 3))
    bar = cells - label - CLOCK
    scale = scale_for(views, bar)
    out = [axis(scale, label)]
    shown = list(views[: most - 1] if len(views) < most else views[: most - 2])
    out += [row(v, clock, scale, label) for v in shown]
    if len(shown) < len(views):
        out.append(line(Span(f" and {len(views) - len(shown)} more windows", "dim")))
    return out


def axis(scale: Scale, label: int) -> Line:
    """Where ten minutes, an hour, a day lie."""
    marks = [" "] * scale.cells
    _write(marks, 0, "now")
    end = 4
    for tick in _TICKS:
        text = show_duration(tick)
        at = scale.cell(tick) - len(text) // 2
        if tick < scale.longest_s and at > end and at + len(text) <= scale.cells:
            _write(marks, at, text)
            end = at + len(text) + 1
    return line(" " * label, Span("".join(marks), "dim"))


def row(view: WindowView, clock: Callable[[float], str], scale: Scale, label: int) -> Line:
    """One window: its name, its bar, and the wall time of its next edge."""
    role = role_of(view)
    name = Span(" " + fit(view.window.label, label - 2) + " ", "strong" if view.spoils else "plain")
    edge = view.next_edge
    when = clock(edge[1]) if edge else "now"
    if view.state == "missed" and view.closes:
        when = clock(view.closes.at)
    right = Span(" " + when.rjust(CLOCK - 1)[: CLOCK - 1], role)
    return line(name, Span(bar(view, scale), role), right)


def role_of(view: WindowView) -> Role:
    """How urgent a window looks; its words say the same."""
    if view.state == "missed":
        return "alarm" if view.spoils else "caution"
    if view.state == "closing":
        return "spoil" if view.spoils else "caution"
    if view.state == "shut":
        return "dim"
    return "good" if view.closes is None else "plain"


def bar(view: WindowView, scale: Scale) -> str:
    """The window from now on: dots while it is shut, ├ opens, ┼ full, ● closes, → goes on."""
    cells = [" "] * scale.cells
    if view.state == "missed" and view.closes:
        _write(cells, 0, f"▲ missed by {show_duration(view.now - view.closes.at)}")
        return "".join(cells)
    start = scale.cell(view.opens.at - view.now) if view.opens else 0
    end = scale.cell(view.closes.at - view.now) if view.closes else scale.cells - 1
    for i in range(start):
        cells[i] = "·"
    for i in range(start, end):
        cells[i] = "─"
    cells[start] = "├"
    cells[end] = "●" if view.closes else "→"
    if view.full and view.full.at > view.now and start < end:
        cells[max(start + 1, min(scale.cell(view.full.at - view.now), end))] = "┼"
    _write(cells, _text_at(start, end, left := left_text(view)), left)
    return "".join(cells)


def left_text(view: WindowView) -> str:
    """How long to the next edge, in words: " 8 min left ", " open ", " 41 min "."""
    edge = view.next_edge
    if edge is None:
        word = "full strength" if view.is_full else (view.window.opens_text or "open")
        return f" {word} "
    name, at = edge
    left = show_duration(at - view.now, rounding="up")
    return f" {left} left " if name == "closes" else f" {left} "


def _text_at(start: int, end: int, text: str) -> int:
    """Where the words stand: inside the dots or the line where they fit, else behind the end."""
    size = cell_len(text)
    if start > size + 1:
        return (start - size) // 2
    if end - start > size + 2:
        return start + 1 + (end - start - size) // 2
    return end + 1


def _write(cells: list[str], at: int, text: str) -> None:
    """Put text into single cells; it is plain ASCII or box drawing, one cell a character."""
    for i, character in enumerate(text):
        if 0 <= at + i < len(cells):
            cells[at + i] = character


__all__ = ["Scale", "axis", "bar", "left_text", "role_of", "row", "rows", "scale_for", "spread"]
