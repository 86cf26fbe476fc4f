"""The demo's journal: a small shop in full swing, with exactly twenty live windows and a few jobs
behind it to look back at.

All of it is made by the real service over a real journal, with a clock that was set; what is
invented are only the readings.
"""

from __future__ import annotations

import math
from pathlib import Path

import msgspec

from benchmate.bench.service import Bench
from benchmate.bench.shelf.materials import find_material
from benchmate.bench.shelf.shelf import describe_material, start_clock, with_label
from benchmate.bench.starting.starting import start_job
from benchmate.bench.trying.rehearsal import Rehearsal, scatter
from benchmate.clock import Clock, SetClock, SystemClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.streams import commands as shop_cmd
from benchmate.job.windows.agenda import Act
from benchmate.job.windows.windows import SHOP
from benchmate.localtime import local
from benchmate.moment import Moment
from benchmate.settings import Folders, Settings

WINDOWS = 20
HOURS = 3600.0
ENDED = (
    (50 * 24.0, "matched-bookends"),
    (40 * 24.0, "plane-setting-hammer"),
    (31 * 24.0, "matched-bookends"),
    (21 * 24.0, "matched-bookends"),
)
"""Hours before now, and what was started then and is long done."""
TAKES_HOURS = 9 * 24.0
"""Long enough for each of them to be done."""
STARTS = (
    (101.0, "turned-lamp-base"),
    (74.0, "plane-setting-hammer"),
    (71.0, "plane-setting-hammer"),
    (50.0, "turned-lamp-base"),
    (28.0, "matched-bookends"),
    (1.6, "matched-bookends"),
)
"""Hours before now, and what is started then."""
EXTRA = (
    ("yellow wood glue", "clamped", "drawer sides", 0.55),
    ("clear film finish, water-borne", "coated", "picture ledge", 0.9),
    ("slow casting epoxy", "poured", "test cup", 9.0),
    ("white wood glue", "clamped", "jig", 0.4),
    ("contact adhesive", "coated", "bench hook", 0.1),
    ("hot hide glue", "clamped", "veneer patch", 0.7),
    ("two-part epoxy glue", "clamped", "chisel handle", 2.0),
    ("clear film finish, oil-based", "coated", "peg board", 3.0),
    ("polyurethane glue", "clamped", "outdoor box", 0.3),
    ("paste wax", "waxed", "saw handle", 0.05),
    ("shellac", "coated", "tool tray", 0.2),
)
"""Clocks straight from materials, that fill up to twenty: material, act, name, hours before now."""
SHELF = (
    (
        "slow casting epoxy",
        "clear casting resin",
        {"pot life": "50 min at 20 °C", "amount": "4 kg"},
    ),
    ("yellow wood glue", "yellow glue", {"open time": "6 min at 20 °C", "amount": "400 g"}),
    ("hard oil", "hard oil, satin", {"amount": "600 g"}),
    ("steel 2 mm", "shot from the bucket", {"amount": "9 kg"}),
)
"""What stands on the shelf, by its kind: the name on it, and what its label says."""
AIR_HOURS, AIR_LAST_HOURS = 104, 0.35
AIR_MIDDLE_C, AIR_SWING_C, AIR_WARMEST_H = 16.5, 3.0, 16.0
"""An unheated shop in autumn: a reading an hour, warmest in the afternoon."""
LIGHT_JOB = "matched-bookends-5"
LIGHT_LAYER, NEXT_LAYER = "B/block/pour#2", "B/block/pour#3"
LIGHT_G = 8.6


def make_demo(folder: Path, now: Clock | None = None) -> Folders:
    """Write the demo's journal under a folder; the folders to open it with."""
    base = now or SystemClock()
    end = base.now()
    folders = Folders(folder / "data", folder / "settings.toml", folder / "procedures")
    clock = SetClock(end.shifted(-max(h for h, _ in ENDED) * HOURS - HOURS))
    bench = Bench.open(folders, Settings(), clock=clock)
    try:
        _scale(bench)
        for kind, name, label in SHELF:
            family = find_material(bench, kind)
            named = msgspec.structs.replace(family, name=name, family=kind)
            describe_material(bench, with_label(named, label))
        end_s = bench.now_s(end)
        hands = _Hands(bench, clock, end)
        for hours, name in ENDED:
            begun_s = end_s - hours * HOURS
            hands.run(begun_s + TAKES_HOURS * HOURS, {begun_s: name})
            bench.do(bench.shop.live[0].job, cmd.Finish(outcome="as planned"))
        last_s = end_s - STARTS[-1][0] * HOURS
        hands.run(last_s, {end_s - hours * HOURS: name for hours, name in STARTS[:-1]})
        start_job(bench, STARTS[-1][1])
        hands.at_one_job()
        clock.moment = end
        hands.time_passed()
        _fill_up(bench, clock)
    finally:
        bench.close()
    return folders


class _Hands(Rehearsal):
    """Works by the clocks of a shop whose thermometer's file is followed hour by hour."""

    def __init__(self, bench: Bench, clock: SetClock, end: Moment) -> None:
        super().__init__(bench, clock, _Reader())
        self._to_read = [
            end.shifted(-(hour + AIR_LAST_HOURS) * HOURS) for hour in range(AIR_HOURS + 1)
        ]

    def at_one_job(self) -> None:
        """Up to the layer after the light one: that is left for whoever opens the demo."""
        while True:
            self.time_passed()
            act = next((a for a in self.bench.agenda().ready if a.job == LIGHT_JOB), None)
            if act is None or act.address.endswith(NEXT_LAYER):
                return
            self.do(act)

    def time_passed(self) -> None:
        readings = []
        while self._to_read and self._to_read[-1].wall_s <= self.clock.moment.wall_s:
            readings.append(_reading(self._to_read.pop()))
        if readings:
            log = shop_cmd.LogAir(place=SHOP, source="thermometer file", readings=tuple(readings))
            self.bench.settle(log)


class _Reader:
    """Readings a little off the plan, and one layer that is clearly light."""

    def __init__(self) -> None:
        self._off = scatter()

    def __call__(self, act: Act) -> str:
        point = act.step.weigh if act.step else None
        plan = point.plan_g or 0.0 if point else 0.0
        value = plan * (1 + next(self._off))
        if act.job == LIGHT_JOB and act.address.endswith(LIGHT_LAYER):
            value = plan - LIGHT_G
        return f"{value:.1f} g"


def _scale(bench: Bench) -> None:
    described = shop_cmd.DescribeScale(
        name="bench scale",
        division_g=0.1,
        repeatability_g=0.1,
        repeatability_n=10,
        linearity_g=0.2,
        capacity_g=3000.0,
    )
    bench.settle(described)


def _reading(at: Moment) -> shop_cmd.Logged:
    clock = local(at.wall_s)
    turn = 2 * math.pi * (clock.hour + clock.minute / 60 - AIR_WARMEST_H) / 24
    celsius = round(AIR_MIDDLE_C + AIR_SWING_C * math.cos(turn), 1)
    return shop_cmd.Logged(at, celsius, round(60.0 - 2.5 * (celsius - AIR_MIDDLE_C)))


def _fill_up(bench: Bench, clock: SetClock) -> None:
    """Clocks from materials until exactly twenty windows are live."""
    for material, act, name, hours in EXTRA:
        missing = WINDOWS - len(bench.agenda().windows)
        if missing <= 0:
            break
        at = clock.moment.shifted(-hours * HOURS)
        start_clock(bench, find_material(bench, material), act, name=name, at=at)
    for view in reversed(bench.agenda().windows):
        if len(bench.agenda().windows) <= WINDOWS:
            break
        bench.do(view.job, cmd.AnswerMissed(window=view.address, answer="let it be"))
