"""Minding the edges: look, note what is about to be said, have it said, note what became of it.

The bench runs this in a thread beside its screen, `benchmate remind run` without one. Only the one
that holds the voice speaks; any other follows along, ready to take over.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from benchmate.remind.dispatcher import Given
from benchmate.remind.rules.due import Look, look, reworded
from benchmate.remind.rules.edges import EdgeAhead, Now, Reminder, Stage
from benchmate.remind.rules.said import Call, Delivery, DeliveryLog, Said, State, kind_of
from benchmate.remind.rules.settings import PHONE, RemindSettings
from benchmate.remind.rules.staying_awake import Wish, awake_for
from benchmate.remind.rules.unheard import unheard
from benchmate.remind.rules.view import NO_CHANNEL

LONGEST_SLEEP_S = 1.0
SHORTEST_SLEEP_S = 0.005
LISTENING_SLEEP_S = 0.5
"""How often one that doesn't hold the voice asks for it: well within two seconds."""
URGENT = "urgent "
"""Begins the name of a phone that is only for what spoils something."""
MOST_AT_ONCE = 3
"""So many reminders are announced in one tick, the gravest first: if this process is killed, few
calls are left of which nobody knows whether they were heard."""


class Voice(Protocol):
    """The right to remind, held by one process at a time."""

    def take(self) -> bool:
        """Take it or keep it; False while another process has it."""


class Awake(Protocol):
    """What keeps the machine awake."""

    @property
    def on_battery(self) -> bool:
        """Whether the machine lives on its battery. Cheap enough for every round."""

    def want(self, wish: Wish) -> None:
        """Keep awake from now on, or let it sleep. Must not block."""


class Sender(Protocol):
    """What calls the channels (a Dispatcher)."""

    refresh: Callable[[Reminder], Reminder | None]
    on_outcome: Callable[[], None]

    @property
    def names(self) -> tuple[str, ...]: ...

    def submit(self, reminder: Reminder, channel: str) -> None: ...

    def withdraw(self, key: str) -> None: ...

    def stand(self, reminders: tuple[Reminder, ...]) -> None: ...

    def outcomes(self) -> list[Given]: ...


@dataclass(frozen=True, slots=True)
class Tick:
    """What one round of minding did and found."""

    holds_voice: bool
    given: tuple[Reminder, ...]
    showing: tuple[Reminder, ...]
    """What stands unanswered, for a banner."""
    wake_s: float | None
    """When something changes next if nobody acts."""
    mute: tuple[Reminder, ...] = ()
    """What another process gives, and nothing it has can be heard."""


class Minder:
    """Reminds of the edges it is shown, once each as the rules say, and keeps the log of it.

    `edges`, `now` and `settings` are called at each tick, `now` also from the channels' threads.
    """

    def __init__(
        self,
        edges: Callable[[], Sequence[EdgeAhead]],
        now: Callable[[], Now],
        log: DeliveryLog,
        sender: Sender,
        settings: Callable[[], RemindSettings] = RemindSettings,
        voice: Voice | None = None,
        awake: Awake | None = None,
    ) -> None:
        """Without a `voice` it is taken to be the only one that reminds."""
        self._edges, self._now, self._settings = edges, now, settings
        self._log, self._sender, self._voice, self._awake = log, sender, voice, awake
        self._said = Said()
        self._mark = 0.0
        self._in_flight: set[Call] = set()
        self._along: dict[Call, list[Call]] = {}
        """What else is said by a call: the same words for other pieces."""
        self._wanted: frozenset[tuple[str, Stage]] = frozenset()
        self._shown: set[str] = set()
        self._changed = threading.Event()
        self._unread = self._unrecorded = ""
        sender.refresh = self._fresh
        sender.on_outcome = self._changed.set

    @property
    def trouble(self) -> str:
        """Why edges can't be read or deliveries not be recorded; empty when all is well."""
        return self._unread or self._unrecorded

    def tick(self) -> Tick:
        """One round: note outcomes, look, and have said the gravest of what is due.

        Where more is due than is given, `wake_s` has already passed: tick again.
        """
        holds = self._voice is None or self._voice.take()
        self._note_outcomes()
        edges = self._edges()
        found = self._look(edges)
        given = found.due[:MOST_AT_ONCE] if holds else ()
        if given:
            self._give(given)
            found = self._look(edges)
        self._withdraw_unwanted()
        now = self._now()
        if holds:
            self._sender.stand(found.showing)
        if self._awake is not None:
            on_battery = holds and self._awake.on_battery
            self._awake.want(awake_for(edges if holds else (), now, on_battery=on_battery))
        mute = () if holds else unheard(found.showing, self._said, self._settings(), now.now_s)
        return Tick(holds, given, found.showing, found.wake_s, tuple(mute))

    def run(self, stop: threading.Event, on_tick: Callable[[Tick], None] | None = None) -> None:
        """Mind until stopped, sleeping until the next edge but never longer than a second."""
        while not stop.is_set():
            self._changed.clear()
            sleep_s = LONGEST_SLEEP_S
            try:
                tick = self.tick()
                sleep_s = self._sleep_s(tick)
                if on_tick is not None:
                    on_tick(tick)
            except Exception as error:  # minding must outlive whatever its sources do
                why = getattr(error, "strerror", None) or error
                self._unread = f"Reminders could not be worked out: {why}"
            else:
                self._unread = ""
            self._changed.wait(sleep_s)

    def finish(self) -> None:
        """Note what became of the last calls, and say nothing more: the sender is closed."""
        self._note_outcomes()

    def poke(self) -> None:
        """Have `run` look at once: something was done, acknowledged or set."""
        self._changed.set()

    def _sleep_s(self, tick: Tick) -> float:
        if not tick.holds_voice:
            return LISTENING_SLEEP_S
        if tick.wake_s is None:
            return LONGEST_SLEEP_S
        return max(SHORTEST_SLEEP_S, min(tick.wake_s - self._now().now_s, LONGEST_SLEEP_S))

    def _look(self, edges: Sequence[EdgeAhead]) -> Look:
        self._catch_up()
        found = look(edges, self._said, self._wishes(), self._now(), self._in_flight)
        self._wanted = frozenset((r.key, r.stage) for r in found.showing)
        return found

    def _wishes(self) -> RemindSettings:
        """The settings; without a phone's channel at hand the shop's own have to do."""
        wishes = self._settings()
        has_phone = any(kind_of(name) == PHONE for name in self._sender.names)
        return wishes if has_phone else replace(wishes, has_phone=False)

    def _catch_up(self) -> None:
        self._mark, lines = self._log.since(self._mark)
        for line in lines:
            self._said.add(line)

    def _fresh(self, reminder: Reminder) -> Reminder | None:
        """Asked from a channel's thread, just before the call."""
        if (reminder.key, reminder.stage) not in self._wanted:
            return None
        return reworded(reminder, self._now())

    def _give(self, reminders: Sequence[Reminder]) -> None:
        at_s = self._now().now_s
        calls = [(r, name) for r in reminders for name in self._at_hand(r)]
        lines = [_line(one, name, "about to", at_s) for r, name in calls for one in (r, *r.also)]
        lines += [
            _line(r, name, "failed", at_s, "no such channel is at hand")
            for r in reminders
            for name in self._missing(r)
        ]
        self._record(lines)
        for reminder, name in calls:
            self._shown.add(reminder.key)
            own, *others = (Call(r.key, r.stage, r.round, name) for r in (reminder, *reminder.also))
            self._in_flight |= {own, *others}
            self._along[own] = others
            told = self._was_told(reminder, name)
            self._sender.submit(replace(reminder, again=True) if told else reminder, name)

    def _was_told(self, reminder: Reminder, name: str) -> bool:
        """Whether this channel has said it before, so that it is said *again*."""
        rounds = self._said.of(reminder.edge, reminder.stage).rounds
        return any((line := r.lines.get(name)) and line.state == "sent" for r in rounds)

    def _at_hand(self, reminder: Reminder) -> list[str]:
        """The channels for it, by name or by kind."""
        wanted = reminder.channels
        return [
            name
            for name in self._sender.names
            if (name in wanted or kind_of(name) in wanted)
            and (reminder.urgent or not name.startswith(f"{PHONE}:{URGENT}"))
        ]

    def _missing(self, reminder: Reminder) -> list[str]:
        names = self._sender.names
        if not reminder.again:
            return [] if self._at_hand(reminder) else [NO_CHANNEL]
        kinds = {kind_of(name) for name in names}
        return [wanted for wanted in reminder.channels if wanted not in {*names, *kinds}]

    def _note_outcomes(self) -> None:
        given = self._sender.outcomes()
        if not given:
            return
        at_s = self._now().now_s
        all_given = [
            one._replace(call=call)
            for one in given
            for call in (one.call, *self._along.pop(one.call, ()))
        ]
        self._record([_outcome_line(one, at_s) for one in all_given])
        self._in_flight -= {one.call for one in all_given}

    def _record(self, lines: Sequence[Delivery]) -> None:
        """Into the log; if that can't be written, at least into memory: better heard than kept."""
        try:
            self._log.record(lines)
        except Exception as error:  # whatever keeps the log has its own errors
            self._unrecorded = f"Reminders are given but can't be recorded: {error}"
            for line in lines:
                self._said.add(line)
        else:
            self._unrecorded = ""

    def _withdraw_unwanted(self) -> None:
        wanted = {key for key, _ in self._wanted}
        for key in self._shown - wanted:
            self._sender.withdraw(key)
        self._shown &= wanted


def note_rung(log: DeliveryLog, reminders: Sequence[Reminder], at_s: float, where: str) -> None:
    """Note that a bench rang for these, in place of a holder of the word that nobody hears."""
    log.record([_line(r, where, "sent", at_s) for r in reminders])


def acknowledge(log: DeliveryLog, reminder: Reminder, at_s: float, where: str) -> None:
    """Note that the maker has heard it: quiet everywhere, until the edge's next stage.

    `where`: the channel or the front door it was said at.
    """
    log.record([_line(reminder, where, "acknowledged", at_s)])


def call_again(log: DeliveryLog, reminder: Reminder, at_s: float, in_s: float, where: str) -> None:
    """Note "call me again in …" (seconds).

    Raises:
        ValueError: the time is not ahead.
    """
    if in_s <= 0:
        raise ValueError("How long until the next reminder? For instance 10 min.")
    line = _line(reminder, where, "call again at", at_s, until_s=at_s + in_s)
    log.record([line])


def _line(
    reminder: Reminder,
    channel: str,
    state: State,
    at_s: float,
    note: str = "",
    until_s: float | None = None,
) -> Delivery:
    return Delivery(
        key=reminder.key,
        stage=reminder.stage,
        state=state,
        at_s=at_s,
        channel=channel,
        round=reminder.round,
        until_s=until_s,
        again=reminder.again,
        note=note,
    )


def _outcome_line(given: Given, at_s: float) -> Delivery:
    call, outcome = given.call, given.outcome
    tries = f" (after {given.tries} tries)" if given.tries > 1 else ""
    return Delivery(
        key=call.key,
        stage=call.stage,
        state="sent" if outcome.ok else "failed",
        at_s=at_s,
        channel=call.channel,
        round=call.round,
        again=given.again,
        note=f"{outcome.note}{tries}".strip(),
    )
