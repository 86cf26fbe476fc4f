"""The air from a file, live: a thread looks, the bench's own thread records and speaks.

A `Bench` isn't shared between threads, so that the looking thread only reads its frozen shop and
leaves what it heard in a queue. Of all benches of one shop, only the one that holds the lock
follows the file; the others see its readings in the journal.
"""

from __future__ import annotations

import threading
from dataclasses import replace
from queue import Empty, SimpleQueue

from benchmate.air.followed.file import EVERY_S, AirFile, air_file
from benchmate.air.followed.following import Step
from benchmate.air.followed.notices import notice_text
from benchmate.bench.air.news import WORTH_SHARE, Told
from benchmate.bench.service import Bench
from benchmate.job.deciding.streams.commands import LogAir, Logged
from benchmate.journal import JournalError
from benchmate.moment import Moment
from benchmate.quantities.worded import in_units
from benchmate.remind.voice import OneVoice

LOCK = "air.lock"


class AirWatch:
    """Follows the settings' air file, if there is one, and tells what any new air moves."""

    def __init__(self, bench: Bench, every_s: float = EVERY_S) -> None:
        self._bench, self._every_s = bench, every_s
        self.source = bench.settings.air
        self._heard: SimpleQueue[Step] = SimpleQueue()
        self._file: AirFile | None = None
        self._lock = OneVoice(bench.folders.data / LOCK)
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None
        self._air = bench.shop.air
        self._told: Told | None = None
        self._trouble = ""

    # The looking thread ----------------------------------------------------------------------

    def start(self) -> None:
        """Begin to look, where the settings name a file."""
        if self.source.file and self._thread is None:
            self._thread = threading.Thread(target=self._run, name="air", daemon=True)
            self._thread.start()

    def stop(self) -> None:
        """Stop looking, and leave the file to another bench."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join(2.0)
            self._thread = None
        self._lock.release()

    def _run(self) -> None:
        while not self._stop.is_set():
            self.look()
            self._stop.wait(self._every_s)

    def look(self) -> None:
        """One look at the file; what it is worth goes into the queue. Any thread may call it."""
        if not self.source.file or not self._lock.take():
            self._file = None
            return
        now = self._bench.now()
        now_s = self._bench.shop.timeline.at(now)
        last = self._bench.shop.air_of(self.source.place).at(now_s)
        if self._file is None:
            self._file = air_file(self.source, last)
        if self._file is None:
            return
        kept = self._file.state.kept
        if last is not None and (kept is None or last.t_s > kept.t_s):
            # Somebody typed a reading: the file's next one is compared with that.
            self._file.state = replace(self._file.state, kept=last)
        step = self._file.look(now_s, now.wall_s)
        if step.reading is not None or step.notice is not None:
            self._heard.put(step)

    # The thread that owns the bench ----------------------------------------------------------

    def take(self, *, foreign: bool = False) -> list[str]:
        """Record what was heard; what there is to say of it, in sentences.

        `foreign`: another process has written, so that new air in the shop may be news here too.
        Readings that this process recorded by other ways have been spoken of by then. A reading
        that can't be kept is lost and said so: whoever reminds must not end because of it.
        """
        said: list[str] = []
        fresh = False
        # Not when it is made: the first frame of a screen doesn't wait for it.
        self._told = self._told or Told.of(self._bench)
        while (step := self._next()) is not None:
            trouble = self._record(step)
            fresh = fresh or step.reading is not None
            said += [text for text in (self._notice(step), trouble) if text]
        if self._bench.shop.air is not self._air:
            self._air = self._bench.shop.air
            if fresh or foreign:
                said += self._told.news(self._bench, WORTH_SHARE)
            else:
                self._told = Told.of(self._bench)
        return said

    def _next(self) -> Step | None:
        try:
            return self._heard.get_nowait()
        except Empty:
            return None

    def _record(self, step: Step) -> str:
        """Keep a step; why it can't be kept, said once until one can."""
        try:
            self._bench.settle(self._logged(step))
        except JournalError as error:
            known, self._trouble = self._trouble, str(error)
            return "" if known else f"The air was not recorded: {error}"
        self._trouble = ""
        return ""

    def _logged(self, step: Step) -> LogAir:
        now, r = self._bench.now(), step.reading
        fresh = (
            ()
            if r is None
            else (Logged(self._moment(r.t_s, now), r.temperature_c, r.humidity_pct),)
        )
        source = f"file {self.source.file}"
        return LogAir(place=self.source.place, source=source, readings=fresh, notice=step.notice)

    def _notice(self, step: Step) -> str:
        units = self._bench.settings.units
        return "" if step.notice is None else in_units(notice_text(step.notice), units)

    def _moment(self, place_s: float, now: Moment) -> Moment:
        return now.shifted(min(0.0, place_s - self._bench.shop.timeline.at(now)))
