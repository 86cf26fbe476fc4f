"""Seven days of shop time through the minder, the clock jumping from one edge to the next.

What it says is compared with a list made here, independently: a walk through the week in steps
of thirty seconds, with the rules written out once more as plain numbers and the wall clock read
from the standard library's zoneinfo. All times in the week lie on that grid.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from benchmate.remind.edges import EdgeAhead, EdgeKind, Reminder
from benchmate.remind.minding import Minder, acknowledge, call_again
from benchmate.remind.rules import RemindSettings
from tests.remind_help import FakeChannel, InStepSender, MemoryLog, now_at

STEP_S = 30
DAY_S = 86_400
WEEK_S = 7 * DAY_S
ZONES = {
    # The Monday before the clocks change on a Sunday, at 06:00 local time, as Unix seconds.
    "Europe/London": datetime(2026, 10, 19, 6, tzinfo=ZoneInfo("Europe/London")),
    "America/New_York": datetime(2026, 3, 2, 6, tzinfo=ZoneInfo("America/New_York")),
    "Australia/Lord_Howe": datetime(2026, 9, 28, 6, tzinfo=ZoneInfo("Australia/Lord_Howe")),
}
Spoken = tuple[float, str, str, int]
"""When (seconds into the week), edge, stage, round."""


@dataclass(frozen=True)
class Life:
    """A window's edge in the week: when its act was done, when it was met, what was answered.

    All in seconds into the week. `answer_s` counts from the first word of each stage: the maker
    acknowledges the stage then. `call_s`: the first stage is to be called again so much later.
    """

    name: str
    kind: EdgeKind
    consequence: str
    begun_s: int
    length_s: int
    met_s: int
    hands_s: int
    answer_s: int | None
    call_s: int | None

    @property
    def at_s(self) -> int:
        return self.begun_s + self.length_s

    def edge(self, start_s: float) -> EdgeAhead:
        return EdgeAhead(
            key=self.name,
            job="a job",
            address=f"a-job/all/all/{self.name}#1",
            label=self.name,
            edge=self.kind,
            at_s=start_s + self.at_s,
            consequence=self.consequence,
            hands_s=self.hands_s,
            action=self.name,
            begun_s=start_s + self.begun_s,
        )


def lives_of_a_week(chance: random.Random) -> list[Life]:
    """Sixty windows of all sorts, on the grid."""

    def grid(low_s: float, high_s: float, step_s: int = 300) -> int:
        return step_s * chance.randint(round(low_s / step_s), round(high_s / step_s))

    lives = []
    for n in range(60):
        begun_s = grid(0, WEEK_S - DAY_S)
        length_s = grid(600, chance.choice([3600, 6 * 3600, 36 * 3600]), 600)
        lives.append(
            Life(
                name=f"window-{n}",
                kind=chance.choice(["opens", "full", "closes", "closes", "weigh"]),
                consequence=chance.choice(["nothing", "extra work", "spoils mix"]),
                begun_s=begun_s,
                length_s=length_s,
                met_s=begun_s + length_s + grid(-length_s / 2, 6 * 3600),
                hands_s=grid(0, 900),
                answer_s=chance.choice([None, None, grid(60, 1800, 60)]),
                call_s=chance.choice([None, None, grid(600, 3600)]),
            )
        )
    return lives + [evening_window(n, chance) for n in range(5)]


def evening_window(day: int, chance: random.Random) -> Life:
    """Begun in the afternoon, to close in the night: its word must come in the evening."""
    begun_s = day * DAY_S + 8 * 3600
    length_s = 600 * chance.randint(54, 84)
    return Life(
        name=f"evening-{day}",
        kind="closes",
        consequence="extra work",
        begun_s=begun_s,
        length_s=length_s,
        met_s=begun_s + length_s + 3600,
        hands_s=600,
        answer_s=None,
        call_s=None,
    )


# The service: the minder, with a clock that jumps.


@dataclass
class Week:
    """The minder over the week's windows, and a maker who answers as the lives say."""

    lives: list[Life]
    zone: str
    start_s: float
    now_s: float = 0.0
    log: MemoryLog = field(default_factory=MemoryLog)
    spoken: list[Spoken] = field(default_factory=list)
    doing: list[tuple[float, Callable[[], None]]] = field(default_factory=list)
    first_said: set[tuple[str, str]] = field(default_factory=set)

    def edges(self) -> list[EdgeAhead]:
        return [
            life.edge(self.start_s)
            for life in self.lives
            if life.begun_s <= self.now_s < life.met_s
        ]

    def run(self) -> list[Spoken]:
        minder = Minder(
            edges=self.edges,
            now=lambda: now_at(self.start_s + self.now_s, self.zone),
            log=self.log,
            sender=InStepSender(FakeChannel("sound")),
            settings=lambda: RemindSettings(has_phone=False),
        )
        acts = sorted({s for life in self.lives for s in (life.begun_s, life.met_s)})
        while self.now_s < WEEK_S:
            wake_s = self._tick(minder)
            ahead = [s for s in (*acts, *(s for s, _ in self.doing)) if s > self.now_s]
            self.now_s = min([WEEK_S, *ahead, *([wake_s] if wake_s is not None else [])])
            for item in [item for item in self.doing if item[0] <= self.now_s]:
                self.doing.remove(item)
                item[1]()
        return self.spoken

    def _tick(self, minder: Minder) -> float | None:
        """Tick until there is no more to say now; when to wake, in seconds into the week."""
        while True:
            tick = minder.tick()
            for reminder in tick.given:
                self.spoken.append(
                    (round(self.now_s, 3), reminder.key, str(reminder.stage), reminder.round)
                )
                self._answer(reminder)
            if not tick.given:
                return None if tick.wake_s is None else max(self.now_s, tick.wake_s - self.start_s)

    def _answer(self, reminder: Reminder) -> None:
        life = next(life for life in self.lives if life.name == reminder.key)
        if (reminder.key, reminder.stage) in self.first_said:
            return
        first = not any(key == reminder.key for key, _ in self.first_said)
        self.first_said.add((reminder.key, reminder.stage))
        at_s = self.now_s
        if first and life.call_s is not None:
            later_s = life.call_s
            self.doing.append(
                (
                    at_s + 60,
                    lambda: call_again(
                        self.log, reminder, self.start_s + at_s + 60, later_s, "bench"
                    ),
                )
            )
        elif life.answer_s is not None:
            heard_s = at_s + life.answer_s
            self.doing.append(
                (heard_s, lambda: acknowledge(self.log, reminder, self.start_s + heard_s, "bench"))
            )


# The independent list.

STAGES = ["soon", "opens", "full", "weigh", "closing", "missed"]
GAPS = {
    "once": [],
    "again": [300, 600, 600],
    "shout closing": [60, 60, 120, 120] + [300] * 5000,
    "lost": [120, 300],
}
MANNER = {
    ("soon", "extra work"): "once",
    ("soon", "spoils mix"): "once",
    ("opens", "nothing"): "once",
    ("opens", "extra work"): "once",
    ("opens", "spoils mix"): "once",
    ("full", "nothing"): "once",
    ("full", "extra work"): "once",
    ("full", "spoils mix"): "once",
    ("weigh", "nothing"): "once",
    ("weigh", "extra work"): "again",
    ("weigh", "spoils mix"): "again",
    ("closing", "nothing"): "once",
    ("closing", "extra work"): "again",
    ("closing", "spoils mix"): "shout closing",
    ("missed", "nothing"): "once",
    ("missed", "extra work"): "once",
    ("missed", "spoils mix"): "lost",
}
"""What is said in the shop, where no phone is set."""


def manner_at(stage: str | None, consequence: str, *, quiet: bool) -> str | None:
    """How it is said now; in quiet hours a weight that loses nothing is spoken of once."""
    manner = MANNER.get((stage, consequence)) if stage else None
    return "once" if quiet and stage == "weigh" and consequence != "spoils mix" else manner


def pressed(gap: float, manner: str, left: float) -> float:
    """In its last five minutes what spoils something is said every minute."""
    return min(gap, max(60, left - 300)) if manner == "shout closing" else gap


def is_quiet(unix_s: float, tz: ZoneInfo) -> bool:
    wall = datetime.fromtimestamp(unix_s, tz)
    return wall.hour >= 22 or wall.hour < 7


def stages(life: Life, start_s: float, tz: ZoneInfo) -> list[tuple[float, str]]:
    """When each stage begins, by the rules as the documentation states them."""
    end, length, hands = life.at_s, life.length_s, life.hands_s
    if life.kind in ("full", "weigh"):
        return [(end, life.kind)]
    if life.kind == "opens":
        early = min(length / 10, 900)
        warn = life.consequence != "nothing" and length >= 3000
        return [*([(end - early, "soon")] if warn else []), (end, "opens")]
    if life.consequence == "spoils mix":
        margin = min(max(0.15 * length, 120), 900)
    else:
        margin = min(max(0.1 * length, 60), 600)
    last_call = min(hands + margin, max(length / 2, min(hands + 60, 0.9 * length)))
    found = [(end - last_call, "closing"), (end, "missed")]
    if life.consequence == "nothing":
        return found
    first = min(last_call + min(max(0.2 * length, 300), 3600), 0.9 * length)
    soon = end - first if first - last_call >= 60 else None
    call_s = end - last_call
    if life.consequence == "extra work" and is_quiet(start_s + call_s, tz):
        night_begins = night_ends = call_s
        while is_quiet(start_s + night_begins - 1, tz):
            night_begins -= 1
        while is_quiet(start_s + night_ends, tz):
            night_ends += 1
        if end - hands < night_ends:
            evening = night_begins - 1800
            soon = max(evening if soon is None else min(soon, evening), life.begun_s)
    if soon is not None and soon < call_s:
        found.insert(0, (soon, "soon"))
    return found


def expected_of(life: Life, start_s: float, tz: ZoneInfo) -> list[Spoken]:
    """Walk through one window's life, looking every thirty seconds and where a stage begins."""
    spoken: list[Spoken] = []
    plan = stages(life, start_s, tz)
    heard_at: dict[str, list[float]] = {}
    acknowledged: dict[str, float] = {}
    call_made_s = call_due_s = None
    called_stage = ""
    number: dict[str, int] = {}
    s = float(life.begun_s)
    while s < min(life.met_s, WEEK_S):
        begun = [name for at, name in plan if at <= s]
        stage = begun[-1] if begun else None
        loud = life.kind in ("closes", "weigh") and life.consequence == "spoils mix"
        night = is_quiet(start_s + s, tz)
        manner = manner_at(stage, life.consequence, quiet=night)
        if stage and manner:
            quiet = not loud and stage != "weigh" and night
            waiting = (
                call_made_s is not None
                and call_made_s <= s
                and s < call_due_s
                and (not loud or stage == called_stage)
            )
            answered = any(
                at <= s for name, at in acknowledged.items() if order(name) >= order(stage)
            )
            times = heard_at.get(stage, [])
            if stage == called_stage and call_made_s is not None and call_made_s <= s:
                times = [t for t in times if t > call_made_s]
            gaps = GAPS[manner]
            close_s = life.at_s if life.kind == "closes" else float("inf")
            due = not times or (
                len(times) <= len(gaps)
                and s >= times[-1] + pressed(gaps[len(times) - 1], manner, close_s - times[-1])
            )
            if due and not (quiet or waiting or answered):
                spoken.append((s, life.name, stage, number.get(stage, 0)))
                number[stage] = number.get(stage, 0) + 1
                first_word = not heard_at
                new_stage = stage not in heard_at
                heard_at.setdefault(stage, []).append(s)
                if first_word and life.call_s is not None:
                    call_made_s, called_stage = s + 60, stage
                    call_due_s = call_made_s + life.call_s
                elif new_stage and life.answer_s is not None:
                    acknowledged[stage] = s + life.answer_s
        s = min(next_time(s, plan), s + STEP_S - s % STEP_S)
    return spoken


def order(stage: str) -> int:
    return STAGES.index(stage)


def next_time(s: float, plan: list[tuple[float, str]]) -> float:
    """The next stage's begin, which may lie off the grid."""
    return min((at for at, _ in plan if at > s), default=float("inf"))


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("seed", range(2))
def test_a_week_is_reminded_of_as_the_independent_list_says(zone: str, seed: int) -> None:
    lives = lives_of_a_week(random.Random(seed))
    start_s = ZONES[zone].timestamp()
    tz = ZoneInfo(zone)
    expected = sorted(one for life in lives for one in expected_of(life, start_s, tz))
    found = sorted(Week(lives, zone, start_s).run())
    assert len(expected) > 100
    assert found == expected
    assert {stage for _, _, stage, _ in expected} == set(STAGES)
