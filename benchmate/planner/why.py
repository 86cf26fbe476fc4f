"""Why it can't be done: the smallest set of rules that collide, and what would free them.

Not all rules go to the solver's assumptions at once: that takes long and leaves many. They are
dropped by halves, the jobs first, then one by one. The set that is left is minimal: each of its
members can be dropped for a plan to be possible.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

import msgspec
from msgspec.structs import replace
from ortools.sat.python import cp_model

from benchmate.planner.model import build
from benchmate.planner.problem import DUST_FREE, HANDS, SHOP, Activity, Lag, PlannerProblem, day_of
from benchmate.planner.wire import Candidate

RuleKind = Literal["job", "due", "pin", "delivery", "waits", "clocks", "count", "hours"]
SOLVE_S = 5.0


class Rule(msgspec.Struct, frozen=True):
    """Something that a plan keeps, as a person could give it up."""

    kind: RuleKind
    name: str


def rules_of(problem: PlannerProblem) -> list[Rule]:
    """All rules of a problem, those dropped first in front."""
    jobs = problem.jobs
    pinned = [a.key for a in problem.activities if a.job and a.latest is not None]
    awaiting = [a.key for a in problem.activities if a.job and a.earliest and a.latest is None]
    counts = [c for c in problem.counts if any(h.count == c for h in problem.holdings)]
    ordered: list[tuple[RuleKind, Iterable[str]]] = [
        ("job", jobs),
        ("count", sorted(counts, key=lambda c: (c != DUST_FREE, c == HANDS, c))),
        ("hours", sorted(problem.sessions, key=lambda calendar: calendar == SHOP)),
        ("waits", jobs),
        ("clocks", jobs),
        ("pin", pinned),
        ("delivery", awaiting),
        ("due", [d.job for d in problem.dues]),
    ]
    return [Rule(kind, name) for kind, names in ordered for name in names]


def only(problem: PlannerProblem, rules: Iterable[Rule]) -> PlannerProblem:
    """The problem with these rules alone; due dates are kept to the minute."""
    kept = set(rules)

    def has(kind: RuleKind, name: str) -> bool:
        return Rule(kind, name) in kept

    due = {d.job: d.by for d in problem.dues if has("due", d.job)}

    def activity(a: Activity) -> Activity:
        if not a.job:
            return a
        if not has("job", a.job):
            return replace(a, within=(), earliest=0, latest=None)
        pinned = a.latest is not None and has("pin", a.key)
        latest = [due[a.job] - a.minutes] if a.job in due else []
        latest += [a.latest] if pinned and a.latest is not None else []
        return replace(
            a,
            within=tuple(w for w in a.within if has("hours", w.calendar)),
            earliest=a.earliest if pinned or has("delivery", a.key) else 0,
            latest=min(latest, default=None),
        )

    def is_kept(i: int) -> bool:
        job = problem.activities[i].job
        return not job or has("job", job)

    return replace(
        problem,
        activities=tuple(activity(a) for a in problem.activities),
        lags=tuple(
            lag for old in problem.lags if (lag := _kept_lag(problem, old, kept)) is not None
        ),
        holdings=tuple(
            h
            for h in problem.holdings
            if has("count", h.count) and is_kept(h.first) and is_kept(h.last)
        ),
        dues=(),
    )


def _kept_lag(problem: PlannerProblem, lag: Lag, kept: set[Rule]) -> Lag | None:
    first, then = problem.activities[lag.first], problem.activities[lag.then]
    job = then.job or first.job
    if job and Rule("job", job) not in kept:
        return None
    if lag.least < 0 or (not then.job and lag.missed):
        return lag if Rule("clocks", job) in kept else None
    if Rule("waits", job) in kept:
        return lag
    return replace(lag, least=min(lag.least, first.minutes))


def can_be(problem: PlannerProblem, seconds: float = SOLVE_S) -> bool | None:
    """Whether any plan keeps all the rules; None where the time was too short to tell."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(build(problem).model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return True
    return False if status == cp_model.INFEASIBLE else None


def why(problem: PlannerProblem, seconds: float = SOLVE_S) -> tuple[Rule, ...] | None:
    """A minimal set of rules that can't all be kept; None where they can, or nobody can tell."""
    rules = rules_of(problem)
    if can_be(only(problem, rules), seconds) is not False:
        return None

    def collide(some: Sequence[Rule]) -> bool:
        return can_be(only(problem, some), seconds) is False

    dues = [r for r in rules if r.kind == "due"]
    for due in dues if len(dues) > 1 else ():
        alone = [r for r in rules if r.kind != "due" or r == due]
        if collide(alone):
            rules = alone
            break
    size = max(1, len(rules) // 2)
    while size:
        at = 0
        while at < len(rules):
            fewer = [*rules[:at], *rules[at + size :]]
            if collide(fewer):
                rules = fewer
            else:
                at += size
        size //= 2
    return tuple(rules)


def freed(problem: PlannerProblem, free: Candidate) -> PlannerProblem:
    """The problem with one thing eased."""
    if free.count:
        counts = {**problem.counts, free.count: problem.counts[free.count] + free.more}
        return replace(problem, counts=counts)
    if free.session is not None:
        sessions = sorted([*problem.sessions[SHOP], free.session])
        return replace(problem, sessions={**problem.sessions, SHOP: tuple(sessions)})
    if free.due:
        later = (
            replace(d, by=d.by + free.later_min) if d.job == free.due else d for d in problem.dues
        )
        return replace(problem, dues=tuple(later))
    unpinned = (
        replace(a, latest=None, earliest=0) if a.key == free.pin else a for a in problem.activities
    )
    return replace(problem, activities=tuple(unpinned))


def least_lateness(problem: PlannerProblem, seconds: float = SOLVE_S) -> dict[str, int] | None:
    """By how many days each due job has to be later where no single thing frees it."""
    rules = [r for r in rules_of(problem) if r.kind != "due"]
    built = build(replace(only(problem, rules), dues=problem.dues))
    built.model.minimize(sum(built.late))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = seconds
    if solver.solve(built.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    days = {d.job: solver.value(built.days[d.job]) - day_of(problem, d.by) for d in problem.dues}
    return {job: late for job, late in days.items() if late > 0}
