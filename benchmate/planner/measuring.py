"""What a plan comes to in each aim, counted from its starts alone."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.planner.domains import session_of
from benchmate.planner.problem import HANDS, SHOP, Aim, AimName, Plan, Problem, day_of, finishes

PROMISE_WEIGHT = 10
"""A day late on what was promised weighs as much as so many on what is only wished."""


def measure(problem: Problem, plan: Plan) -> tuple[int, ...]:
    """What a plan comes to, the gravest aim first: smaller is better."""
    spoiled = sum(problem.lags[m].missed == "spoils" for m in plan.missed)
    extra = len(plan.missed) - spoiled
    return spoiled, extra, late_days(problem, plan.starts), finish_days(problem, plan.starts)


def late_days(problem: Problem, starts: Sequence[int]) -> int:
    """Days late over all dues, a promise weighing more."""
    ends = finishes(problem, starts)
    return sum(
        max(0, day_of(problem, ends[d.job]) - day_of(problem, d.by)) * weight_of(d.promised)
        for d in problem.dues
        if d.job in ends
    )


def weight_of(promised: bool) -> int:
    """How much a late day weighs."""
    return PROMISE_WEIGHT if promised else 1


def finish_days(problem: Problem, starts: Sequence[int]) -> int:
    """The jobs' finish days, added up."""
    return sum(day_of(problem, end) for end in finishes(problem, starts).values())


def visits(problem: Problem, starts: Sequence[int]) -> dict[int, tuple[int, int]]:
    """Per used session of the shop: from when to when hands are at work."""
    sessions = problem.sessions.get(SHOP, ())
    spans: dict[int, tuple[int, int]] = {}
    for holding in problem.holdings:
        begin, end = starts[holding.first] + holding.begins, starts[holding.last] + holding.ends
        session = session_of(sessions, begin) if holding.count == HANDS else None
        if session is not None and end > begin:
            old = spans.get(session, (begin, end))
            spans[session] = (min(old[0], begin), max(old[1], end))
    return spans


def aims_of(problem: Problem, plan: Plan, bounds: dict[AimName, int] | None = None) -> list[Aim]:
    """Every aim of a plan, with the bounds that are known."""
    known = bounds or {}
    spoiled, extra, late, days = measure(problem, plan)
    spans = visits(problem, plan.starts)
    values: dict[AimName, int] = {
        "spoiled": spoiled,
        "extra work": extra,
        "late days": late,
        "finish days": days,
        "visits": len(spans),
        "idle": sum(end - begin for begin, end in spans.values()),
    }
    trivial: dict[AimName, int] = dict.fromkeys(("spoiled", "extra work", "late days"), 0)
    return [
        Aim(name=name, value=value, bound=known.get(name, trivial.get(name)))
        for name, value in values.items()
    ]
