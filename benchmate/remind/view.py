"""One edge, looked at now: its stage, whether it is held back, and its next round."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from math import inf

from benchmate.remind.edges import EdgeAhead, Now, Reminder, Stage
from benchmate.remind.rules import Manner, RemindSettings
from benchmate.remind.said import Call, Round, Said, StageLog, kind_of
from benchmate.remind.stages import StageTime, stage_times
from benchmate.remind.wording import speech_of, text_of

RETRY_S = 60.0
LONGEST_RETRY_S = 600.0
MOST_RETRIES = 5
LAST_MINUTES_S = 300.0
LAST_GAP_S = 60.0
"""In its last minutes what spoils something is said every minute, however long it was said."""


@dataclass(slots=True)
class View:
    """One edge with all that decides what is said of it now."""

    edge: EdgeAhead
    opens_s: float | None
    said: Said
    settings: RemindSettings
    now: Now
    in_flight: Collection[Call]
    current: StageTime | None = field(init=False, default=None)
    """The latest stage that has begun: the only one still worth saying."""
    upcoming_s: float | None = field(init=False, default=None)
    manner: Manner | None = field(init=False, default=None)
    """How its stage is given; None: not at all, or it has been answered."""
    held_s: float | None = field(init=False, default=None)
    """When what holds it back ends (inf: when somebody ends it); None: nothing does."""

    def __post_init__(self) -> None:
        for time in stage_times(self.edge, self.settings, self.now, self.opens_s):
            if time.begins_s <= self.now.now_s:
                self.current = time
            elif self.upcoming_s is None:
                self.upcoming_s = time.begins_s
        if self.current and not self.said.acknowledged(self.edge, self.current.stage):
            self.manner = self.settings.manner_of(self.current.stage, self.edge.gravity)
        if self.manner is not None:
            self.held_s = self._held_until_s()

    @property
    def supersedes_opening(self) -> bool:
        """Whether it makes stale that the same window has opened."""
        return self.edge.edge in ("closes", "full") and self.current is not None

    def due(self) -> Reminder | None:
        """What is to be said of it now, if anything."""
        manner = self.manner
        if self.current is None or manner is None or self.held_s is not None:
            return None
        log = self.said.of(self.edge, self.current.stage)
        at_s = self._next_round_s(log, manner)
        orphans = self._orphans(log)
        if at_s is not None and at_s <= self.now.now_s:
            channels = self._channels(log, manner)
            return self._reminder(manner, channels, log.next_number, again=bool(orphans))
        if not orphans:
            return None
        last = log.rounds[-1]
        # Killed while announcing: some channels may not even have been announced.
        more = () if last.heard else self._channels(log, manner)
        return self._reminder(manner, (*orphans, *more), last.number, again=True)

    def shown(self) -> Reminder | None:
        """It as a banner shows it: as long as it stands unanswered and nothing holds it back."""
        manner = self.manner
        if self.current is None or manner is None or self.held_s is not None:
            return None
        log = self.said.of(self.edge, self.current.stage)
        number = max(0, log.next_number - 1)
        return self._reminder(manner, ("terminal",), number, again=False)

    def wake_s(self) -> float | None:
        """When something changes of itself next."""
        times = [self.upcoming_s, self._round_wake_s()]
        return min((time for time in times if time is not None), default=None)

    def _round_wake_s(self) -> float | None:
        manner, held_s = self.manner, self.held_s
        if self.current is None or manner is None:
            return None
        log = self.said.of(self.edge, self.current.stage)
        at_s = self._next_round_s(log, manner)
        if at_s is None and self._orphans(log):
            at_s = self.now.now_s
        if at_s is None or held_s is None:
            return at_s
        return None if held_s == inf else max(at_s, held_s)

    def _held_until_s(self) -> float | None:
        now, ends = self.now, []
        if not self.edge.spoils:
            if now.at_machine:
                ends.append(inf)
            night = self.settings.quiet and self.settings.quiet.around(now.wall)
            if night:
                ends.append(now.now_s + (night[1] - now.wall).total("seconds"))
        call = self.said.called_again(self.edge)
        if call is not None and call[1] > now.now_s and self._obeys_call(call[0]):
            ends.append(call[1])
        return max(ends, default=None)

    def _obeys_call(self, stage: Stage) -> bool:
        """A later stage that spoils something doesn't wait for a call asked for before it."""
        return not self.edge.spoils or (self.current is not None and self.current.stage is stage)

    def _next_round_s(self, log: StageLog, manner: Manner) -> float | None:
        """When its next round is due, past or to come; None: no more, or one is under way."""
        if self.current is None:
            return None
        rounds = log.rounds
        if not rounds:
            return self._if_speakable(log, manner, log.call_again_s or self.current.begins_s)
        last = rounds[-1]
        if last.heard:
            gap_s = self._pressed(manner.gap_after(sum(entry.heard for entry in rounds)), last)
        elif last.pending:
            return None
        else:
            gap_s = self._retry_gap_s([entry.heard for entry in rounds])
        return None if gap_s is None else self._if_speakable(log, manner, last.began_s + gap_s)

    def _pressed(self, gap_s: float | None, last: Round) -> float | None:
        """The gap, and what it shrinks to in the last minutes before something is spoiled."""
        closing = self.current is not None and self.current.stage is Stage.CLOSING
        if gap_s is None or not closing or self.edge.edge != "closes" or not self.edge.spoils:
            return gap_s
        left_s = self.edge.at_s - last.began_s
        return min(gap_s, max(LAST_GAP_S, left_s - LAST_MINUTES_S))

    def _retry_gap_s(self, heard: list[bool]) -> float | None:
        """After rounds that no channel took: again soon, then less often."""
        failed = next((n for n, ok in enumerate(reversed(heard)) if ok), len(heard))
        if failed > MOST_RETRIES and not self.edge.spoils:
            return None
        return min(RETRY_S * 2.0 ** (failed - 1), LONGEST_RETRY_S)

    def _if_speakable(self, log: StageLog, manner: Manner, at_s: float) -> float | None:
        """`at_s`, or later or never if no kind of channel may be used then."""
        kinds = self.settings.channels_of(manner)
        if not kinds or all(self._in_flight(kind) for kind in kinds):
            return None
        if kinds == ("message",) and log.last_message_s > -inf:
            if manner.message_gap_s is None:
                return None
            return max(at_s, log.last_message_s + manner.message_gap_s)
        return at_s

    def _channels(self, log: StageLog, manner: Manner) -> tuple[str, ...]:
        kinds = self.settings.channels_of(manner)
        return tuple(
            kind
            for kind in kinds
            if not self._in_flight(kind) and (kind != "message" or self._message_due(log, manner))
        )

    def _message_due(self, log: StageLog, manner: Manner) -> bool:
        if log.last_message_s == -inf or log.last_message_s < log.asked_again_s:
            return True
        gap_s = manner.message_gap_s
        return gap_s is not None and self.now.now_s - log.last_message_s >= gap_s

    def _in_flight(self, kind: str) -> bool:
        stage = self.current.stage if self.current else None
        return any(
            call.key == self.edge.key and call.stage == stage and kind_of(call.channel) == kind
            for call in self.in_flight
        )

    def _orphans(self, log: StageLog) -> tuple[str, ...]:
        """Channels whose last call has no outcome and isn't under way: their caller was killed."""
        latest = {name: entry for entry in log.rounds for name in entry.lines}
        stage = self.current.stage if self.current else Stage.SOON
        return tuple(
            channel
            for channel, entry in sorted(latest.items(), key=lambda item: item[0])
            if entry.lines[channel].state == "about to"
            and Call(self.edge.key, stage, entry.number, channel) not in self.in_flight
        )

    def _reminder(
        self, manner: Manner, channels: tuple[str, ...], number: int, *, again: bool
    ) -> Reminder | None:
        if self.current is None or not channels:
            return None
        stage, now_s = self.current.stage, self.now.now_s
        return Reminder(
            key=self.edge.key,
            stage=stage,
            round=number,
            text=text_of(self.edge, stage, now_s, again=again),
            speech_text=speech_of(self.edge, stage, now_s, again=again),
            channels=channels,
            insistence=manner.insistence,
            again=again,
            edge=self.edge,
            due_s=self.current.begins_s,
        )
