"""A fortnight of reminders through the real bench: what went where, by the table and before it.

A maker works evenings and weekends, walks off in the middle of things, OKs what reminds while at
the bench, and hears nothing of the shop while away; one deaf to all OKs nothing. Run it:

    python -m tests.sim.fortnight           the counts, as docs/minding.md shows them
    python -m tests.sim.fortnight --texts   every message, and what reads like a contradiction
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable
from contextlib import ExitStack
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from pathlib import Path
from unittest.mock import patch
from zoneinfo import ZoneInfo

from benchmate.bench import Bench
from benchmate.bench.reminding.minding import minder_of
from benchmate.bench.reminding.presence import touched_s
from benchmate.bench.reminding.reminding import hush
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.bench.starting.starting import start_job
from benchmate.clock import SetClock
from benchmate.moment import Moment
from benchmate.remind.rules.edges import Gravity, Reminder, Stage
from benchmate.remind.rules.routing import AT_BENCH_S, NEVER, ONCE, REPEATED, Rounds, Route
from benchmate.settings import Reminding, Settings, find_folders
from tests.faults.weeks import MATERIALS, PAST_S, PROCEDURES, Maker
from tests.minding_help import DAY, HOUR, MIN, zone
from tests.remind_help import FakeChannel, InStepSender

FORTNIGHT_S = 14 * DAY
ZONE = "Europe/London"
START = datetime(2026, 11, 16, 6, tzinfo=ZoneInfo(ZONE))
SHOUT = Rounds((0.0, MIN, 2 * MIN, 4 * MIN, 6 * MIN), 5 * MIN)
LOST = Rounds((0.0, 2 * MIN, 7 * MIN, 17 * MIN, 47 * MIN), HOUR)
CHANNELS = ("terminal", "sound", "message:1")


def route_before(
    stage: Stage, gravity: Gravity, *, at_bench: bool, quiet: bool = False, has_phone: bool = True
) -> Route:
    """The rules before there was a table: by consequence alone, wherever the maker is."""
    spoils, loses = gravity is Gravity.SPOILS, gravity is not Gravity.NOTHING
    urgent = spoils and stage in (Stage.CLOSING, Stage.MISSED, Stage.WEIGH)
    if quiet and not urgent:
        return Route(NEVER, NEVER)
    match stage:
        case Stage.SOON | Stage.OPENS | Stage.FULL:
            return Route(ONCE if loses or stage is not Stage.SOON else NEVER, NEVER)
        case _ if not loses:
            return Route(ONCE, NEVER)
        case _ if not spoils:
            return Route(REPEATED, ONCE)
        case Stage.MISSED:
            return Route(LOST, Rounds((0.0,), HOUR))
        case _:
            return Route(SHOUT, Rounds((0.0,), 5 * MIN))


BEFORE = {
    "rules.view.route": route_before,
    "rules.due._as_one": lambda reminders, now: reminders,
    "rules.due.ONE_S": 0.0,
    "rules.stages.ONE_S": -DAY,
}
"""The rules as they were, in place of the table and of what makes one word of several."""


@dataclass(frozen=True)
class Sent:
    """One call of one channel."""

    at: datetime
    channel: str
    at_bench: bool
    reminder: Reminder

    @property
    def at_night(self) -> bool:
        """In the quiet hours."""
        return not 7 <= self.at.hour < 22

    @property
    def thing(self) -> tuple[str, str]:
        """What to do, in its words, of one job."""
        edge = self.reminder.edge
        return edge.job, edge.action if edge.step else edge.key

    @property
    def step(self) -> tuple[str, str]:
        """Which piece and stage: said again is no double."""
        return self.reminder.edge.key, str(self.reminder.stage)

    @property
    def opens(self) -> bool:
        """Whether it says that a step may go on."""
        edge = self.reminder.edge
        return self.reminder.stage in (Stage.OPENS, Stage.FULL) and edge.gravity > 0


class Evenings(Maker):
    """There in the evenings and at the weekend of both weeks, with walks in between."""

    def __post_init__(self) -> None:
        for _ in range(28):
            begins_s = self.chance.uniform(0, FORTNIGHT_S)
            self.walks.append((begins_s, begins_s + self.chance.uniform(5 * MIN, 90 * MIN)))

    def is_there(self, at_s: float) -> bool:
        """Whether the maker is in the shop then."""
        since_s = at_s - self.start_s
        if any(a <= since_s < b for a, b in self.walks):
            return False
        day, hour = divmod(6 + since_s / HOUR, 24)
        return 9 <= hour < 18 if day % 7 >= 5 else 18.5 <= hour < 22


@dataclass
class Fortnight:
    """The bench, its maker and its minder, from edge to edge."""

    bench: Bench
    deaf: bool = False
    seed: int = 3
    sent: list[Sent] = field(default_factory=list)
    doing: list[tuple[float, int, Callable[[], object]]] = field(default_factory=list)

    def run(self) -> list[Sent]:
        """All that was sent."""
        bench, chance, start_s = self.bench, random.Random(self.seed), START.timestamp()
        maker = Evenings(bench, start_s, chance, 14)
        self._plan(start_s, chance)
        self._at(start_s, lambda: self._work(maker))
        channels = [FakeChannel(name) for name in CHANNELS]
        minder = minder_of(bench, InStepSender(*channels))
        while (now_s := bench.now_s()) < start_s + FORTNIGHT_S:
            while (tick := minder.tick()).given:
                self._note(channels)
            ahead = min(s for s, _, _ in self.doing)
            goal_s = min(ahead, tick.wake_s or ahead)
            assert isinstance(bench.clock, SetClock)
            bench.clock.tick(max(0.0, goal_s - now_s) + PAST_S)
            due = [one for one in self.doing if one[0] <= bench.now_s() + 1e-6]
            self.doing = [one for one in self.doing if one not in due]
            for _, _, what in sorted(due, key=lambda one: one[:2]):
                what()
        return self.sent

    def _at(self, at_s: float, what: Callable[[], object]) -> None:
        self.doing.append((at_s, len(self.doing), what))

    def _plan(self, start_s: float, chance: random.Random) -> None:
        for n, name in enumerate((*PROCEDURES, *PROCEDURES)):
            at_s = start_s + (2 * n + 0.52) * DAY
            self._at(at_s, partial(start_job, self.bench, name))
        for n, (material, act) in enumerate(MATERIALS * 2):
            at_s = start_s + chance.uniform(0, 12 * DAY)
            self._at(at_s, partial(self._clock, material, act, n))

    def _clock(self, material: str, act: str, n: int) -> None:
        start_clock(self.bench, find_material(self.bench, material), act, name=f"clock {n}")

    def _work(self, maker: Maker) -> None:
        at_s, what = maker.look()

        def then() -> None:
            what()
            if maker.is_there(self.bench.now_s()) and not self.deaf:
                hush(self.bench, "bench")
            self._work(maker)

        self._at(at_s, then)

    def _note(self, channels: Iterable[FakeChannel]) -> None:
        now_s, touched = self.bench.now_s(), touched_s(self.bench)
        near = touched is not None and now_s - touched <= AT_BENCH_S
        at = datetime.fromtimestamp(now_s, ZoneInfo(ZONE))
        for channel in channels:
            self.sent += [Sent(at, channel.name, near, r) for r in channel.given]
            channel.given.clear()


def played(*, before: bool = False, deaf: bool = False) -> list[Sent]:
    """A fortnight's calls. `before`: by the rules that the table replaced."""
    start = Moment(round(START.timestamp() * 1e9), "boot-of-the-fortnight", 10**15)
    settings = Settings(reminders=Reminding(addresses=("set",)))
    with tempfile.TemporaryDirectory() as home, zone(ZONE):
        bench = Bench.open(find_folders(Path(home)), settings, clock=SetClock(start))
        try:
            if before:
                with ExitStack() as stack:
                    for what, instead in BEFORE.items():
                        stack.enter_context(patch(f"benchmate.remind.{what}", instead))
                    return Fortnight(bench, deaf).run()
            return Fortnight(bench, deaf).run()
        finally:
            bench.close()


def counts(sent: list[Sent]) -> dict[str, int]:
    """The figures that matter of a fortnight."""
    phone = [s for s in sent if s.channel.startswith("message")]
    opened = {
        (r.key, r.edge.begun_s) for s in sent if s.opens for r in (s.reminder, *s.reminder.also)
    }
    reached = {
        (r.key, r.edge.begun_s) for s in phone if s.opens for r in (s.reminder, *s.reminder.also)
    }
    days = Counter(s.at.date() for s in phone)
    return {
        "in the shop (sound)": sum(s.channel == "sound" for s in sent),
        "phone messages": len(phone),
        "of these at night": sum(s.at_night for s in phone),
        "worst day": max(days.values(), default=0),
        "“weigh it” on the phone": sum(s.reminder.stage is Stage.WEIGH for s in phone),
        "openings a step waits for": len(opened),
        "of these on the phone": len(reached),
        "two rings for one thing within 3 min": sum(
            len(_doubled([s for s in sent if s.channel == name])) for name in CHANNELS[1:]
        ),
        "“may” said after “too late”": len(contradicted(sent)),
    }


def _doubled(sent: list[Sent]) -> list[tuple[Sent, Sent]]:
    """Pairs of different stages of one step, or of one stage of like pieces, within 3 minutes."""
    pairs = [(a, b) for n, a in enumerate(sent) for b in sent[n + 1 : n + 12]]
    return [
        (a, b)
        for a, b in pairs
        if (b.at - a.at).total_seconds() < 180.0 and a.thing == b.thing and a.step != b.step
    ]


def contradicted(sent: list[Sent]) -> list[Sent]:
    """Words that a step may begin, in one channel, after that its time is over."""
    over: set[tuple[str, str]] = set()
    found = []
    for s in sent:
        step = (s.channel, s.reminder.edge.step or s.reminder.edge.key)
        if s.reminder.stage is Stage.MISSED:
            over.add(step)
        elif s.opens and step in over:
            found.append(s)
    return found


def main(arguments: list[str]) -> None:
    """Print the table, or every message."""
    if "--texts" in arguments:
        for s in played(deaf="--deaf" in arguments):
            if "--all" in arguments or s.channel == "message:1":
                print(f"{s.at:%a %H:%M:%S} {s.channel:9} [{s.reminder.title}] {s.reminder.text}")  # noqa: T201
        return
    cases = [(before, deaf) for deaf in (False, True) for before in (True, False)]
    found = [counts(played(before=before, deaf=deaf)) for before, deaf in cases]
    print("| a fortnight | attentive, before | now | deaf to all, before | now |")  # noqa: T201
    print("|---|---|---|---|---|")  # noqa: T201
    for name in found[0]:
        print(f"| {name} | " + " | ".join(str(one[name]) for one in found) + " |")  # noqa: T201


if __name__ == "__main__":
    main(sys.argv[1:])
