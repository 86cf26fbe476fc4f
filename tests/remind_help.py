"""Small makers of edges and moments for the reminders' tests, and stand-ins for channels."""

from __future__ import annotations

import threading
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace

from whenever import Instant, ZonedDateTime

from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.dispatcher import Given
from benchmate.remind.rules.due import look
from benchmate.remind.rules.edges import EdgeAhead, EdgeKind, Now, Reminder, Stage
from benchmate.remind.rules.said import Call, Delivery, Said, State
from benchmate.remind.rules.settings import RemindSettings

MIN = 60.0
HOUR = 3600.0
NOON = ZonedDateTime(2026, 11, 25, 12, 0, tz="Europe/London")
NOON_S = float(NOON.timestamp())
"""The shop's time line as it is on a machine whose clock was never moved: Unix seconds."""


def now_at(at_s: float, zone: str = "Europe/London", *, at_machine: bool = False) -> Now:
    """The moment at a place on the time line, in a zone."""
    wall = Instant.from_timestamp(round(at_s * 1e9), unit="nanosecond").to_tz(zone)
    return Now(at_s, wall, at_machine=at_machine)


def after(minutes: float) -> Now:
    """So many minutes after noon."""
    return now_at(NOON_S + minutes * MIN)


def edge(
    kind: EdgeKind = "closes",
    at_min: float = 40.0,
    consequence: str = "spoils mix",
    begun_min: float | None = 0.0,
    hands_min: float = 5.0,
    label: str = "bookend B, mix 2, pot life",
    **others: object,
) -> EdgeAhead:
    """An edge, in minutes after noon."""
    made = EdgeAhead(
        key=f"{label}/{kind}",
        job="bookends-1",
        address="bookends-1/B/block/mix#2",
        label=label,
        edge=kind,
        at_s=NOON_S + at_min * MIN,
        consequence=consequence,
        hands_s=hands_min * MIN,
        window=f"bookends-1/B/block/mix#2:{label}",
        begun_s=None if begun_min is None else NOON_S + begun_min * MIN,
    )
    return replace(made, **others)  # type: ignore[arg-type]


def line(
    of: EdgeAhead,
    stage: Stage,
    state: State,
    minute: float,
    channel: str = "sound",
    number: int = 0,
    until_min: float | None = None,
) -> Delivery:
    """A delivery, in minutes after noon."""
    return Delivery(
        key=of.key,
        stage=stage,
        state=state,
        at_s=NOON_S + minute * MIN,
        channel=channel,
        round=number,
        until_s=None if until_min is None else NOON_S + until_min * MIN,
    )


class FakeChannel:
    """A channel that notes what it is given and answers as told."""

    def __init__(
        self, name: str = "sound", answer: Callable[[Reminder], Outcome] = lambda r: SENT
    ) -> None:
        self.name = name
        self.answer = answer
        self.given: list[Reminder] = []
        self.withdrawn: list[str] = []
        self.called = threading.Event()

    def available(self) -> Availability:
        return Availability(ok=True, sentence=f"{self.name}: it is there.")

    def send(self, reminder: Reminder) -> Outcome:
        self.given.append(reminder)
        self.called.set()
        return self.answer(reminder)

    def withdraw(self, key: str) -> None:
        self.withdrawn.append(key)


class InStepSender:
    """A sender without threads: each call is done, and its outcome there, at once."""

    def __init__(self, *channels: FakeChannel) -> None:
        self.channels = {channel.name: channel for channel in channels}
        self.refresh: Callable[[Reminder], Reminder | None] = lambda r: r
        self.on_outcome: Callable[[], None] = lambda: None
        self._given: list[Given] = []
        self.stood: tuple[Reminder, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(self.channels)

    def submit(self, reminder: Reminder, channel: str) -> None:
        fresh = self.refresh(reminder)
        outcome = Outcome(ok=False, note="out of date")
        if fresh is not None:
            outcome = self.channels[channel].send(fresh)
        call = Call(reminder.key, reminder.stage, reminder.round, channel)
        self._given.append(Given(call, outcome, 1, reminder.again))

    def withdraw(self, key: str) -> None:
        for channel in self.channels.values():
            channel.withdraw(key)

    def stand(self, reminders: tuple[Reminder, ...]) -> None:
        self.stood = reminders

    def outcomes(self) -> list[Given]:
        given, self._given = self._given, []
        return given


def said_of(reminders: Sequence[Reminder]) -> list[tuple[str, Stage]]:
    """Edge and stage of each, for comparing."""
    return [(one.key, one.stage) for r in reminders for one in (r, *r.also)]


class MemoryLog:
    """A log of deliveries that forgets when the program ends."""

    def __init__(self) -> None:
        self.lines: list[Delivery] = []

    def record(self, deliveries: Sequence[Delivery]) -> None:
        self.lines.extend(deliveries)

    def since(self, mark: float) -> tuple[float, Sequence[Delivery]]:
        return len(self.lines), self.lines[int(mark) :]


def due(
    edges: Iterable[EdgeAhead],
    said: Said | Iterable[Delivery],
    settings: RemindSettings,
    now: Now,
    in_flight: Collection[Call] = (),
) -> list[Reminder]:
    """The reminders to give now, the gravest first."""
    return list(look(edges, said, settings, now, in_flight).due)


def next_wake_s(
    edges: Iterable[EdgeAhead],
    said: Said | Iterable[Delivery],
    settings: RemindSettings,
    now: Now,
    in_flight: Collection[Call] = (),
) -> float | None:
    """When something becomes due next if nobody acts; None: never."""
    return look(edges, said, settings, now, in_flight).wake_s


def reminder(text: str, insistence: str = "once", key: str = "k") -> Reminder:
    """A reminder of so many words."""
    of = edge(key=key)
    return Reminder(
        key, Stage.CLOSING, 0, text, text, ("terminal",), insistence, False, of, of.at_s, text
    )
