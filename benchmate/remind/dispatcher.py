"""Calling the channels without ever keeping the caller waiting.

Each channel has a thread and a short queue of its own, so that a slow mail server delays no
tone. What is out of date by the time its turn comes is dropped, and said to be.
"""

from __future__ import annotations

import heapq
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from queue import Empty, SimpleQueue
from typing import NamedTuple

from benchmate.clock import steady_s
from benchmate.remind.channels.base import Channel, Outcome
from benchmate.remind.rules.edges import Reminder
from benchmate.remind.rules.said import Call

Refresh = Callable[[Reminder], Reminder | None]
MOST_WAITING = 64
BACK_OFF_S = (5.0, 20.0, 60.0, 180.0)
"""Between the tries of a channel that says trying again may help."""
OUT_OF_DATE = Outcome(ok=False, note="out of date before its turn came")
CROWDED_OUT = Outcome(ok=False, note="too much was waiting to be said")
SHUT_DOWN = Outcome(ok=False, note="the program was closed before its turn came")


class Given(NamedTuple):
    """What became of one call, after so many tries."""

    call: Call
    outcome: Outcome
    tries: int
    again: bool


@dataclass(order=True, slots=True)
class _Item:
    """Waiting to be sent: by the time it may be tried, the urgent first, then in turn."""

    ready_at: float
    later: bool
    turn: int
    reminder: Reminder = field(compare=False)
    tries: int = field(default=0, compare=False)


class _Lane:
    """One channel's thread and queue."""

    def __init__(self, channel: Channel, owner: Dispatcher) -> None:
        self.channel = channel
        self.items: list[_Item] = []
        self.withdrawn: set[str] = set()
        self.standing: tuple[Reminder, ...] | None = None
        """What stands, where that is news to the channel; None: it isn't."""
        self._stood: tuple[object, ...] | None = None
        self.changed = threading.Condition()
        self.closed = False
        self.busy = False
        self._turn = 0
        self._owner = owner
        self._thread: threading.Thread | None = None

    def put(self, reminder: Reminder) -> None:
        with self.changed:
            self._turn += 1
            item = _Item(0.0, not reminder.urgent, self._turn, reminder)
            heapq.heappush(self.items, item)
            if len(self.items) > self._owner.most_waiting:
                self._drop(max(self.items, key=lambda i: (i.later, i.turn)), CROWDED_OUT)
            self._start()
            self.changed.notify()

    def withdraw(self, key: str) -> None:
        if not hasattr(self.channel, "withdraw"):
            return
        with self.changed:
            self.withdrawn.add(key)
            self._start()
            self.changed.notify()

    def stand(self, reminders: tuple[Reminder, ...]) -> None:
        now = tuple((r.key, r.stage) for r in reminders)
        if not hasattr(self.channel, "stand") or now == self._stood:
            return
        with self.changed:
            self.standing, self._stood = reminders, now
            self._start()
            self.changed.notify()

    def close(self, wait_s: float) -> None:
        with self.changed:
            self.closed = True
            for item in list(self.items):
                self._drop(item, SHUT_DOWN)
            self.changed.notify()
        if self._thread is not None:
            self._thread.join(wait_s)

    def _start(self) -> None:
        if self._thread is None:
            name = f"reminders by {self.channel.name}"
            self._thread = threading.Thread(target=self._work, name=name, daemon=True)
            self._thread.start()

    def _drop(self, item: _Item, outcome: Outcome) -> None:
        self.items.remove(item)
        heapq.heapify(self.items)
        self._owner.report(item.reminder, self.channel.name, outcome, item.tries)

    def _work(self) -> None:
        while True:
            with self.changed:
                while not (self.closed or self._has_news() or self._is_ready()):
                    self.changed.wait(self._wait_s())
                if self.closed:
                    return
                gone, self.withdrawn = self.withdrawn, set()
                item = heapq.heappop(self.items) if self._is_ready() else None
                self.busy = item is not None
            for key in gone:
                self.channel.withdraw(key)  # type: ignore[attr-defined]
            if item is not None:
                self._send(item)
                self.busy = False
            elif self.standing is not None:
                standing, self.standing = self.standing, None
                self.channel.stand(standing)  # type: ignore[attr-defined]

    def _has_news(self) -> bool:
        return bool(self.withdrawn) or self.standing is not None

    def _is_ready(self) -> bool:
        return bool(self.items) and self.items[0].ready_at <= steady_s()

    def _wait_s(self) -> float | None:
        return max(0.0, self.items[0].ready_at - steady_s()) if self.items else None

    def _send(self, item: _Item) -> None:
        # A try that failed may have been heard all the same, by a service that was only slow.
        wanted = replace(item.reminder, again=True) if item.tries else item.reminder
        fresh = self._refreshed(wanted)
        if fresh is None:
            outcome = OUT_OF_DATE
        else:
            item.tries += 1
            outcome = _called(self.channel, fresh)
        if not outcome.ok and outcome.retry and item.tries <= len(self._owner.back_off_s):
            self._put_back(item)
            return
        self._owner.report(item.reminder, self.channel.name, outcome, item.tries)

    def _refreshed(self, reminder: Reminder) -> Reminder | None:
        try:
            return self._owner.refresh(reminder)
        except Exception:  # better in old words than a lane that has died
            return reminder

    def _put_back(self, item: _Item) -> None:
        with self.changed:
            if self.closed:
                self._owner.report(item.reminder, self.channel.name, SHUT_DOWN, item.tries)
                return
            item.ready_at = steady_s() + self._owner.back_off_s[item.tries - 1]
            heapq.heappush(self.items, item)


def _called(channel: Channel, reminder: Reminder) -> Outcome:
    try:
        return channel.send(reminder)
    except Exception as error:  # a channel that breaks must not take its thread along
        return Outcome(ok=False, note=f"{channel.name} broke off ({type(error).__name__})")


def _as_it_is(reminder: Reminder) -> Reminder | None:
    return reminder


class Dispatcher:
    """Hands reminders to channels and collects what became of them."""

    def __init__(
        self,
        channels: Sequence[Channel],
        back_off_s: Sequence[float] = BACK_OFF_S,
        most_waiting: int = MOST_WAITING,
    ) -> None:
        """`back_off_s`: the waits before each further try of a channel that asks for one.

        `most_waiting`: so many may wait for one channel; then the least urgent is dropped, and
        comes again as what nobody took.
        """
        self.back_off_s = tuple(back_off_s)
        self.most_waiting = most_waiting
        self.refresh: Refresh = _as_it_is
        """Asked just before a call: the reminder in today's words, or None if out of date."""
        self.on_outcome: Callable[[], None] = lambda: None
        """Called from a channel's thread after each outcome."""
        self._lanes = {channel.name: _Lane(channel, self) for channel in channels}
        self._given: SimpleQueue[Given] = SimpleQueue()

    @property
    def names(self) -> tuple[str, ...]:
        """The channels at hand."""
        return tuple(self._lanes)

    def submit(self, reminder: Reminder, channel: str) -> None:
        """Have it sent; returns at once."""
        self._lanes[channel].put(reminder)

    def withdraw(self, key: str) -> None:
        """Have taken back what is still shown of an edge; returns at once."""
        for lane in self._lanes.values():
            lane.withdraw(key)

    def stand(self, reminders: tuple[Reminder, ...]) -> None:
        """Tell the channels that keep a state (a lamp) what stands, the gravest first."""
        for lane in self._lanes.values():
            lane.stand(reminders)

    def outcomes(self) -> list[Given]:
        """What became of calls since last asked."""
        found: list[Given] = []
        while True:
            try:
                found.append(self._given.get_nowait())
            except Empty:
                return found

    @property
    def is_busy(self) -> bool:
        """Whether some channel is being called just now."""
        return any(lane.busy for lane in self._lanes.values())

    def close(self, wait_s: float = 0.0) -> None:
        """Send nothing more; wait so long for each call under way."""
        for lane in self._lanes.values():
            lane.close(wait_s)

    def report(self, reminder: Reminder, channel: str, outcome: Outcome, tries: int) -> None:
        """Note an outcome (for the lanes)."""
        call = Call(reminder.key, reminder.stage, reminder.round, channel)
        self._given.put(Given(call, outcome, tries, reminder.again))
        self.on_outcome()
