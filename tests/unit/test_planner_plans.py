"""Plans keep every rule, by a checker that shares no code with what makes them."""

from __future__ import annotations

from random import Random

import pytest
from msgspec.structs import replace

from benchmate.planner.collapse import collapse
from benchmate.planner.greedy import first
from benchmate.planner.measuring import measure
from benchmate.planner.problem import AimName, PlannerPlan, PlannerProblem, step_starts
from tests.needs import needs
from tests.planning_checker import complaints, dated, trade_complaints
from tests.planning_help import FRIDAY_17, SHOP_TIMES, planned, renamed, shipped, some_jobs

HOURS = {day: [("18:00", "21:30")] for day in range(5)} | {d: [("09:00", "17:00")] for d in (5, 6)}
QUIET = ("21:00", "08:00")


def wrong_dates(plans: list, problem: PlannerProblem, plan: PlannerPlan) -> list[str]:
    """What a maker would find wrong with a plan of these jobs."""
    dates = dated(step_starts(problem, plan), FRIDAY_17)
    return trade_complaints(plans, dates, HOURS, QUIET, SHOP_TIMES.has)


@pytest.mark.parametrize(("many", "seed"), [(1, 1), (3, 2), (3, 3), (5, 4), (10, 5)])
def test_a_greedy_plan_breaks_no_rule(many: int, seed: int) -> None:
    jobs = some_jobs(many, seed)
    problem = planned(jobs)
    for tried in (problem, collapse(problem)):
        plan = first(tried, passes=5)
        assert plan is not None
        assert plan.missed == ()
        assert complaints(tried, plan.starts) == []
        assert wrong_dates(jobs, tried, plan) == []


def test_blocks_hold_every_step_once() -> None:
    problem = planned(some_jobs(4, 9))
    blocks = collapse(problem)
    steps = [part.key for activity in blocks.activities for part in activity.steps]
    assert sorted(steps) == sorted(a.key for a in problem.activities)
    assert len(blocks.activities) < len(steps) / 2


@needs("module:ortools")
@pytest.mark.parametrize(("many", "seed"), [(2, 1), (3, 2)])
def test_better_plans_break_no_rule_and_worsen_no_earlier_aim(many: int, seed: int) -> None:
    from benchmate.planner.improve import Improver

    jobs = some_jobs(many, seed)
    blocks = collapse(planned(jobs))
    told: list[tuple[int, ...]] = []
    worst: list[str] = []

    def take(plan: PlannerPlan, bounds: dict[AimName, int]) -> None:
        told.append(measure(blocks, plan))
        worst.extend(complaints(blocks, plan.starts, plan.missed))

    improver = Improver(blocks, first(blocks), 600.0, take, effort=0.02)
    plan = improver.run()
    assert plan is not None
    assert worst == []
    assert told == sorted(told, reverse=True)
    assert wrong_dates(jobs, blocks, plan) == []
    assert improver.bounds.get("finish days", 0) <= measure(blocks, plan)[3]


@needs("module:ortools")
def test_blocks_lose_nothing_in_a_small_plan() -> None:
    """The optimum in blocks is the optimum step by step."""
    from benchmate.planner.improve import Improver

    problem = planned(some_jobs(1, 6))
    results = []
    for tried in (problem, collapse(problem)):
        improver = Improver(tried, first(tried), 600.0, lambda plan, bounds: None, effort=0.02)
        plan = improver.run()
        assert plan is not None
        results.append((measure(tried, plan)[3], improver.bounds["finish days"]))
    assert results[0][0] == results[0][1] == results[1][0] == results[1][1]


def test_the_trade_checker_refuses_moved_steps() -> None:
    jobs = [renamed(shipped("plane-setting-hammer"), "hammer"), *some_jobs(2, 3)]
    problem = planned(jobs)
    plan = first(problem)
    assert plan is not None
    random, refused, kinds = Random(11), 0, set()
    for _ in range(150):
        starts = list(plan.starts)
        i = random.randrange(1, len(starts))
        starts[i] = max(0, starts[i] + random.choice([-2000, -600, -60, -15, 15, 60, 600, 2000]))
        wrong = wrong_dates(jobs, problem, replace(plan, starts=tuple(starts)))
        refused += bool(wrong)
        kinds |= {text.split()[0] for text in wrong}
    assert refused > 120
    assert {"order", "wait", "full", "closed", "shop", "hands", "dust"} <= kinds


@needs("module:ortools")
def test_the_prover_never_claims_more_than_there_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """Repairs beside a prover with cuts come to the same optimum as the plain model."""
    from benchmate.planner import improve

    blocks = collapse(planned(some_jobs(2, 8)))
    results = []
    for from_ in (1000, 0):
        monkeypatch.setattr(improve, "PORTFOLIO_FROM", from_)
        improver = improve.Improver(
            blocks, first(blocks, passes=1), 600.0, lambda plan, known: None, effort=0.02
        )
        plan = improver.run()
        assert plan is not None
        assert complaints(blocks, plan.starts, plan.missed) == []
        results.append((measure(blocks, plan)[3], improver.bounds.get("finish days", 0)))
    best = min(days for days, _ in results)
    assert all(bound <= best for _, bound in results)
