"""The demo's journal: a small shop in full swing, with exactly twenty live windows and a few jobs
behind it to look back at.

All of it is made by the real service over a real journal, with a clock that was set; what is
invented are only the readings.
"""

from __future__ import annotations

import math
from pathlib import Path

from benchmate.bench.service import Bench
from benchmate.bench.shelf.shelf import find_material, start_clock
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
STARTS = (
    (101.0, "turned-lamp-base"),
    (74.0, "plane-setting-hammer"),
    (71.0, "plane-setting-hammer"),
    (50.0, "turned-lamp-base"),
    (28.0, "matched-bookends"),
    (2.45, "matched-bookends"),
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
AIR_HOURS, AIR_LAST_HOURS = 104, 0.35
AIR_MIDDLE_C, AIR_SWING_C, AIR_WARMEST_H = 16.5, 3.0, 16.0
"""An unheated shop in autumn: a reading an hour, warmest in the afternoon."""
LIGHT_JOB, LIGHT_LAYER = "matched-bookends-5", "B/block/pour#2"
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
        end_s = bench.now_s(end)
        hands = Rehearsal(bench, clock, _Reader())
        for hours, name in ENDED:
            begun_s = end_s - hours * HOURS
            hands.run(begun_s + TAKES_HOURS * HOURS, {begun_s: name})
            bench.do(bench.shop.live[0].job, cmd.Finish(outcome="as planned"))
        hands.run(end_s, {end_s - hours * HOURS: name for hours, name in STARTS})
        clock.moment = end
        _air(bench, end)
        _fill_up(bench, clock)
    finally:
        bench.close()
    return folders


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


def _air(bench: Bench, end: Moment) -> None:
    """The shop's air up to a little while ago, as a thermometer's file has it."""
    readings = tuple(
        _reading(end.shifted(-(hour + AIR_LAST_HOURS) * HOURS)) for hour in range(AIR_HOURS, -1, -1)
    )
    bench.settle(shop_cmd.LogAir(place=SHOP, source="thermometer file", readings=readings))


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
