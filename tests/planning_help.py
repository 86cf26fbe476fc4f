"""Jobs to be planned, made from the shipped procedures and varied, for tests and benchmarks."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from random import Random

from msgspec.structs import replace

from benchmate.job.windows.windows import Around
from benchmate.plan.plan import Plan, Step, Window
from benchmate.planner.from_jobs import Wanted, problem_of
from benchmate.planner.hours import ShopTimes
from benchmate.planner.problem import PlannerProblem
from benchmate.planner.process import answer
from benchmate.planner.wire import Answer, Request
from benchmate.procedure.finding import find, load_file
from benchmate.shelf import FAMILIES
from tests.plans import expand

FRIDAY_17 = 1_764_349_200.0
"""Fri 28 Nov 2025, 17:00 UTC."""
H = 60
EVENING, WEEKEND = ((18 * H, 21 * H + 30),), ((9 * H, 17 * H),)
SHOP_TIMES = ShopTimes(
    week=(EVENING,) * 5 + (WEEKEND,) * 2,
    quiet=(21 * H, 8 * H),
    has={"clamp": 6, "drying box": 4},
    zone="UTC",
)
NAMES = ("matched-bookends", "turned-lamp-base", "plane-setting-hammer")


def asked_here(request: Request, hear: Callable[[Answer], None] | None = None) -> list[Answer]:
    """In place of the planner's process and its seconds: the simple rules, here and now."""
    answers: list[Answer] = []
    answer(request, answers.append, solver=False)
    return answers


@lru_cache
def shipped(name: str) -> Plan:
    """A shipped procedure's plan, with common practice for every material."""
    here = Path(__file__).parent
    found = find(name, here)
    assert found is not None
    values = {"makes": 1} if name == "one-bookend" else {}
    return expand(
        load_file(found.path, here), job_id=name, materials={}, families=FAMILIES, parameters=values
    )


def renamed(plan: Plan, job: str) -> Plan:
    """The same plan as another job."""

    def new(address: str) -> str:
        return f"{job}/{address.partition('/')[2]}" if address else ""

    def window(w: Window) -> Window:
        return replace(w, address=new(w.address))

    def step(s: Step) -> Step:
        return replace(
            s,
            address=new(s.address),
            after=tuple(map(new, s.after)),
            before=tuple(map(new, s.before)),
            waits=tuple(map(new, s.waits)),
            waits_full=tuple(map(new, s.waits_full)),
            within=tuple(map(new, s.within)),
            windows=tuple(map(window, s.windows)),
            holds=tuple(replace(h, until=new(h.until)) for h in s.holds),
        )

    return replace(plan, job=job, title=job, steps=tuple(map(step, plan.steps)))


def varied(plan: Plan, random: Random) -> Plan:
    """Other hands-on times (half to twice), other waits (a fifth either way)."""

    def window(w: Window, by: float) -> Window:
        def times(seconds: float | None) -> float | None:
            return None if seconds is None else seconds * by

        return replace(
            w, opens_s=times(w.opens_s), full_s=times(w.full_s), closes_s=times(w.closes_s)
        )

    def step(s: Step) -> Step:
        hands = max(120.0, s.hands_s * random.uniform(0.5, 2.0)) if not s.within else s.hands_s
        waits = random.uniform(0.8, 1.2)
        return replace(s, hands_s=hands, windows=tuple(window(w, waits) for w in s.windows))

    return replace(plan, steps=tuple(map(step, plan.steps)))


def one_piece(plan: Plan) -> Plan:
    """A plan of two pieces less its second one."""
    gone = {s.address for s in plan.steps if s.piece == "B"}
    gone |= {s.address for s in plan.steps if "mix#2" in s.address}
    steps = tuple(
        replace(s, after=tuple(a for a in s.after if a not in gone))
        for s in plan.steps
        if s.address not in gone
    )
    return replace(plan, steps=steps)


def some_jobs(many: int, seed: int) -> list[Plan]:
    """So many jobs of about thirty steps each."""
    random = Random(seed)
    plans = [one_piece(shipped(NAMES[0])), shipped(NAMES[1]), shipped(NAMES[2])]
    return [renamed(varied(random.choice(plans), random), f"job{n}") for n in range(1, many + 1)]


def planned(
    plans: list[Plan], times: ShopTimes = SHOP_TIMES, wanted: Wanted | None = None
) -> PlannerProblem:
    """The problem of wishes alone, on a Friday at five."""
    return problem_of([], plans, times, Around(), FRIDAY_17, FRIDAY_17, wanted)
