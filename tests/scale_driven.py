"""The emulator and what hears it on one clock that nobody waits for: a whole job takes seconds.

Everything between the bytes and the record is the program's own; only port and thread are left out.
"""

from __future__ import annotations

from benchmate.scales.hearing import Hearing
from benchmate.scales.reading import GONE, Live
from tests.scale_emulator import ScaleEmulator, Sent
from tests.scale_forms import cable

FAULTS = ("cut", "glue", "dribble", "garbage", "silent", "unplugged", "wrong-speed")
LATE_S = 1.6
"""A steady value rests on what the display showed in this time before it."""


class DrivenScale:
    """Stands in for the bench's scale."""

    def __init__(self, form: str, *, rate_hz: float = 10.0, seed: int = 1) -> None:
        self.form, self.rate_hz, self.at_s = form, rate_hz, 1000.0
        self.emulator = ScaleEmulator(form, rate_hz=rate_hz, seed=seed, clock=lambda: self.at_s)
        self._hearing: Hearing | None = None
        self._live = GONE
        self.all: list[Live] = []

    def advance(self, seconds: float) -> None:
        """Let time pass for both."""
        for _ in range(round(seconds * self.rate_hz)):
            self.at_s += 1.0 / self.rate_hz
            self.emulator.beat()
            self._hear()

    def _hear(self) -> None:
        pieces, self.emulator.pieces = self.emulator.pieces, []
        if self.emulator.is_pulled:
            self._hearing, self._live = None, GONE
            return
        self._hearing = self._hearing or Hearing(cable(self.form))
        for piece in pieces:
            self._say(*self._hearing.feed(piece, self.at_s))
        if not pieces:
            self._say(self._hearing.idle(self.at_s))

    def _say(self, *became: Live) -> None:
        self.all.extend(became)
        self._live = became[-1] if became else self._live

    def fault(self, what: str, seconds: float = 2.5) -> None:
        """One of FAULTS, at the next line or from now on."""
        if what in FAULTS[:4]:
            self.emulator.spoil(what)
        elif what:
            self.emulator.during(what, seconds)

    # As the bench's scale --------------------------------------------------------------------

    def look(self) -> Live:
        return self._live

    def now_s(self) -> float:
        return self.at_s

    def end(self) -> None:
        """Nothing is held."""

    # Against the truth -----------------------------------------------------------------------

    def shown_then(self, at_s: float, grams: float, late_s: float = LATE_S) -> list[Sent]:
        """What the display truly showed that would be this weight, shortly before a moment."""
        return [
            it
            for it in self.emulator.sent
            if at_s - late_s <= it.at <= at_s
            and it.grams is not None
            and abs(it.grams - grams) < 0.06
        ]

    def wrong(self) -> tuple[int, int, int]:
        """Of all steady values: how many there were, how many the display never showed then, and
        how many it only showed while it moved."""
        steady = [it for it in self.all if it.state == "steady"]
        then = [self.shown_then(it.at_s, it.grams or 0.0) for it in steady]
        moved = sum(not any(it.stable for it in shown) for shown in then)
        return len(steady), sum(not shown for shown in then), moved
