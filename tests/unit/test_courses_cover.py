"""Headings from a job's plan and records hold the finished weight as often as they say.

The pieces are drawn from what the plan itself gives as doubtful (voids, packing, sanding, oil,
moisture), worked through real events, and held against the heading after two layers and after the
fill. It is the plumbing from plan and records to heading that is on trial here; whether those
doubts are a shop's own is for the simulated jobs.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from functools import cache

from benchmate.job.events import stored as ev
from benchmate.job.state.fold import fold_all
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.weights.courses import MOISTURE_U_PCT, courses
from benchmate.landing.course import FillCourse, Packing
from benchmate.landing.will_weigh import all_will_weigh
from benchmate.moment import Moment
from benchmate.plan.plan import Fill as PlannedFill
from benchmate.plan.plan import Plan
from benchmate.procedure.finding import load_file
from benchmate.shelf import FAMILIES
from tests.plans import expand
from tests.unit.loop_help import PAIR

JOBS = 250
READ_SD_G = 0.1
ROOT3 = math.sqrt(3.0)
AT = Moment(1_795_683_600_000_000_000)


@cache
def plan() -> Plan:
    """The tests' pair, with its blocks and families, expanded once."""
    return expand(load_file(PAIR, PAIR.parent), job_id="t", materials={}, families=FAMILIES)


@dataclass
class Drawn:
    """One piece: the weighings of its parts and layers, in order, and its finished weight."""

    weighed: dict[str, float]
    finished_g: float


def draw(luck: random.Random, shot: float, moisture_pct: float, piece: str) -> Drawn:
    """A piece as the plan's own doubts allow, with the shot of the day and the shop's moisture."""
    fill = next(f for f in plan().fills if f.piece == piece)
    parts = {
        p.name: p.mass_g + luck.gauss(0.0, p.mass_u_g) for p in plan().parts if p.piece == piece
    }
    weighed = {f"t/{piece}/{name}/weigh-blanks#1": g for name, g in parts.items()}
    gains = _gains(luck, fill, shot)
    weighed |= {la.address: g for la, g in zip(fill.layers, gains, strict=True)}
    cap_g = fill.cap_g + luck.gauss(0.0, 2.0 / ROOT3)
    weighed[f"t/{piece}/block/cap#1"] = cap_g
    later = sum(
        _later(luck, s.takes_g, s.takes_u_g, s.adds_g, s.adds_u_g)
        for s in plan().steps
        if s.piece == piece
    )
    wood_g = sum(p.mass_g for p in plan().parts if p.piece == piece)
    finished = sum(parts.values()) + sum(gains) + cap_g + later + wood_g * moisture_pct / 100.0
    read = {a: round(g + luck.gauss(0.0, READ_SD_G), 1) for a, g in weighed.items()}
    return Drawn(read, finished)


def _gains(luck: random.Random, fill: PlannedFill, shot: float) -> list[float]:
    packing = Packing.split(fill.packing, fill.packing_u)
    known = FillCourse(packing, fill.shot_density_g_cm3, fill.resin_density_g_cm3)
    void = 1.0 + luck.gauss(0.0, fill.void_u_ml / fill.void_ml / ROOT3)
    own = fill.packing + shot + luck.gauss(0.0, packing.fill_u)
    resin = 1.0 + luck.gauss(0.0, known.resin_u)
    gains, below = [], 0.0
    for layer in fill.layers:
        line = luck.gauss(0.0, layer.void_ml * known.line_u)
        room = layer.void_ml * void + line - below
        lies = own + luck.gauss(0.0, packing.layer_u)
        gains.append(room * (lies * known.shot_g_cm3 + resin * (1 - lies) * known.resin_g_cm3))
        below = line
    return gains


def _later(luck: random.Random, takes: float, takes_u: float, adds: float, adds_u: float) -> float:
    """What a step takes and adds: bounds are even, the rest is normal."""
    return adds + luck.gauss(0.0, adds_u) - takes + luck.uniform(-1.0, 1.0) * takes_u * ROOT3


def state_of(pieces: dict[str, Drawn], layers: int) -> JobState:
    """The job with its blanks and so many layers of each piece recorded (the cap with the last)."""
    started = ev.JobStarted(happened=AT, recorded=AT, job="t", title="t", plan=plan())
    records = [Recorded(1, started)]
    for drawn in pieces.values():
        for address, g in drawn.weighed.items():
            number = int(address.rpartition("#")[2])
            if ("/pour#" in address and number > layers) or ("/cap#" in address and layers < 4):
                continue
            done = ev.Done(happened=AT, recorded=AT, address=address)
            weighed = ev.Weighed(
                happened=AT, recorded=AT, address=address, net_g=g, u_g=0.12, division_g=0.1
            )
            records += [Recorded(len(records) + 1, done), Recorded(len(records) + 2, weighed)]
    return fold_all(records)


def covered(layers: int) -> float:
    """Share of pieces whose finished weight lies in the heading's 95 % interval."""
    luck = random.Random(20_260_101)
    inside = 0
    for _ in range(JOBS):
        packing = Packing.split(plan().fills[0].packing, plan().fills[0].packing_u)
        shot = luck.gauss(0.0, packing.shot_u)
        moisture = luck.gauss(0.0, MOISTURE_U_PCT)
        pieces = {p: draw(luck, shot, moisture, p) for p in "AB"}
        found = all_will_weigh(courses(state_of(pieces, layers), {}))
        for will_weigh, drawn in zip(found, pieces.values(), strict=True):
            inside += will_weigh.low_g <= drawn.finished_g <= will_weigh.high_g
    return inside / (2 * JOBS)


def test_after_two_layers_the_interval_holds_what_it_says() -> None:
    assert 0.92 <= covered(2) <= 0.98


def test_after_the_fill_the_interval_holds_what_it_says() -> None:
    assert 0.92 <= covered(4) <= 0.98
