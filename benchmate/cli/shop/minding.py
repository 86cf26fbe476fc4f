"""`benchmate remind run`: reminding without a screen."""

from __future__ import annotations

import queue
import signal
import sys
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from benchmate.bench import Bench
from benchmate.bench.keeping.rounds import News, Rounds
from benchmate.bench.reminding.minding import Minding
from benchmate.cli.opening import the_bench
from benchmate.cli.saying import Unsaid, put
from benchmate.localtime import show_clock
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
        self._rounds = Rounds(bench)
        self._rounds.minding = self._minding
        self._said: dict[str, str] = {}

    def start(self) -> None:
        """Say what passed while nobody minded, then begin."""
        self._tell([News(self.bench.only_read), *self._rounds.opening()])
        self._minding.start()
        self._rounds.start()

    def stop(self) -> None:
        """End all threads."""
        self._rounds.stop()
        self._minding.stop()

    def look(self) -> None:
        """One round, and what is new."""
        self.looks += 1
        self._tell(self._rounds.look())
        self._say_once("voice", _word(holds_voice=self._minding.holds_voice))
        self._say_once("awake", self._minding.awake_sentence)

    def _tell(self, news: Iterable[News]) -> None:
        for one in news:
            if one.text:
                self._say(one.text)
            for passed in one.passed:
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
        with suppress(Unsaid, OSError, ValueError):
            put(f"{show_clock(self.bench.now().wall_s)}  {text}")


def _word(*, holds_voice: bool | None) -> str:
    if holds_voice is None:
        return ""
    if holds_voice:
        return "This process gives the reminders."
    return "Reminders are already running; this one stands by."
