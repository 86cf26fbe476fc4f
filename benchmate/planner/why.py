"""Why it can't be done: the smallest set of rules that collide, and what would free them.

Not all rules go to the solver's assumptions at once: that takes long and leaves many. First each
job that is to be done by some time is looked at alone; else whole jobs are dropped by halves, then
rules. The set that is left is minimal, where there was time: each of its members can be dropped for
a plan to be possible.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator
from itertools import chain, islice
from typing import Literal

import msgspec
from msgspec.structs import replace
from ortools.sat.python import cp_model

from benchmate.clock import steady_s
from benchmate.planner.collapse import collapse
from benchmate.planner.greedy import first
from benchmate.planner.model import build
from benchmate.planner.problem import (
    DUST_FREE,
    HANDS,
    SHOP,
    Activity,
    Lag,
    PlannerProblem,
    day_of,
    finishes,
)
from benchmate.planner.wire import Candidate

RuleKind = Literal["job", "due", "pin", "delivery", "waits", "clocks", "count", "hours"]
SOLVE_S, TRY_S = 5.0, 1.0
"""How long one question may take, and one of very many."""
MOST_FREEING = 4
NO_TIME = "There was no time to find out why."
NOT_LEAST = "There was no time to find out what it hangs on."


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
    """The problem with these rules and their jobs alone; due dates are kept to the minute."""
    kept = set(rules)

    def has(kind: RuleKind, name: str) -> bool:
        return Rule(kind, name) in kept

    due = {d.job: d.by for d in problem.dues if has("due", d.job)}

    def activity(a: Activity) -> Activity:
        pinned = a.latest is not None and has("pin", a.key)
        latest = [due[a.job] - a.minutes] if a.job in due else []
        latest += [a.latest] if a.latest is not None and (pinned or not a.job) else []
        return replace(
            a,
            within=tuple(w for w in a.within if has("hours", w.calendar)),
            earliest=a.earliest if pinned or has("delivery", a.key) else 0,
            latest=min(latest, default=None),
        )

    places = [i for i, a in enumerate(problem.activities) if not a.job or has("job", a.job)]
    home = {i: n for n, i in enumerate(places)}
    lags = (_kept_lag(problem, x, kept) for x in problem.lags if {x.first, x.then} <= home.keys())
    holdings = (h for h in problem.holdings if has("count", h.count))
    return replace(
        problem,
        sessions={c: spans for c, spans in problem.sessions.items() if has("hours", c)},
        activities=tuple(activity(problem.activities[i]) for i in places),
        lags=tuple(replace(x, first=home[x.first], then=home[x.then]) for x in lags if x),
        holdings=tuple(
            replace(h, first=home[h.first], last=home[h.last])
            for h in holdings
            if {h.first, h.last} <= home.keys()
        ),
        dues=(),
    )


def _kept_lag(problem: PlannerProblem, lag: Lag, kept: set[Rule]) -> Lag | None:
    first, then = problem.activities[lag.first], problem.activities[lag.then]
    job = then.job or first.job
    if lag.least < 0 or (not then.job and lag.missed):
        return lag if Rule("clocks", job) in kept else None
    if Rule("waits", job) in kept:
        return lag
    return replace(lag, least=min(lag.least, first.minutes))


def can_be(problem: PlannerProblem, seconds: float = SOLVE_S) -> bool | None:
    """Whether any plan keeps all the rules; None where the time was too short to tell."""
    if seconds <= 0:
        return None
    simple = first(collapse(problem), passes=3)
    if simple is not None and not simple.missed:
        return True
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(build(problem, cuts=True).model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return True
    return False if status == cp_model.INFEASIBLE else None


Rules = tuple[Rule, ...]


def why(problem: PlannerProblem, seconds: float = SOLVE_S) -> tuple[Rules, str]:
    """A minimal set of rules that can't all be kept, or none where they can; and what is to be said
    where the time was too short."""
    until, unknown = steady_s() + seconds, 0

    def collide(rules: Iterable[Rule]) -> bool:
        nonlocal unknown
        possible = can_be(only(problem, rules), min(TRY_S, until - steady_s()))
        unknown += possible is None
        return possible is False

    rules = rules_of(problem)
    wanting = {a.job for a in problem.activities if a.job and a.latest is not None}
    wanting |= {d.job for d in problem.dues}
    alone = ([r for r in rules if job_of(r) in ("", job)] for job in sorted(wanting))
    wanted = [r for r in rules if job_of(r) in ("", *wanting)]
    tight = next((some for some in (*alone, wanted, rules) if collide(some)), None)
    if tight is None:
        return (), NO_TIME if unknown else ""
    unknown = 0
    jobs = {job: [r for r in tight if job_of(r) == job] for job in map(job_of, tight) if job}
    general = [r for r in tight if not job_of(r)]
    groups = list(jobs.values())
    if len(groups) > 1:
        groups = _fewest(groups, lambda some: collide(chain(general, *some)))
    singles = [[rule] for rule in chain(general, *groups)]
    fewest = _fewest(singles, lambda some: collide(chain(*some)))
    return tuple(chain(*fewest)), NOT_LEAST if unknown else ""


def job_of(rule: Rule) -> str:
    """The job that a rule is about; empty where it is the shop's."""
    return "" if rule.kind in ("count", "hours") else rule.name.partition("/")[0]


def _fewest(
    groups: list[list[Rule]], collide: Callable[[list[list[Rule]]], bool]
) -> list[list[Rule]]:
    """Groups of which none can go, dropped by halves."""
    size = max(1, len(groups) // 2)
    while size:
        at = 0
        while at < len(groups):
            fewer = [*groups[:at], *groups[at + size :]]
            if collide(fewer):
                groups = fewer
            else:
                at += size
        size //= 2
    return groups


def freeing(
    problem: PlannerProblem, rules: Rules, candidates: Iterable[Candidate], seconds: float = SOLVE_S
) -> Iterator[Candidate]:
    """What frees it, the least of each kind, each tried by solving. Candidates for one due date or
    count come the least first."""
    until, many = steady_s() + seconds, 0

    def frees(candidate: Candidate) -> bool:
        eased = freed(problem, candidate)
        left = min(TRY_S, until - steady_s())
        return bool(can_be(only(eased, rules_of(eased)), left))

    for rule in rules:
        tried = [c for c in candidates if c.rule == (rule.kind, rule.name)]
        if rule.kind in ("due", "count") and tried:  # more of it frees what less of it does
            least = bisect_left(tried[:-1], True, key=frees) if frees(tried[-1]) else len(tried)
            found = tried[least : least + 1]
        else:
            found = list(islice(filter(frees, tried), 1))
        if found and many < MOST_FREEING:
            many += 1
            yield found[0]


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


def least_lateness(problem: PlannerProblem, seconds: float = SOLVE_S) -> dict[str, int]:
    """By how many days each due job has to be later where no single thing frees it."""
    rules = [r for r in rules_of(problem) if r.kind != "due"]
    eased = collapse(replace(only(problem, rules), dues=problem.dues))
    simple = first(eased)
    if simple is None:
        return {}
    ends = finishes(eased, simple.starts)
    days = {d.job: day_of(eased, ends[d.job]) for d in eased.dues}
    built = build(eased)
    for start, value in zip(built.starts, simple.starts, strict=True):
        built.model.add_hint(start, value)
    built.model.minimize(sum(built.late))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = seconds
    if solver.solve(built.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        days = {job: solver.value(built.days[job]) for job in days}
    late = {d.job: days[d.job] - day_of(eased, d.by) for d in eased.dues}
    return {job: n for job, n in late.items() if n > 0}
