"""The one model: whatever is planned goes through `build`, jobs and published instances alike.

CP-SAT does the searching; this module is loaded in the planner's own process and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ortools.sat.python import cp_model

from benchmate.planner.domains import domain_of
from benchmate.planner.energy import add_cuts, fewest_visits, work_min
from benchmate.planner.measuring import weight_of
from benchmate.planner.problem import HANDS, SHOP, Holding, PlannerProblem, day_of

Expression = Any
"""A variable or a linear sum of some: the library says no more of them."""


@dataclass
class Built:
    """The model of a problem, and what its aims are made of."""

    model: cp_model.CpModel
    starts: list[Expression]
    missed: dict[int, Expression] = field(default_factory=dict)
    """By place in `Problem.lags`: whether a window is missed. Empty where none may be."""
    days: dict[str, Expression] = field(default_factory=dict)
    """Per job: the day on which it is finished."""
    late: list[Expression] = field(default_factory=list)
    used: list[Expression] = field(default_factory=list)
    idle: list[Expression] = field(default_factory=list)


def build(
    problem: PlannerProblem, *, may_miss: bool = False, visits: bool = False, cuts: bool = False
) -> Built:
    """The model. `may_miss`: windows with a consequence may be missed, each with a literal of its
    own. `visits`: sessions begin and end with their first and last work (for the last two aims).
    `cuts`: what follows from the rules and helps to prove, but not to find.
    """
    model = cp_model.CpModel()
    starts = []
    for i, activity in enumerate(problem.activities):
        spans = [list(s) for s in domain_of(problem, activity)]
        if not spans:  # its hours and its pin leave it no start at all
            model.add_bool_or([])
        domain = cp_model.Domain.from_intervals(spans or [[0, problem.horizon]])
        starts.append(model.new_int_var_from_domain(domain, f"s{i}"))
    built = Built(model, starts)
    for place, lag in enumerate(problem.lags):
        kept = model.add(starts[lag.then] >= starts[lag.first] + lag.least)
        if may_miss and lag.missed:
            built.missed[place] = model.new_bool_var(f"m{place}")
            kept.only_enforce_if(~built.missed[place])
    _counts(problem, built, visits=visits)
    _finishes(problem, built)
    if cuts and not may_miss:
        add_cuts(problem, model, built.days)
    return built


# What is taken ----------------------------------------------------------------------------------


def _counts(problem: PlannerProblem, built: Built, *, visits: bool) -> None:
    blockers = _blockers(problem, built) if visits else _closed_hours(problem, built)
    for count, capacity in problem.counts.items():
        taken = [h for h in problem.holdings if h.count == count and h.amount > 0]
        intervals = [_interval(built, h, n) for n, h in enumerate(taken)]
        amounts = [h.amount for h in taken]
        if count == HANDS:
            intervals += blockers
            amounts += [capacity] * len(blockers)
        if capacity == 1 and all(a <= 1 for a in amounts):
            built.model.add_no_overlap(intervals)
        elif intervals:
            built.model.add_cumulative(intervals, amounts, capacity)


def _interval(built: Built, holding: Holding, n: int) -> Expression:
    model, starts = built.model, built.starts
    begin = starts[holding.first] + holding.begins
    if holding.first == holding.last:
        minutes = max(0, holding.ends - holding.begins)
        return model.new_fixed_size_interval_var(begin, minutes, f"{holding.count}{n}")
    end = starts[holding.last] + holding.ends
    size = model.new_int_var(0, 10**7, f"{holding.count}{n}l")
    return model.new_interval_var(begin, size, end, f"{holding.count}{n}")


def _closed_hours(problem: PlannerProblem, built: Built) -> list[Expression]:
    """The shut shop as fixed work for all hands: with domains alone they look free all night."""
    opens = problem.sessions.get(SHOP, ())
    if not opens or any(not _is_in_hours(problem, h) for h in problem.holdings):
        return []
    edges = [0, *(edge for session in opens for edge in session), problem.horizon]
    shut = [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if a < b]
    return [built.model.new_fixed_size_interval_var(a, b - a, f"shut{a}") for a, b in shut]


def _is_in_hours(problem: PlannerProblem, holding: Holding) -> bool:
    within = problem.activities[holding.first].within
    return holding.count != HANDS or any(w.calendar == SHOP for w in within)


def _blockers(problem: PlannerProblem, built: Built) -> list[Expression]:
    """Per session: shut before its first and after its last work, both to be found."""
    model, blockers = built.model, []
    edges = _closed_hours(problem, built)
    for n, (opens, closes) in enumerate(problem.sessions.get(SHOP, ())):
        begin = model.new_int_var(opens, closes, f"b{n}")
        end = model.new_int_var(opens, closes, f"e{n}")
        used = model.new_bool_var(f"u{n}")
        model.add(end >= begin)
        model.add(end == begin).only_enforce_if(~used)
        before, after = (model.new_int_var(0, closes - opens, f"{x}{n}") for x in ("bl", "al"))
        blockers.append(model.new_interval_var(opens, before, begin, f"before{n}"))
        blockers.append(model.new_interval_var(end, after, closes, f"after{n}"))
        built.used.append(used)
        built.idle.append(end - begin)
    if built.used:
        model.add(sum(built.used) >= fewest_visits(problem))
        model.add(sum(built.idle) >= work_min(problem))
    return edges + blockers


# When it is done --------------------------------------------------------------------------------


def _finishes(problem: PlannerProblem, built: Built) -> None:
    model = built.model
    last = day_of(problem, problem.horizon)
    for job in problem.jobs:
        day = model.new_int_var(0, last, f"day {job}")
        built.days[job] = day
        for activity, start in zip(problem.activities, built.starts, strict=True):
            if activity.job == job:
                end = start + activity.minutes
                model.add(problem.day_min * day + problem.day_starts >= end)
    for due in problem.dues:
        if due.job in built.days:
            late = model.new_int_var(0, last, f"late {due.job}")
            model.add(late >= built.days[due.job] - day_of(problem, due.by))
            built.late.append(late * weight_of(due.promised))
