"""What was said to whom: the deliveries, the log that keeps them, and their sum."""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import Literal, NamedTuple, Protocol

from benchmate.remind.rules.edges import EdgeAhead, Stage

State = Literal["about to", "sent", "failed", "acknowledged", "call again at"]


@dataclass(frozen=True, slots=True)
class Delivery:
    """One line of the log, never changed once written.

    "about to" is written before a channel is called, "sent" or "failed" after; a call whose
    outcome is missing may or may not have been heard. "acknowledged" and "call again at" are the
    maker's words on a stage of an edge; their channel is where they were said.
    """

    key: str
    stage: Stage
    state: State
    at_s: float
    channel: str = ""
    round: int = 0
    until_s: float | None = None
    """For "call again at": when, on the shop's time line."""
    again: bool = False
    note: str = ""


class DeliveryLog(Protocol):
    """Where deliveries are kept. Safe to use from the one thread that reminds."""

    def record(self, deliveries: Sequence[Delivery]) -> None:
        """Keep these, in this order; they survive a kill once this returns."""

    def since(self, mark: float) -> tuple[float, Sequence[Delivery]]:
        """What any process recorded after a mark (0: all that still matters), and the new mark.

        The mark is the log's own business. Lines may come in any order and more than once.
        """


def kind_of(channel: str) -> str:
    """The kind of a channel from its name: "message" of "message:2"."""
    return channel.partition(":")[0]


class Call(NamedTuple):
    """One call of one channel: what a delivery's outcome belongs to."""

    key: str
    stage: Stage
    round: int
    channel: str


@dataclass(slots=True)
class Round:
    """One time a stage was said, by several channels at once."""

    number: int
    began_s: float
    lines: dict[str, Delivery] = field(default_factory=dict)
    """By channel: what is known of its call."""

    @property
    def heard(self) -> bool:
        """Whether at least one channel took it."""
        return any(line.state == "sent" for line in self.lines.values())

    @property
    def pending(self) -> bool:
        """Whether some channel's outcome is missing."""
        return any(line.state == "about to" for line in self.lines.values())

    def note(self, line: Delivery) -> None:
        """Take in what is known of one channel's call; the outcome comes after the announcement."""
        known = self.lines.get(line.channel)
        if known is None or _age(line) > _age(known):
            self.lines[line.channel] = line


@dataclass(slots=True)
class StageLog:
    """All that was said of one stage of one edge, and what the maker answered last.

    The lines may come in any order and more than once: a table that is read anew does that.
    """

    all_rounds: list[Round] = field(default_factory=list)
    last_message_s: float = -inf
    acknowledged_s: float = -inf
    asked_again_s: float = -inf
    """When the maker last asked to be called again, and for when."""
    call_at_s: float = -inf

    @property
    def acknowledged(self) -> bool:
        """Whether the maker's last word is that they have heard it."""
        return self.acknowledged_s > -inf and self.acknowledged_s >= self.asked_again_s

    @property
    def call_again_s(self) -> float | None:
        """When to call again, if that is the maker's last word."""
        asked = self.asked_again_s > self.acknowledged_s
        return self.call_at_s if asked else None

    @property
    def rounds(self) -> list[Round]:
        """The rounds since the maker last asked to be called again."""
        if self.asked_again_s == -inf:
            return self.all_rounds
        return [entry for entry in self.all_rounds if entry.began_s > self.asked_again_s]

    @property
    def next_number(self) -> int:
        """The number of the round to come."""
        return self.all_rounds[-1].number + 1 if self.all_rounds else 0

    def add(self, line: Delivery) -> None:
        """Take in one more line."""
        if line.state == "acknowledged":
            self.acknowledged_s = max(self.acknowledged_s, line.at_s)
        elif line.state == "call again at":
            if line.at_s >= self.asked_again_s and line.until_s is not None:
                self.asked_again_s, self.call_at_s = line.at_s, line.until_s
        else:
            self._add_call(line)

    def _add_call(self, line: Delivery) -> None:
        entry = next((r for r in self.all_rounds if r.number == line.round), None)
        if entry is None:
            entry = Round(line.round, line.at_s)
            insort(self.all_rounds, entry, key=lambda r: r.number)
        entry.began_s = min(entry.began_s, line.at_s)
        entry.note(line)
        if line.state == "sent" and kind_of(line.channel) == "message":
            self.last_message_s = max(self.last_message_s, line.at_s)


NOTHING_SAID = StageLog()


class Said:
    """The sum of the deliveries, kept up to date line by line."""

    def __init__(self, deliveries: Iterable[Delivery] = ()) -> None:
        self._lines: dict[str, list[Delivery]] = {}
        self._logs: dict[str, dict[tuple[Stage, float | None], StageLog]] = {}
        for line in deliveries:
            self.add(line)

    def add(self, line: Delivery) -> None:
        """Take in one more line."""
        self._lines.setdefault(line.key, []).append(line)
        for (stage, begun_s), log in self._logs.get(line.key, {}).items():
            if stage == line.stage and _counts(line, begun_s):
                log.add(line)

    def of(self, edge: EdgeAhead, stage: Stage) -> StageLog:
        """What was said of this stage since the edge's window was begun."""
        if edge.key not in self._lines:
            return NOTHING_SAID
        logs = self._logs.setdefault(edge.key, {})
        log = logs.get((stage, edge.since_s))
        if log is None:
            log = logs[stage, edge.since_s] = StageLog()
            for line in self._lines[edge.key]:
                if line.stage == stage and _counts(line, edge.since_s):
                    log.add(line)
        return log

    def acknowledged(self, edge: EdgeAhead, stage: Stage) -> bool:
        """Whether the maker has acknowledged this stage, or a later one of the same edge."""
        if edge.key not in self._lines:
            return False
        later = (s for s in Stage if s.place >= stage.place)
        return any(self.of(edge, s).acknowledged for s in later)

    def called_again(self, edge: EdgeAhead) -> tuple[Stage, float] | None:
        """The stage and time of the maker's last "call me again", if that is their last word."""
        if edge.key not in self._lines:
            return None
        calls = ((s, self.of(edge, s).call_again_s) for s in Stage)
        times = [(stage, at_s) for stage, at_s in calls if at_s is not None]
        return max(times, key=lambda call: call[1]) if times else None


def _age(line: Delivery) -> tuple[float, bool]:
    return line.at_s, line.state != "about to"


def _counts(line: Delivery, begun_s: float | None) -> bool:
    return begun_s is None or line.at_s >= begun_s
