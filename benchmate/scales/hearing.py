"""What a scale's bytes mean as they come: whole lines, read by its form, judged steady or not."""

from __future__ import annotations

from benchmate.scales.cable import Cable
from benchmate.scales.lines import LineForm, Lines
from benchmate.scales.reading import Live
from benchmate.scales.steady import SILENT_S, Steady

UNREAD_S = 3.0
NO_FORM = "The scale sends, but no line fits: speed or form? Try benchmate scale listen."


class Hearing:
    """One stretch of listening, from the plug to the next gap. Times are on the clock that nobody
    sets."""

    def __init__(self, cable: Cable) -> None:
        """Raises Refused for a form that can't be read; without one no line ever fits."""
        self._form = (
            LineForm(cable.line, unit=cable.unit, comma=cable.comma, divide=cable.divide)
            if cable.line
            else None
        )
        self._lines, self._steady = Lines(), Steady()
        self._unread_s = 0.0
        self._fault = Live("fault", at_s=float("-inf"), why=NO_FORM)

    def feed(self, data: bytes, now_s: float) -> list[Live]:
        """What became live with these bytes, in order."""
        became = []
        for line in self._lines.feed(data):
            if line is None:
                # Something is missing here: what comes is compared with nothing before it.
                self._steady.forget()
                continue
            reading = self._form.read(line) if self._form else None
            if reading is not None:
                became.append(self._steady.hear(reading, now_s))
        self._unread_s = 0.0 if became else self._unread_s or now_s
        if self._unread_s and now_s - self._unread_s > UNREAD_S:
            self._fault = self._fault._replace(at_s=now_s)
            became.append(self._fault)
        return became

    def idle(self, now_s: float) -> Live:
        """What is live when nothing came."""
        if now_s - self._fault.at_s <= SILENT_S:
            return self._fault
        return self._steady.look(now_s)
