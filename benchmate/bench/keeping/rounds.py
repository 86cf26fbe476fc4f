"""What a process that keeps a bench open does once a second, with a screen or without one.

In the thread that owns the bench. What there is to say is returned; each says it in its own way.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from benchmate.bench.air.watch import AirWatch
from benchmate.bench.keeping.upkeep import Upkeep
from benchmate.bench.reminding.away import AWAY_S, Passed, last_minded_s, missed_while_away
from benchmate.bench.service import Bench
from benchmate.journal import JournalError
from benchmate.localtime import show_when
from benchmate.quantities import show_duration

if TYPE_CHECKING:
    from benchmate.bench.reminding.minding import Minding


class News(NamedTuple):
    """Something to say, once."""

    text: str
    alarm: bool = False
    passed: tuple[Passed, ...] = ()
    """What the text is the head of: it passed while nobody looked."""


class Rounds:
    """Takes in what others wrote, minds the clock, follows the air, keeps the journal up."""

    def __init__(self, bench: Bench, *, keeps_up: bool = True, pace: float = 1.0) -> None:
        """`keeps_up`: check the journal and back it up. `pace`: of the bench's clock (the demo)."""
        self.bench, self.air = bench, AirWatch(bench)
        self.minding: Minding | None = None
        """What reminds; without it nobody is told of a sleep."""
        self._upkeep = Upkeep(bench) if keeps_up else None
        self._away_s, self._seen_s = AWAY_S * pace, bench.now_s()
        self._damage = bench.only_read
        self._unwritten = self._trouble = ""

    @property
    def journal_trouble(self) -> str:
        """What is wrong with the journal now; empty: nothing."""
        return self._unwritten or self._damage

    def start(self) -> None:
        """Begin what runs beside."""
        self.air.start()
        if self._upkeep is not None:
            self._upkeep.start()

    def stop(self) -> None:
        """Leave the air's file to another, and give up what is under way."""
        self.air.stop()
        if self._upkeep is not None:
            self._upkeep.stop()

    def opening(self) -> list[News]:
        """What passed since this shop was last looked after."""
        try:
            return self._away(last_minded_s(self.bench), self.bench.clock_note)
        except JournalError:
            return []  # the first look says what is wrong with it

    def look(self) -> list[News]:
        """One round."""
        news = self._slept()
        known, self._unwritten = self._unwritten, ""
        try:
            fresh = self.bench.refresh()
            told = [self.bench.mind_clock(), *self.air.take(foreign=fresh)]
            news += [News(text) for text in told]
        except JournalError as error:
            # A full disk must not silence who reminds.
            self._unwritten = str(error)
        if self._unwritten != known:
            news.append(News(self._unwritten, alarm=True))
        if found := self._upkeep.news() if self._upkeep is not None else "":
            self._damage = found
            news.append(News(found, alarm=True))
        known, self._trouble = self._trouble, self.minding.trouble if self.minding else ""
        if self._trouble != known:
            news.append(News(self._trouble, alarm=True))
        return [one for one in news if one.text]

    def _slept(self) -> list[News]:
        before_s, self._seen_s = self._seen_s, self.bench.now_s()
        slept_s = self._seen_s - before_s
        if self.minding is None or slept_s <= self._away_s:
            return []
        return self._away(before_s, f"This machine slept for {show_duration(slept_s)}.")

    def _away(self, since_s: float, note: str) -> list[News]:
        """The note, and what passed since then."""
        passed = tuple(missed_while_away(self.bench, since_s))
        if not passed:
            return [News(note)]
        since = show_when(self.bench.wall_at(since_s), self.bench.now().wall_s)
        return [News(f"{note} While you were away (since {since}):".strip(), passed=passed)]
