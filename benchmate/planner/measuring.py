"""What a plan comes to in each aim, counted from its starts alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from benchmate.planner.domains import session_of
from benchmate.planner.problem import (
    HANDS,
    SHOP,
    AimName,
    PlannerAim,
    PlannerPlan,
    PlannerProblem,
    day_of,
    finishes,
)

PROMISE_WEIGHT = 10
"""A day late on what was promised weighs as much as so many on what is only wished."""
OTHER_VISIT = 3
"""A step that moves to another visit counts as so many that move within theirs."""
SLIPPED_DAY = 5
"""A job done a day later than was said weighs as much as so many steps at another time."""
SURE: tuple[AimName, ...] = ("spoiled", "extra work", "late days")
"""Aims in which nothing better than nought can be."""


def measure(problem: PlannerProblem, plan: PlannerPlan) -> tuple[int, ...]:
    """What a plan comes to, the gravest aim first: smaller is better."""
    spoiled = sum(problem.lags[m].missed == "spoils" for m in plan.missed)
    extra = len(plan.missed) - spoiled
    return spoiled, extra, late_days(problem, plan.starts), finish_days(problem, plan.starts)


def late_days(problem: PlannerProblem, starts: Sequence[int]) -> int:
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


def finish_days(problem: PlannerProblem, starts: Sequence[int]) -> int:
    """The jobs' finish days, added up."""
    return sum(day_of(problem, end) for end in finishes(problem, starts).values())


def visits(problem: PlannerProblem, starts: Sequence[int]) -> dict[int, tuple[int, int]]:
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


Old = Mapping[int, tuple[int, int]]
"""By activity: its start in a plan that is to be kept as far as can be, and how many of its steps
stood by that start."""


def aim_values(
    problem: PlannerProblem, plan: PlannerPlan, old: Old | None = None
) -> dict[AimName, int]:
    """What a plan comes to in every aim; what is kept of an old one too, where there was one."""
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
    if old:
        ends = finishes(problem, plan.starts)
        was = old_days(problem, old).items()
        slip = sum(max(0, day_of(problem, ends[job]) - day) for job, day in was)
        moved = (_moved(problem, plan.starts[i], *stood) for i, stood in old.items())
        values["changes"] = SLIPPED_DAY * slip + sum(moved)
    return values


def _moved(problem: PlannerProblem, start: int, was: int, steps: int) -> int:
    opens, closes = visit_of(problem, was)
    return steps * ((start != was) + (OTHER_VISIT - 1) * (not opens <= start <= closes))


def visit_of(problem: PlannerProblem, start: int) -> tuple[int, int]:
    """The session that a start lies in; the start alone where it lies in none."""
    sessions = problem.sessions.get(SHOP, ())
    at = session_of(sessions, start)
    return (start, start) if at is None else sessions[at]


def old_starts(problem: PlannerProblem, steps: Mapping[str, int]) -> Old:
    """By activity: where most of its steps stood in an old plan."""
    old: dict[int, tuple[int, int]] = {}
    for i, activity in enumerate(problem.activities):
        stood = Counter(steps[p.key] - p.at for p in activity.steps if p.key in steps)
        if activity.job and stood:
            old[i] = stood.most_common(1)[0]
    return old


def old_days(problem: PlannerProblem, old: Old) -> dict[str, int]:
    """Per job: the finish day that an old plan said."""
    days: dict[str, int] = {}
    for i, (start, _) in old.items():
        activity = problem.activities[i]
        day = day_of(problem, start + activity.minutes)
        days[activity.job] = max(days.get(activity.job, day), day)
    return days


def aims_of(
    problem: PlannerProblem, plan: PlannerPlan, bounds: Mapping[AimName, int], old: Old
) -> tuple[PlannerAim, ...]:
    """Every aim of a plan, with the bounds that are known."""
    known = dict.fromkeys(SURE, 0) | dict(bounds)
    values = aim_values(problem, plan, old)
    return tuple(PlannerAim(name=n, value=v, bound=known.get(n)) for n, v in values.items())
