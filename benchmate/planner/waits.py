"""How long a window keeps one waiting in the air expected, reckoned as the clocks reckon it.

A lag has to be one number whenever its act may come: opens and full from the slowest of a few
anchors round the day, closes from the quickest.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from benchmate.job.windows.windows import Around, edges_from
from benchmate.plan.plan import Window

ANCHORS_S = tuple(h * 3600.0 for h in range(0, 24, 6))


class WaitsMin(NamedTuple):
    """Minutes until each edge; None: it has no such edge."""

    opens: int | None
    full: int | None
    closes: int | None


class Waits:
    """The waits of windows that no act has begun yet."""

    def __init__(self, around: Around, now_s: float) -> None:
        self._around, self._now_s = around, now_s
        self._known: dict[tuple[object, ...], WaitsMin] = {}

    def of(self, window: Window) -> WaitsMin:
        """From its act until it opens, is full and closes."""
        edges = (window.opens_s, window.full_s, window.closes_s, window.hold_s)
        # Of one material and clock this shop may know waits of its own.
        key = (window.rule, window.place, window.material, window.name, edges)
        if key not in self._known:
            self._known[key] = self._reckoned(window)
        return self._known[key]

    def _reckoned(self, window: Window) -> WaitsMin:
        opens: list[float] = []
        full: list[float] = []
        closes: list[float] = []
        for anchor in (self._now_s + s for s in ANCHORS_S):
            for edge, kept in zip(
                edges_from(window, self._around, anchor), (opens, full, closes), strict=True
            ):
                if edge is not None:
                    kept.append((edge.at - anchor) / 60)
        longest = [math.ceil(max(kept) - 1e-6) if kept else None for kept in (opens, full)]
        shortest = math.floor(min(closes) + 1e-6) if closes else None
        if shortest is not None and longest[0] is not None:
            # Air that swings may leave no time at all between the slowest opening and the
            # quickest close: the label's own span is then what can be planned with.
            span = (window.closes_s or 0.0) - (window.opens_s or 0.0)
            shortest = max(shortest, longest[0] + math.floor(span / 120))
        return WaitsMin(longest[0], longest[1], shortest)
