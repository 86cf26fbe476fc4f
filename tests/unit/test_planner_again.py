"""A weekend with three jobs, six clamps and a curing box: planned, late, planned again."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from msgspec.structs import replace

from benchmate.plan.plan import Holding, Plan
from benchmate.planner.from_jobs import Wanted
from benchmate.planner.hours import HoursChange
from benchmate.planner.problem import PlannerProblem
from benchmate.planner.process import NO_SOLVER, answer
from benchmate.planner.wire import Answer, Request, Told
from tests.needs import needs
from tests.planning_checker import dated, trade_complaints
from tests.planning_help import FRIDAY_17, SHOP_TIMES, planned, renamed, shipped
from tests.unit.test_planner_plans import HOURS, QUIET

BOX = "drying box"


def in_the_box(plan: Plan) -> Plan:
    """Every fill cures in the box until it is tried."""
    cured = {s.file_step: s.address for s in plan.steps if s.act == "tried"}
    assert cured
    return replace(
        plan,
        steps=tuple(
            replace(s, holds=(*s.holds, Holding(what=BOX, until=_same_part(plan, s.address))))
            if s.act == "capped"
            else s
            for s in plan.steps
        ),
    )


def _same_part(plan: Plan, address: str) -> str:
    part = address.rpartition("/")[0]
    return next(s.address for s in plan.steps if s.act == "tried" and s.address.startswith(part))


JOBS = [
    in_the_box(renamed(shipped(name), job))
    for name, job in (
        ("matched-bookends", "pair"),
        ("turned-lamp-base", "lamp"),
        ("plane-setting-hammer", "hammer"),
    )
]
HAS = {"clamp": 6, BOX: 3}
TIMES = SHOP_TIMES.__class__(**{**SHOP_TIMES.__dict__, "has": HAS})


def told(
    problem: PlannerProblem, old: Mapping[str, int] | None = None, *, solver: bool = True
) -> Told:
    """The planner's last word."""
    answers: list[Answer] = []
    request = Request(kind="plan", problem=problem, seconds=600.0, effort=0.02, old=dict(old or {}))
    answer(request, answers.append, solver=solver)
    last = answers[-1]
    assert isinstance(last, Told)
    assert last.is_last
    return last


def wrong(plan: Told) -> list[str]:
    """What a maker would find wrong with it."""
    return trade_complaints(JOBS, dated(plan.steps, FRIDAY_17), HOURS, QUIET, HAS)


@needs("module:ortools")
def test_two_hours_late_most_of_the_sheet_is_kept() -> None:
    before = told(planned(JOBS, TIMES))
    assert wrong(before) == []
    # Nobody is in the shop for the first two hours of the first evening.
    late = Wanted(changes=(HoursChange(FRIDAY_17, FRIDAY_17 + 3 * 3600.0, opens=False),))
    old = {key: begin for key, (begin, _) in before.steps.items()}
    after = told(planned(JOBS, TIMES, late), old)
    assert wrong(after) == []
    assert min(begin for begin, _ in after.steps.values()) >= 180
    same = sum(after.steps[key][0] == begin for key, begin in old.items())
    anew = told(planned(JOBS, TIMES, late))
    by_chance = sum(anew.steps[key][0] == begin for key, begin in old.items())
    assert same > by_chance, "planned again keeps more than planned anew"
    simple = told(planned(JOBS, TIMES, late), old, solver=False)
    moved = [next(a.value for a in t.aims if a.name == "changes") for t in (after, simple)]
    assert moved[0] <= moved[1]


def test_what_nothing_holds_up_stays_where_it_stood() -> None:
    old = {k: begin for k, (begin, _) in told(planned(JOBS, TIMES), solver=False).steps.items()}
    trim = next(key for key in old if key.startswith("hammer/") and "trim" in key)
    later = Wanted(arrives={trim: FRIDAY_17 + 60.0 * old[trim] + 86_400.0})
    after = told(planned(JOBS, TIMES, later), old, solver=False)
    assert wrong(after) == []
    moved = {key for key, begin in old.items() if after.steps[key][0] != begin}
    assert trim in moved
    assert all(key.startswith("hammer/") and old[key] >= old[trim] for key in moved)


@needs("module:ortools")
def test_pins_are_kept_to_the_minute() -> None:
    before = told(planned(JOBS, TIMES))
    key = "lamp/A/column/column#1"
    saturday_ten = FRIDAY_17 + 17 * 3600.0
    pinned = planned(JOBS, TIMES, Wanted(pins={key: saturday_ten}))
    after = told(pinned, {k: begin for k, (begin, _) in before.steps.items()})
    assert after.steps[key][0] == 17 * 60
    assert wrong(after) == []


def test_without_the_solver_a_plan_says_what_it_is() -> None:
    plan = told(planned(JOBS, TIMES), solver=False)
    assert wrong(plan) == []
    assert plan.how == "greedy"
    assert plan.note == NO_SOLVER
    assert all(aim.bound is None for aim in plan.aims if aim.name == "finish days")


@pytest.mark.parametrize("box", [1, 2])
def test_a_smaller_box_is_kept_too(box: int) -> None:
    times = TIMES.__class__(**{**TIMES.__dict__, "has": {"clamp": 6, BOX: box}})
    plan = told(planned(JOBS[1:], times), solver=False)
    dates = dated(plan.steps, FRIDAY_17)
    assert trade_complaints(JOBS[1:], dates, HOURS, QUIET, {"clamp": 6, BOX: box}) == []
