"""Clocks that are wrong, jump, change by the season, stand in other zones; machines that sleep."""

from __future__ import annotations

from collections import Counter
from contextlib import closing
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from random import Random
from zoneinfo import ZoneInfo

from benchmate.bench import Bench
from benchmate.bench.reminding.reminding import edges_now
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.clock import SetClock
from benchmate.localtime import local
from benchmate.moment import Moment
from benchmate.settings import find_folders
from tests.faults.work import Campaign, Work
from tests.minding_help import DAY, HOUR, MIN, NO_QUIET, Minded, zone

ZONES = (
    "Europe/London",
    "America/New_York",
    "Australia/Lord_Howe",
    "America/St_Johns",
    "Pacific/Chatham",
    "America/Santiago",
)
CLOCKS = (
    ("yellow wood glue", "clamped"),
    ("slow casting epoxy", "poured"),
    ("two-part epoxy glue", "mixed"),
    ("clear film finish, oil-based", "coated"),
)
JUMPS_S = (7.0, 61.0, 3600.0, 5 * HOUR, DAY, 40 * DAY, 366 * DAY, 9 * 366 * DAY)
SURE_S = 700.0
"""A wall set sooner after a start is the start's own time put right (ten minutes)."""
STEPS_S = (0.2, 30.0, 4 * MIN, 11 * MIN, 50 * MIN, 3 * HOUR, 9 * HOUR)
Act = tuple[str, float]


@dataclass
class Machine:
    """A shop on a machine of which the true time is known."""

    home: Path
    true_s: float
    off_s: float = 0.0
    boot: int = 1
    booted_s: float = 0.0
    begun: dict[str, float] = field(default_factory=dict)
    """When each edge is due, in true time, by what was promised when its clock began."""
    heard: list[tuple[str, str]] = field(default_factory=list)
    bench: Bench = field(init=False)
    mind: Minded = field(init=False)

    def __post_init__(self) -> None:
        self.clock = SetClock(self.moment())
        self.open()

    def moment(self) -> Moment:
        up_s = self.true_s - self.booted_s
        wall = round((self.true_s + self.off_s) * 1e9)
        return Moment(wall, f"boot-{self.boot}", round((100.0 + up_s) * 1e9))

    def open(self) -> None:
        self.clock.moment = self.moment()
        folders = find_folders(self.home)
        self.bench = Bench.open(folders, NO_QUIET, clock=self.clock)
        self.mind = Minded(self.bench)

    def look(self) -> None:
        """What a bench does every second."""
        self.clock.moment = self.moment()
        self.bench.mind_clock()
        said = self.mind.said()
        self.heard += [(one.key, str(one.stage)) for r in said for one in (r, *r.also)]

    def act(self, act: Act, *, steady: bool) -> None:
        what, value = act
        match what:
            case "pass":
                self.true_s += value
            case "begin":
                self.clock.moment = self.moment()
                material, did = CLOCKS[int(value) % len(CLOCKS)]
                named = f"c{len(self.begun)}"
                before = {e.key for e in edges_now(self.bench)}
                start_clock(self.bench, find_material(self.bench, material), did, name=named)
                for edge in edges_now(self.bench):
                    if edge.key not in before:
                        self.begun[edge.key] = self.true_s + edge.at_s - self.bench.now_s()
            case "jump" if not steady and self.true_s - self.booted_s > SURE_S:
                self.off_s += value
            case "reopen" | "restart" | "wrong at boot":
                self._away(what, value, steady=steady)
        self.look()

    def _away(self, what: str, value: float, *, steady: bool) -> None:
        """The bench was closed for a while; perhaps the machine was off, its clock lost."""
        self.bench.close()
        self.true_s += 60.0
        if what != "reopen" and not steady:
            self.boot, self.booted_s = self.boot + 1, self.true_s - 20.0
        right_s = self.off_s
        if what == "wrong at boot" and not steady:
            self.off_s += value
        self.open()
        # A time server puts it right a moment later.
        self.true_s += 2.0
        self.off_s = right_s


def acts(chance: Random) -> list[Act]:
    """A day or three at the bench, with every mishap in between."""
    out: list[Act] = [("begin", chance.randrange(9))]
    for _ in range(chance.randrange(12, 40)):
        jump = chance.choice(JUMPS_S) * chance.choice((-1, 1))
        out.append(("pass", chance.choice(STEPS_S) * chance.uniform(0.5, 1.0)))
        roll = chance.random()
        if roll < 0.25:
            out.append(("begin", chance.randrange(9)))
        elif roll < 0.6:
            out.append(("jump", jump))
        elif roll < 0.7:
            out.append(("reopen", 0))
        elif roll < 0.8:
            out.append(("restart", 0))
        elif roll < 0.9:
            out.append(("wrong at boot", jump))
    return out


def played(work: Work, home: Path, start_s: float, todo: list[Act], *, steady: bool) -> Machine:
    """Do it all; the remaining times are looked at after each act."""
    home.mkdir()
    machine = Machine(home, start_s, booted_s=start_s - 5000.0)
    with closing(machine.bench):
        for number, act in enumerate(todo):
            machine.act(act, steady=steady)
            now_s = machine.bench.now_s()
            for edge in edges_now(machine.bench):
                wanted = machine.begun.get(edge.key)
                if wanted is None:
                    continue
                off_s = (edge.at_s - now_s) - (wanted - machine.true_s)
                work.did("remaining times")
                if abs(off_s) > 1.0:
                    work.wrong(f"{edge.key} off by {off_s:.1f} s after act {number}: {act}")
                    return machine
    return machine


def shown(work: Work, name: str, times: int) -> None:
    """Local times over a year, against the standard library's zoneinfo."""
    tz = ZoneInfo(name)
    for _ in range(times):
        at_s = work.chance.uniform(1_767_225_600, 1_830_297_600)
        plain = datetime.fromtimestamp(int(at_s), tz)
        ours = local(float(int(at_s)))
        same = (ours.hour, ours.minute, ours.day) == (plain.hour, plain.minute, plain.day)
        work.hold(same, f"{name} at {at_s}: {ours} for {plain}")
        work.did("local times")


def changes(name: str, year: int = 2027) -> list[float]:
    """The moments of a year at which a zone's clocks change."""
    tz, first = ZoneInfo(name), int(datetime(year, 1, 1, tzinfo=ZoneInfo("UTC")).timestamp())
    hours = [first + 3600 * h for h in range(366 * 24)]
    offs = [datetime.fromtimestamp(h, tz).utcoffset() for h in hours]
    return [h for h, a, b in zip(hours[1:], offs, offs[1:], strict=False) if a != b]


def run(work: Work) -> None:
    days = {name: changes(name) for name in ZONES}
    for number in range(work.count):
        name = ZONES[number % len(ZONES)]
        start_s = work.chance.choice(days[name]) - work.chance.uniform(0, 30 * HOUR)
        todo = acts(work.chance)
        with work.part(f"{name} {number}") as folder, zone(name):
            plain = played(work, folder / "plain", start_s, todo, steady=True)
            moved = played(work, folder / "moved", start_s, todo, steady=False)
            lost = Counter(plain.heard) - Counter(moved.heard)
            more = Counter(moved.heard) - Counter(plain.heard)
            work.hold(not lost, f"number {number}: lost {list(lost)[:3]}")
            work.hold(not more, f"number {number}: said more {list(more)[:3]}")
            shown(work, name, 40)
        work.did("days with mishaps")
        work.did("reminders", len(plain.heard))


CAMPAIGN = Campaign(
    "times",
    "Remaining times are right to the second and no reminder is lost or doubled, whatever the "
    "clocks do.",
    "walls set by seconds to nine years, wrong at boot and put right, restarts, machines that "
    "sleep, over both changes of the season in six zones; against true time and the same day "
    "undisturbed",
    240,
    3,
    run,
    mended=(
        "a wall that was years ahead at the computer's start, put right a minute later, hid every "
        "row of what was said: the same reminder was given without an end (seed 20, number 15)",
    ),
    left=(
        "a wall set by two seconds or less is not noted; over a restart right after it clocks are "
        "off by as much",
        "a wall that was wrong at a start and is put right later than ten minutes after it is "
        "taken for one that somebody set: clocks then count from the start as it was first seen",
    ),
)
