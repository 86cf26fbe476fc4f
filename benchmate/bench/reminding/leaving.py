"""One message for who leaves: what comes before the shop opens, what would be too late then."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

from benchmate.bench.reminding.edges import ahead
from benchmate.bench.reminding.presence import now_of
from benchmate.bench.reminding.reminding import edges_now
from benchmate.bench.service import Bench
from benchmate.clock import steady_s
from benchmate.journal import JournalError
from benchmate.localtime import local, next_at
from benchmate.remind.minding import URGENT
from benchmate.remind.rows import TableLog
from benchmate.remind.rules.edges import EdgeAhead, Reminder, Stage
from benchmate.remind.rules.routing import AT_BENCH_S
from benchmate.remind.rules.said import Delivery, State, kind_of
from benchmate.remind.rules.settings import PHONE
from benchmate.settings import Hours

if TYPE_CHECKING:
    from benchmate.remind.channels.base import Channel

KEY, AWAY = "leaving", "While you are away"
CLOSING_MIN = 15
EVERY_S = 30.0
LATELY_S = 3600.0
"""The end of the hours says nothing to who was told so short a while ago."""
MORNING_MIN = 9 * 60
"""When the shop opens where the settings give no hours at all."""


def back_at(hours: Hours, wall_s: float) -> float:
    """When the shop opens next on a later day, by the settings (Unix seconds)."""
    today = local(wall_s).date().day_of_week().value - 1
    for days in range(1, 8):
        spans = hours.on((today + days) % 7)
        if spans:
            begins = min(s.begins_min for s in spans)
            return next_at(wall_s, days, begins // 60, begins % 60)
    return next_at(wall_s, 1, MORNING_MIN // 60, MORNING_MIN % 60)


def is_closing_time(hours: Hours, wall_s: float) -> bool:
    """Whether the day's last hours end within a quarter of an hour."""
    now = local(wall_s)
    spans = hours.on(now.date().day_of_week().value - 1)
    ends_min = max((s.ends_min for s in spans), default=0)
    return 0 <= ends_min - now.hour * 60 - now.minute < CLOSING_MIN


def coming(bench: Bench) -> list[EdgeAhead]:
    """What somebody waits for until the shop opens again."""
    now_s, wall_s = bench.now_s(), bench.now().wall_s
    back_s = now_s + back_at(bench.settings.hours, wall_s) - wall_s
    return [e for e in ahead(edges_now(bench), now_s) if e.gravity > 0 and e.at_s <= back_s]


def digest_of(bench: Bench, edges: Sequence[EdgeAhead]) -> Reminder:
    """One message of all these."""
    now, wall_s = now_of(bench), bench.now().wall_s
    back = now.clock(now.now_s + back_at(bench.settings.hours, wall_s) - wall_s)
    text = f"Before {back}: {'; '.join(f'{now.clock(e.at_s)} {_what(e)}' for e in edges)}."
    return Reminder(
        key=KEY,
        stage=Stage.SOON,
        round=0,
        text=text,
        speech_text=text,
        channels=(PHONE,),
        insistence="once",
        again=False,
        edge=edges[0],
        due_s=now.now_s,
        title=AWAY,
    )


class Leaving:
    """Tells each phone once, however the maker leaves: the end-of-day page, the bench closed, or
    the end of the shop's hours with somebody there. Told again is only what is new."""

    def __init__(self, bench: Bench, channels: Iterable[Channel]) -> None:
        self._bench, self._sending = bench, threading.Lock()
        self._phones = [c for c in channels if is_phone(c.name)]
        self._threads: list[threading.Thread] = []
        self._looked_s = float("-inf")

    def tell(self) -> None:
        """Send each phone what comes before the shop opens again. Returns at once."""
        if not self._phones or not self._bench.settings.reminders.digest:
            return
        self._threads = [t for t in self._threads if t.is_alive()]
        self._threads.append(threading.Thread(target=self._send, daemon=True))
        self._threads[-1].start()

    def look(self) -> None:
        """Asked at each round: the hours end soon, and somebody is there who wasn't told lately."""
        bench, now_s = self._bench, steady_s()
        if not self._phones or now_s - self._looked_s < EVERY_S:
            return
        self._looked_s = now_s
        hours, wall_s = bench.settings.hours, bench.now().wall_s
        if hours == Hours() or not is_closing_time(hours, wall_s):
            return  # hours that nobody set say nothing of where the maker is
        now, known = now_of(bench), self._known()
        is_there = now.touched_s is not None and now.now_s - now.touched_s <= AT_BENCH_S
        if is_there and all(now.now_s - line.at_s > LATELY_S for line in known):
            self.tell()

    @property
    def is_telling(self) -> bool:
        """Whether a phone is being told just now."""
        return any(t.is_alive() for t in self._threads)

    def wait(self, seconds: float) -> None:
        """Give what is being sent so long."""
        give_up = steady_s() + seconds
        for thread in self._threads:
            thread.join(max(0.0, give_up - steady_s()))

    def _known(self) -> list[Delivery]:
        lines = TableLog(self._bench.journal.deliveries).since(0.0)[1]
        return [line for line in lines if line.key == KEY and line.state == "sent"]

    def _send(self) -> None:
        with self._sending, suppress(JournalError):
            known, found = self._known(), coming(self._bench)
            names = [f"{e.key} {e.begun_s}" for e in found]
            for phone in self._phones:
                told = [line.note.split("\n") for line in known if line.channel == phone.name]
                if not set(names).difference(*told):
                    continue
                outcome = phone.send(digest_of(self._bench, found))
                state: State = "sent" if outcome.ok else "failed"
                note = "\n".join(names) if outcome.ok else outcome.note
                at_s = self._bench.now_s()
                line = Delivery(KEY, Stage.SOON, state, at_s, phone.name, note=note)
                TableLog(self._bench.journal.deliveries).record([line])


def is_phone(channel: str) -> bool:
    """Whether it is a phone's, and not one that is only for what spoils something."""
    return kind_of(channel) == PHONE and not channel.startswith(f"{PHONE}:{URGENT}")


def _what(edge: EdgeAhead) -> str:
    if edge.edge == "closes":
        return f"{edge.do or edge.label}, too late after that: do it now"
    return edge.do or f"{edge.label}, {edge.words}".rstrip(", ")
