"""One edge, looked at now: its stage, whether it is held back, and its next round."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from math import inf

from benchmate.remind.rules.edges import EdgeAhead, Gravity, Now, Reminder, Stage
from benchmate.remind.rules.routing import AT_BENCH_S, Rounds, Route, as_wished, insistence, route
from benchmate.remind.rules.said import Call, Round, Said, StageLog, kind_of
from benchmate.remind.rules.settings import PHONE, RemindSettings
from benchmate.remind.rules.stages import StageTime, stage_times
from benchmate.remind.rules.wording import speech_of, text_of, title_of

RETRY_S = 60.0
LONGEST_RETRY_S = 600.0
MOST_RETRIES = 5
LAST_MINUTES_S = 300.0
LAST_GAP_S = 60.0
"""In its last minutes what spoils something is said every minute, however long it was said."""
NO_CHANNEL = "none"
"""Noted as failed where no channel of those wanted is at hand."""


@dataclass(slots=True)
class View:
    """One edge with all that decides what is said of it now."""

    edge: EdgeAhead
    opens_s: float | None
    said: Said
    settings: RemindSettings
    now: Now
    in_flight: Collection[Call]
    last_s: float | None = None
    """When the last of the like openings comes that it is said as one with."""
    current: StageTime | None = field(init=False, default=None)
    """The latest stage that has begun: the only one still worth saying."""
    upcoming_s: float | None = field(init=False, default=None)
    route: Route | None = field(init=False, default=None)
    """Where its stage is said now; None: it has been answered, or is said nowhere at any time."""
    held_s: float | None = field(init=False, default=None)
    """When what holds it back ends (inf: when somebody ends it); None: nothing does."""
    _changes_s: list[float] = field(init=False, default_factory=list)
    """When the route becomes another by itself."""

    def __post_init__(self) -> None:
        for time in stage_times(self.edge, self.settings, self.now, self.opens_s, self.last_s):
            if time.begins_s <= self.now.now_s:
                self.current = time
            elif self.upcoming_s is None:
                self.upcoming_s = time.begins_s
        if self.current and not self.said.acknowledged(self.edge, self.current.stage):
            self.route = self._route_now(self.current.stage)
        if self.route is not None:
            self.held_s = self._held_until_s()

    def _route_now(self, stage: Stage) -> Route | None:
        now, gravity = self.now, self._gravity
        phone, touched_s = self.settings.may_phone(gravity), now.touched_s
        at_bench = touched_s is None or now.now_s - touched_s <= AT_BENCH_S
        if touched_s is not None and at_bench:
            # A hair after: at the instant itself somebody still counts as being there.
            self._changes_s.append(touched_s + AT_BENCH_S + 0.001)
        ends_s = self._night_ends_s()
        if ends_s is not None:
            self._changes_s.append(ends_s)
        found = route(stage, gravity, at_bench=at_bench, quiet=ends_s is not None, has_phone=phone)
        by_day = route(stage, gravity, at_bench=True, has_phone=phone)
        if (where := self._wished(at_bench=at_bench)) and not (found.is_silent and ends_s):
            more = by_day if at_bench else route(stage, gravity, at_bench=False, has_phone=phone)
            found = by_day = as_wished(found, more, where)
        return None if found.is_silent and by_day.is_silent else found

    def _wished(self, *, at_bench: bool) -> str:
        """Where the maker wants this stage, "" where the table decides."""
        stage = self.current.stage if self.current else Stage.SOON
        ways = self.settings.by_stage.get(stage)
        if ways is not None:
            return ways[0 if at_bench else 1]
        loses = self._gravity is not Gravity.NOTHING and stage not in (Stage.SOON, Stage.WEIGH)
        return "both" if self.settings.phone == "always" and loses else ""

    def _night_ends_s(self) -> float | None:
        night = self.settings.quiet and self.settings.quiet.around(self.now.wall)
        return self.now.now_s + (night[1] - self.now.wall).total("seconds") if night else None

    @property
    def supersedes_opening(self) -> bool:
        """Whether it makes stale that the same window has opened."""
        return self.edge.edge in ("closes", "full") and self.current is not None

    def due(self) -> Reminder | None:
        """What is to be said of it now, if anything."""
        if self.current is None or self.route is None or self.held_s is not None:
            return None
        log = self.said.of(self.edge, self.current.stage)
        orphans, kinds = self._orphans(log), self._kinds_due(log)
        if kinds and (not orphans or any(_rounds_of(log, kind) for kind in kinds)):
            return self._reminder(kinds, log.next_number, again=bool(orphans))
        if not orphans:
            return None
        last = log.rounds[-1]
        # Killed while announcing: some channels may not even have been announced.
        more = () if last.heard else (*self._unannounced(last), *kinds)
        return self._reminder((*orphans, *more), last.number, again=True)

    def shown(self) -> Reminder | None:
        """It as a banner shows it: as long as it stands unanswered and nothing holds it back."""
        if self.current is None or self.route is None or self.held_s is not None:
            return None
        log = self.said.of(self.edge, self.current.stage)
        number = max(0, log.next_number - 1)
        return self._reminder(("terminal",), number, again=False)

    def wake_s(self) -> float | None:
        """When something changes of itself next."""
        ahead = (at_s for at_s in self._changes_s if at_s > self.now.now_s)
        times = [self.upcoming_s, self._round_wake_s(), *ahead]
        return min((time for time in times if time is not None), default=None)

    def _round_wake_s(self) -> float | None:
        held_s = self.held_s
        if self.current is None or self.route is None:
            return None
        log = self.said.of(self.edge, self.current.stage)
        times = [at_s for _, at_s in self._tracks(log) if at_s is not None]
        if not times and self._orphans(log):
            times = [self.now.now_s]
        if not times or held_s is None:
            return min(times, default=None)
        return None if held_s == inf else max(min(times), held_s)

    def _held_until_s(self) -> float | None:
        now, ends = self.now, []
        if self.route is not None and self.route.is_silent and (end_s := self._night_ends_s()):
            ends.append(end_s)
        if now.at_machine and not self.edge.spoils:
            ends.append(inf)
        call = self.said.called_again(self.edge)
        if call is not None and call[1] > now.now_s and self._obeys_call(call[0]):
            ends.append(call[1])
        return max(ends, default=None)

    def _obeys_call(self, stage: Stage) -> bool:
        """A later stage that spoils something doesn't wait for a call asked for before it."""
        return not self.edge.spoils or (self.current is not None and self.current.stage is stage)

    # Shop and phone, each with rounds of its own ---------------------------------------------

    def _kinds_due(self, log: StageLog) -> tuple[str, ...]:
        """The kinds of channels whose next round has come."""
        now_s = self.now.now_s
        due = [
            k
            for kinds, at_s in self._tracks(log)
            if at_s is not None and at_s <= now_s
            for k in kinds
        ]
        return tuple(kind for kind in self._allowed if kind in due)

    @property
    def _insistence(self) -> str:
        return insistence(self.current.stage, self._gravity) if self.current else "once"

    @property
    def _gravity(self) -> Gravity:
        """How bad it is to miss this edge itself: at one that opens nothing is lost yet."""
        opening = self.edge.edge in ("opens", "full")
        return min(self.edge.gravity, Gravity.WORK) if opening else self.edge.gravity

    @property
    def _allowed(self) -> tuple[str, ...]:
        """The kinds of channels that may be used for it and aren't being called just now."""
        return tuple(k for k in self.settings.kinds_of(self._insistence) if not self._in_flight(k))

    def _tracks(self, log: StageLog) -> list[tuple[tuple[str, ...], float | None]]:
        """The shop's kinds of channels and the phone, each with when its next round is due."""
        if self.route is None:
            return []
        shop = tuple(k for k in self._allowed if k != PHONE)
        phone = tuple(k for k in self._allowed if k == PHONE)
        return [
            (shop, self._next_s(log, self.route.shop, shop)),
            (phone, self._next_s(log, self.route.phone, phone)),
        ]

    def _next_s(self, log: StageLog, wanted: Rounds, kinds: tuple[str, ...]) -> float | None:
        """When the next of these rounds is due, past or to come; None: no more, or under way."""
        if self.current is None or not kinds or not wanted.at_s:
            return None
        rounds = _rounds_of(log, kinds[0])
        if not rounds:
            begins_s = log.call_again_s or self.current.begins_s
            return begins_s + wanted.at_s[0]
        last = rounds[-1]
        if last.pending and not last.heard:
            return None
        if any(r.heard for r in log.rounds):
            gap_s = wanted.gap_after(sum(r.heard for r in rounds) or 1)
            gap_s = gap_s if kinds[0] == PHONE else self._pressed(gap_s, last)
        else:
            gap_s = self._retry_gap_s([r.heard for r in rounds])
        return None if gap_s is None else last.began_s + gap_s

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

    def _unannounced(self, last: Round) -> tuple[str, ...]:
        """The kinds of the tracks that a killed round was of, as far as none was announced."""
        tracks = {kind_of(name) == PHONE for name in last.lines}
        known = {kind_of(name) for name in last.lines}
        return tuple(k for k in self._allowed if (k == PHONE) in tracks and k not in known)

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

    def _reminder(self, channels: tuple[str, ...], number: int, *, again: bool) -> Reminder | None:
        if self.current is None or not channels:
            return None
        stage = self.current.stage
        return Reminder(
            key=self.edge.key,
            stage=stage,
            round=number,
            text=text_of(self.edge, stage, self.now, again=again),
            speech_text=speech_of(self.edge, stage, self.now.now_s, again=again),
            title=title_of(self.edge, stage),
            channels=channels,
            insistence=self._insistence,
            again=again,
            edge=self.edge,
            due_s=self.current.begins_s,
        )


def _rounds_of(log: StageLog, kind: str) -> list[Round]:
    """The rounds of the phone, or of the shop, whichever this kind of channel belongs to.

    One that found no channel at all counts as both.
    """
    is_phone = kind == PHONE
    return [
        r
        for r in log.rounds
        if any(n == NO_CHANNEL or (kind_of(n) == PHONE) == is_phone for n in r.lines)
    ]
