"""`benchmate remind run`: reminding without a screen."""

from __future__ import annotations

import queue
import signal
import sys
from contextlib import suppress
from pathlib import Path

from benchmate.bench import Bench
from benchmate.bench.air.watch import AirWatch
from benchmate.bench.errors import JournalError
from benchmate.bench.keeping.upkeep import Upkeep
from benchmate.bench.reminding.away import AWAY_S, last_minded_s, missed_while_away
from benchmate.bench.reminding.minding import Minding
from benchmate.cli.opening import the_bench
from benchmate.cli.saying import put
from benchmate.localtime import show_clock, show_when
from benchmate.quantities import show_duration
from benchmate.remind.minding import Tick
from benchmate.remind.rules.edges import Reminder

LOOK_S = 1.0


def mind(home: Path | None, span: float | None) -> None:
    """Remind without a screen for so many seconds, or until stopped by a signal."""
    stop: queue.SimpleQueue[bool] = queue.SimpleQueue()
    for name in ("SIGTERM", "SIGINT", "SIGHUP"):
        number = getattr(signal, name, None)
        # Started with nohup it stays when the terminal is closed.
        if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
            # Not an Event: set in a handler while the same thread is about to wait for it, it
            # would hang for ever.
            signal.signal(number, lambda *_: stop.put(True))
    with the_bench(home, anyhow=True) as bench:
        watch = Watch(bench)
        watch.start()
        try:
            while not _told(stop):
                watch.look()
                if span is not None and watch.looks * LOOK_S >= span:
                    break
        finally:
            watch.stop()


def _told(stop: queue.SimpleQueue[bool]) -> bool:
    """Wait until it is time to look again; whether a signal came meanwhile."""
    try:
        return stop.get(timeout=LOOK_S)
    except queue.Empty:
        return False


class Watch:
    """What `remind run` does once a second in the thread that owns the bench, and what it says."""

    def __init__(self, bench: Bench) -> None:
        self.bench, self.looks = bench, 0
        # Somebody may look at a terminal; what goes to a file or a log reaches nobody.
        show = self._show if sys.stdout.isatty() else None
        self._minding = Minding(bench, show=show, on_tick=self._ticked)
        self._writes_given = show is None
        self._air = AirWatch(bench)
        self._upkeep = Upkeep(bench)
        self._seen_s = bench.now_s()
        self._said: dict[str, str] = {}

    def start(self) -> None:
        """Say what passed while nobody minded, then begin."""
        if self.bench.only_read:
            self._say(self.bench.only_read)
        if self.bench.clock_note:
            self._say(self.bench.clock_note)
        self._say_missed(last_minded_s(self.bench), "Since")
        self._minding.start()
        self._air.start()
        self._upkeep.start()

    def stop(self) -> None:
        """End all threads."""
        self._upkeep.stop()
        self._air.stop()
        self._minding.stop()

    def look(self) -> None:
        """Take in what others wrote, mind the clock, say what is new."""
        self.looks += 1
        before_s, self._seen_s = self._seen_s, self.bench.now_s()
        if self._seen_s - before_s > AWAY_S:
            self._say(f"This machine slept for {show_duration(self._seen_s - before_s)}.")
            self._say_missed(before_s, "While it slept, since")
        try:
            fresh = self.bench.refresh()
            self._say_once("clock", self.bench.mind_clock())
            for said in self._air.take(foreign=fresh):
                self._say(said)
            self._say_once("journal", "")
        except JournalError as error:
            # A full disk must not silence who reminds.
            self._say_once("journal", str(error))
        self._say_once("upkeep", self._upkeep.news())
        self._say_once("voice", _word(holds_voice=self._minding.holds_voice))
        self._say_once("awake", self._minding.awake_sentence)
        self._say_once("trouble", self._minding.trouble)

    def _say_missed(self, since_s: float, words: str) -> None:
        found = missed_while_away(self.bench, since_s)
        if found:
            since = show_when(self.bench.wall_at(since_s), self.bench.now().wall_s)
            self._say(f"{words} {since}:")
        for passed in found:
            self._say(f"  {passed.text}")

    def _show(self, reminder: Reminder) -> None:
        self._say(reminder.text)

    def _ticked(self, tick: Tick) -> None:
        if self._writes_given:
            for reminder in tick.given:
                self._say(reminder.text)

    def _say_once(self, topic: str, text: str) -> None:
        """Say it where it differs from what was last said of it."""
        if text and self._said.get(topic) != text:
            self._say(text)
        self._said[topic] = text

    def _say(self, text: str) -> None:
        # A terminal that was closed is no reason to stop reminding.
        with suppress(OSError, ValueError):
            put(f"{show_clock(self.bench.now().wall_s)}  {text}")


def _word(*, holds_voice: bool | None) -> str:
    if holds_voice is None:
        return ""
    if holds_voice:
        return "This process gives the reminders."
    return "Reminders are already running; this one stands by."
