"""The time line that all live windows share: one row a window, soonest edge first."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.cells import cell_len

from benchmate.job.windows.windows import Edge, WindowView
from benchmate.quantities import show_countdown, show_duration
from benchmate.tui.present.bench.time_scale import Scale, axis, put, scale_for
from benchmate.tui.present.lines import Line, Role, Span, crop, fit, line, safe

Clock = Callable[[float], str]
LEAST_BAR = 6
BY_THE_SECOND_S = 600.0
"""Below this a window that closes is counted down in seconds."""


def rows(views: Sequence[WindowView], clock: Clock, cells: int, most: int) -> list[Line]:
    """The axis and at most so many windows; a last line counts the rest."""
    if not views or most < 1:
        return []
    room = most - 1 if len(views) < most else most - 2
    shown = list(views[: max(1, room)])
    whens = [edge_clock(v, clock) for v in shown]
    right = max(6, max(len(w) for w in whens) + 1)
    longest = max(cell_len(safe(v.window.label)) for v in shown) + 3
    label = max(4, min(longest, max(10, cells * 5 // 16), cells - right - LEAST_BAR - 1))
    scale = scale_for(views, cells - label - right - 1)
    made = [row(v, w, clock, scale, label, right) for v, w in zip(shown, whens, strict=True)]
    out = [axis(scale, label), *made] if most > 1 else made
    if len(shown) < len(views) and len(out) < most:
        out.append(_rest(views[len(shown) :], clock, cells))
    return [crop(r, cells) for r in out]


def _rest(views: Sequence[WindowView], clock: Clock, cells: int) -> Line:
    word = "clock" if len(views) == 1 else "clocks"
    text = f"  and {len(views)} more {word}, next {edge_clock(views[0], clock)}"
    return line(Span(fit(text, cells).rstrip(), "dim"))


def row(view: WindowView, when: str, clock: Clock, scale: Scale, label: int, right: int) -> Line:
    """One window: its sign, its name, its bar, and the wall time of its next edge."""
    role = role_of(view)
    name = fit_label(view.window.label, label - 3)
    return line(
        Span(f"{sign_of(view)} ", role),
        Span(f"{name} ", "strong" if view.spoils else "plain"),
        Span(bar(view, scale, clock), role),
        Span(when.rjust(right), role),
    )


SHORT = {
    "clamp time": "clamps",
    "pot life": "cup",
    "touch-dry": "dry",
    "open time": "open",
    "closed assembly": "closed",
    "squeeze-out": "scrape",
}
"""Short names of clocks, for rows that are too narrow for their own."""


def fit_label(text: str, cells: int) -> str:
    """A label in so many cells. Where it is too long the clock gets its short name ("drawer sides,
    clamps"); what it is cut at then is its middle: "tool ch…, wipe off"."""
    text = safe(text)
    head, comma, tail = text.rpartition(", ")
    if cell_len(text) > cells and tail in SHORT:
        tail = SHORT[tail]
        text = f"{head}{comma}{tail}"
    room = cells - cell_len(comma + tail)
    if cell_len(text) <= cells or not comma or room < 4:
        return fit(text, cells)
    return fit(fit(head, room).rstrip() + comma + tail, cells)


def edge_clock(view: WindowView, clock: Clock) -> str:
    """The wall time of the next edge (or of the close that was missed); "~" for an estimate."""
    if view.state == "missed" and view.closes is not None:
        return clock(view.closes.at)
    edge = next_edge(view)
    return "now" if edge is None else about(edge, clock)


def about(edge: Edge, clock: Clock) -> str:
    """An edge's wall time, with "~" where it is not the label's own but worked out from the air."""
    return ("" if edge.kind == "label" else "~") + clock(edge.at)


def next_edge(view: WindowView) -> Edge | None:
    """The edge to come next."""
    ahead = [e for e in view.edges.values() if e.at > view.now]
    return min(ahead, key=lambda e: e.at, default=None)


def role_of(view: WindowView) -> Role:
    """How urgent a window looks; its sign and its words say the same."""
    if view.paused:
        return "dim"
    if view.state == "missed":
        return "alarm" if view.spoils else "caution"
    if view.spoiled_at is not None:
        return "spoil"
    if view.state == "closing":
        return "spoil" if view.spoils else "caution"
    if view.state == "shut":
        return "dim"
    return "good" if view.closes is None else "plain"


def sign_of(view: WindowView) -> str:
    """▲ missed, ! closing or too cold, ✓ open with no hurry."""
    if view.state == "missed":
        return "▲"
    if view.state == "closing" or view.spoiled_at is not None:
        return "!"
    return "✓" if view.state == "open" and view.closes is None else " "


def bar(view: WindowView, scale: Scale, clock: Clock) -> str:
    """The window from now on: dots while it is shut, ├ opens, ┼ full, ● closes, → goes on.

    How long that is stands in the longest stretch; behind the end the time of the last edge.
    """
    cells = [" "] * scale.cells
    if view.state == "missed" and view.closes:
        return _missed(view, view.closes, cells)
    start = scale.cell(view.opens.at - view.now) if view.opens else 0
    end = scale.cell(view.closes.at - view.now) if view.closes else scale.cells - 1
    end = max(start, end)
    cells[:start] = "·" * start
    cells[start:end] = "─" * (end - start)
    cells[start] = "├"
    cells[end] = "●" if view.closes else "→"
    last = end - 1 if view.closes else end
    if view.full and view.full.at > view.now and start < last:
        cells[max(start + 1, min(scale.cell(view.full.at - view.now), last))] = "┼"
    _write_words(cells, start, end, left_words(view))
    _write_close(cells, end, view, clock)
    return "".join(cells)


def _missed(view: WindowView, closes: Edge, cells: list[str]) -> str:
    text = f"missed by {show_duration(view.now - closes.at)}"
    lost = safe(view.window.closes_text)
    if lost and len(text) + cell_len(lost) + 2 <= len(cells):
        text += f": {lost}"
    return fit(text, len(cells))


def left_words(view: WindowView) -> list[str]:
    """How long to the next edge and what it means, the fullest first, the barest last."""
    edge, window = view.next_edge, view.window
    if view.spoiled_at is not None:
        return ["too cold: ruined, not just slow", "too cold: ruined", "too cold"]
    if edge is None:
        if view.is_full:
            return [window.full_text or "full strength", "full"]
        return [window.opens_text or "ready", "ready"]
    name, at = edge
    seconds = at - view.now
    left = show_duration(seconds, rounding="up")
    if name in view.set_back and name != "closes":
        # It was said to have come: whoever reads on must see that it hasn't.
        return [
            _then(f"not yet: {left} more", window.opens_text),
            f"not yet: {left} more",
            f"{left} more",
            left,
        ]
    if name == "closes":
        if seconds < BY_THE_SECOND_S:
            left = show_countdown(seconds)
        return [_then(f"{left} left", window.closes_text), f"{left} left", left]
    if name == "full":
        done = window.opens_text or "ready"
        return [f"{done}; full strength in {left}", f"ready; full strength in {left}", left]
    return [_then(left, window.opens_text), left]


def _then(left: str, what: str) -> str:
    return f"{left}, then {what}" if what else left


def _write_words(cells: list[str], start: int, end: int, words: list[str]) -> None:
    """The fullest words that fit where they belong.

    While a window is shut that is the dots, else the line; what fits neither stands behind the
    end, in the fewest words.
    """
    full = cells.index("┼") if "┼" in cells else end
    inside = [(1, start - 1)] if start > 0 else [(start + 1, full - 1), (full + 1, end - 1)]
    low, high = max(inside, key=lambda s: s[1] - s[0])
    texts = [f" {safe(w)} " for w in words if cell_len(w) == len(w)]  # wide letters would shift it
    text = next((t for t in texts if len(t) <= high - low + 1), None)
    if text is not None:
        put(cells, low + (high - low + 1 - len(text)) // 2, text)
        return
    behind = [t for t in texts if len(t) <= len(cells) - end - 1]
    if behind:
        put(cells, end + 1, behind[-1] if start > 0 else behind[0])


def _write_close(cells: list[str], end: int, view: WindowView, clock: Clock) -> None:
    """The wall time of a close that is not the next edge, behind its ●."""
    if view.closes is None or next_edge(view) is view.closes:
        return
    text = f" {about(view.closes, clock)} "
    at = end + 1
    if at + len(text) <= len(cells) and not "".join(cells[at : at + len(text)]).strip():
        put(cells, at, text)


__all__ = ["Scale", "axis", "bar", "left_words", "role_of", "row", "rows", "scale_for"]
