"""When a weight stands still: by the scale's own mark, if it has one, and by its readings."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.scales.reading import SILENT, Live, Reading

READINGS = 4
SPREAD = 1
"""In divisions: the last digit may waver by one."""
SPAN_S = 0.4
SILENT_S = 1.5
TWICE_S = 0.01
"""The same reading again so soon is the same line sent twice, and no second look."""


def counts(grams: float, division_g: float) -> int:
    """A reading in whole divisions, in which 5.2 − 5.0 is two of 0.1 and no hair more."""
    return round(grams / division_g)


def agree(latest: Sequence[int], spread: int = SPREAD) -> bool:
    """Whether readings, in divisions, lie within a spread."""
    return bool(latest) and max(latest) - min(latest) <= spread


class Steady:
    """Follows the readings of one scale. Times are on the clock that nobody sets."""

    def __init__(
        self, readings: int = READINGS, spread: int = SPREAD, span_s: float = SPAN_S
    ) -> None:
        self.readings, self.spread, self.span_s = readings, spread, span_s
        self._run: list[tuple[float, int]] = []
        self._division_g = 0.0
        self.live = SILENT

    def forget(self) -> None:
        """What comes next is compared with nothing: after a gap, another unit, a spoilt line."""
        self._run.clear()

    def hear(self, reading: Reading, at_s: float) -> Live:
        """What is live after one more reading."""
        if at_s - self.live.at_s > SILENT_S or reading.division_g != self._division_g:
            self.forget()
        self._division_g = reading.division_g
        self.live = self._judge(reading, at_s)
        return self.live

    def _judge(self, reading: Reading, at_s: float) -> Live:
        if reading.mark in ("over", "under", "fault"):
            self.forget()
            return Live(reading.mark, at_s=at_s)
        if reading.grams is None:
            self.forget()
            return Live("moving", at_s=at_s)
        count = counts(reading.grams, reading.division_g)
        if not self._run or self._run[-1][1] != count or at_s - self._run[-1][0] > TWICE_S:
            self._run.append((at_s, count))
        if reading.mark == "moving":
            self.forget()
        still = self._stands_still(at_s)
        return Live(
            "steady" if still else "moving", reading.text, reading.grams, reading.division_g, at_s
        )

    def _stands_still(self, at_s: float) -> bool:
        """Whether the last readings agree, enough of them and for long enough."""
        first = next(
            (
                n
                for n in range(len(self._run) - self.readings, -1, -1)
                if at_s - self._run[n][0] >= self.span_s - 1e-9
            ),
            None,
        )
        if first is None:
            return False
        del self._run[:first]
        return agree([count for _, count in self._run], self.spread)

    def look(self, now_s: float) -> Live:
        """What is live now: an old weight never is."""
        return self.live if now_s - self.live.at_s <= SILENT_S else SILENT
