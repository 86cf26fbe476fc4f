"""Weeks of shop time through the real bench and the shipped procedures, by jumping clock.

The maker works in shop hours, walks off in the middle of things, forgets weights, answers some
reminders and not others, pauses a job, stands at a machine. What the minder says meanwhile is
compared with a list made from the journal's bare JSON (see week_by_hand). In the first week the
clocks change.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from zlib import crc32
from zoneinfo import ZoneInfo

from benchmate.bench import Bench
from benchmate.bench.reminding.at_machine import set_at_machine
from benchmate.bench.reminding.reminding import answer
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.bench.starting.starting import start_job
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.journal.keeping.export import export_lines
from benchmate.remind.rules.edges import Reminder
from tests.faults.week_by_hand import Spoken, read_stories, strands_of
from tests.faults.words_by_hand import Answers, words_of
from tests.minding_help import DAY, HOUR, MIN, Minded, do_next

PAST_S = 1e-5
PROCEDURES = ("matched-bookends", "turned-lamp-base", "plane-setting-hammer")
MATERIALS = (
    ("yellow wood glue", "clamped"),
    ("slow casting epoxy", "poured"),
    ("two-part epoxy glue", "mixed"),
    ("clear film finish, oil-based", "coated"),
)


@dataclass
class Maker:
    """Who works at the bench, from half past six to ten and on Saturday, with walks in between."""

    bench: Bench
    start_s: float
    chance: random.Random
    days: int
    walks: list[tuple[float, float]] = field(default_factory=list)

    def __post_init__(self) -> None:
        for _ in range(2 * self.days):
            begins_s = self.chance.uniform(0, self.days * DAY)
            self.walks.append((begins_s, begins_s + self.chance.uniform(5 * MIN, 90 * MIN)))

    def is_there(self, at_s: float) -> bool:
        since_s = at_s - self.start_s
        if any(a <= since_s < b for a, b in self.walks):
            return False
        day, hour = divmod(6 + since_s / HOUR, 24)
        return 9 <= hour < 18 if day % 7 == 5 else 18.5 <= hour < 22

    def look(self) -> tuple[float, Callable[[], None]]:
        """When the maker does something next, and what: never just when something comes due."""
        now_s = self.bench.now_s() + self.chance.uniform(0.1, 0.9)
        found = self.bench.agenda()
        if not self.is_there(now_s):
            return now_s + 23 * MIN, lambda: None
        if found.next is None:
            return now_s + 7 * MIN, lambda: None
        act = found.next
        takes_s = max(20.0, act.step.hands_s if act.step and act.kind == "do" else 40.0)
        if act.kind == "weigh" and self.chance.random() < 0.3:
            takes_s += self.chance.uniform(2 * MIN, 25 * MIN)
        return now_s + takes_s, self._do_what_is_next

    def _do_what_is_next(self) -> None:
        act = self.bench.agenda().next
        if act is not None:
            do_next(self.bench, act)


@dataclass
class Week:
    """The bench, its maker and its minder, from edge to edge."""

    bench: Bench
    start_s: float
    seed: int
    days: int = 7
    spoken: list[Spoken] = field(default_factory=list)
    doing: list[tuple[float, int, Callable[[], None]]] = field(default_factory=list)
    answers: Answers = field(default_factory=lambda: Answers({}, {}))
    machine: tuple[float, float] = (0.0, 0.0)
    _first: set[tuple[str, str]] = field(default_factory=set)

    @property
    def end_s(self) -> float:
        return self.start_s + self.days * DAY

    def at(self, at_s: float, what: Callable[[], None]) -> None:
        self.doing.append((at_s, len(self.doing), what))

    def run(self) -> None:
        bench, chance = self.bench, random.Random(self.seed)
        maker = Maker(bench, self.start_s, chance, self.days)
        self._plan(chance)
        self.at(self.start_s, lambda: self._work(maker))
        self.mind = mind = Minded(bench)
        clock = bench.clock
        assert isinstance(clock, SetClock)
        while (now_s := bench.now_s()) < self.end_s:
            wake_s = self._tick(mind)
            ahead = min(s for s, _, _ in self.doing)
            goal_s = min(ahead, wake_s if wake_s is not None else ahead, self.end_s)
            # A clock that runs is always a little past what it waited for.
            clock.tick(max(0.0, goal_s - now_s) + PAST_S)
            due = [one for one in self.doing if one[0] <= bench.now_s() + 1e-6]
            self.doing = [one for one in self.doing if one not in due]
            for _, _, what in sorted(due, key=lambda one: one[:2]):
                what()

    def _plan(self, chance: random.Random) -> None:
        start_s, bench = self.start_s, self.bench
        for n, name in enumerate(PROCEDURES * (self.days // 7)):
            day = n % 3 + n // 3 * 7
            self.at(start_s + day * DAY + 12 * HOUR, lambda name=name: start_job(bench, name))  # type: ignore[misc]
        for n, (material, act) in enumerate(MATERIALS * (self.days // 7)):
            at_s = start_s + n // 4 * 7 * DAY + chance.uniform(0, 4 * DAY)
            self.at(
                at_s,
                lambda t=material, a=act, n=n: start_clock(  # type: ignore[misc]
                    bench, find_material(bench, t), a, name=f"clock {n}"
                ),
            )
        job = f"{PROCEDURES[1]}-1"
        paused_s = start_s + 2.6 * DAY
        self.at(paused_s, lambda: self._do(job, cmd.Pause()))
        self.at(paused_s + 2.1 * DAY, lambda: self._do(job, cmd.Resume()))
        self.machine = (start_s + 5.15 * DAY, start_s + 5.27 * DAY)
        self.at(self.machine[0], lambda: set_at_machine(bench, running=True))
        self.at(self.machine[1], lambda: set_at_machine(bench, running=False))

    def _do(self, job: str, command: cmd.Command) -> None:
        self.bench.do(job, command)

    def _work(self, maker: Maker) -> None:
        at_s, what = maker.look()

        def then() -> None:
            what()
            self._work(maker)

        self.at(at_s, then)

    def _tick(self, mind: Minded) -> float | None:
        """Tick until there is no more to say now; when to look again."""
        while True:
            tick = mind.tick()
            for reminder in (one for r in tick.given for one in (r, *r.also)):
                self.spoken.append(
                    (self.bench.now_s(), reminder.key, str(reminder.stage), reminder.round)
                )
                self._answer(reminder)
            if not tick.given:
                return tick.wake_s

    def _answer(self, reminder: Reminder) -> None:
        """Some are heard, some are to come again, some are left: by their name, not by chance."""
        name = (reminder.key, str(reminder.stage))
        if name in self._first:
            return
        self._first.add(name)
        now_s, dice = self.bench.now_s(), crc32(f"{self.seed} {name}".encode())
        if dice % 4 == 0:
            after_s = 60.0 + dice % 1700
            self.answers.heard_after_s[name] = after_s
            self.at(now_s + after_s, lambda: answer(self.bench, [reminder], "bench"))
        elif dice % 4 == 1 and not self._was_called_again(reminder.key):
            in_s = 300.0 + dice % 3000
            self.answers.call_again[name] = (45.0, in_s)
            self.at(now_s + 45.0, lambda: answer(self.bench, [reminder], "bench", in_s))

    def _was_called_again(self, key: str) -> bool:
        return any(k == key for k, _ in self.answers.call_again)


def expected(week: Week, tz: ZoneInfo) -> list[Spoken]:
    """The independent list."""
    found: list[Spoken] = []
    for story in read_stories(export_lines(week.bench.journal)):
        strands = list(strands_of(story, tz))
        for strand in strands:
            found += words_of(story, strands, strand, week.answers, week.end_s, tz, week.machine)
    return found


def by_edge(spoken: list[Spoken]) -> dict[str, list[tuple[float, str, int]]]:
    """What is said of each edge, in order."""
    out: dict[str, list[tuple[float, str, int]]] = {}
    for at_s, key, stage, number in sorted(spoken, key=lambda one: (one[1], one[0])):
        out.setdefault(key, []).append((at_s, stage, number))
    return out
