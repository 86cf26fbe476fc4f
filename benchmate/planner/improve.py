"""The aims in turn, each frozen at what was reached: better plans as they are found."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil
from threading import Lock, Thread

from msgspec.structs import replace
from ortools.sat.python import cp_model

from benchmate.clock import steady_s
from benchmate.planner.domains import session_of
from benchmate.planner.greedy import missed_of
from benchmate.planner.measuring import measure, visits
from benchmate.planner.model import Built, Expression, build
from benchmate.planner.problem import SHOP, AimName, Plan, Problem, day_of, finishes
from benchmate.planner.repair import Repairs

Told = Callable[[Plan, dict[AimName, int]], None]
"""Told of each better plan, and of the bounds known so far."""
WORKERS = 2
PORTFOLIO_FROM = 50
"""Up to so many activities one model is quickest; beyond, one thread repairs and one proves."""
SLACK_DAYS = 14
OTHER_VISIT = 3
"""A step that moves to another visit counts as so many that move within theirs."""
_SHARES: dict[AimName, float] = {
    "spoiled": 0.2,
    "extra work": 0.15,
    "late days": 0.3,
    "slip": 0.5,
    "changes": 1.0,
    "finish days": 0.8,
    "visits": 0.6,
    "idle": 1.0,
}
"""How much of the time that is left an aim may take; the rest is for those after it."""
_LONGEST_S: dict[AimName, float] = {"visits": 3.0, "idle": 2.0}
"""Nobody waits longer for a visit less or a shorter evening."""


class Improver:
    """One problem's plan on its way through the aims. `seconds` is for all of them."""

    def __init__(
        self,
        problem: Problem,
        plan: Plan | None,
        seconds: float,
        told: Told,
        *,
        old: dict[int, int] | None = None,
        seed: int = 1,
    ) -> None:
        self.problem, self.plan, self.told = problem, plan, told
        self.old = old or {}
        self.seed = seed
        self.until = steady_s() + seconds
        self.bounds: dict[AimName, int] = {}
        self.reached: list[tuple[AimName, int]] = []
        self._lock = Lock()
        self.impossible = False
        """Proven: no plan keeps all the rules within the horizon."""

    def run(self) -> Plan | None:
        """All aims; the best plan, or None where there is none (then it is impossible within the
        horizon, or the time was too short).

        Where there is an old plan, what was said of it is kept as far as can be: its finish days,
        then its starts.
        """
        may_miss = not self._is_unspoiled()
        built = self._built(may_miss=may_miss)
        names: list[AimName] = ["spoiled", "extra work"] if may_miss else []
        names += ["late days", "slip", "changes"] if self.old else ["late days", "finish days"]
        for name in names:
            self._aim(built, name)
        if self.plan is not None and self.problem.sessions and not self.old:
            with_visits = self._built(may_miss=may_miss, visits=True)
            self._aim(with_visits, "visits")
            self._aim(with_visits, "idle")
        return self.plan

    def _is_unspoiled(self) -> bool:
        """Whether no window needs to be missed: then all are hard, which is far quicker."""
        if not any(lag.missed for lag in self.problem.lags):
            return True
        if self.plan is not None and not self.plan.missed:
            self.bounds["spoiled"] = self.bounds["extra work"] = 0
            return True
        built = build(self.problem)
        status = self._solve(built, "spoiled")
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            self.bounds["spoiled"] = self.bounds["extra work"] = 0
            return True
        return False

    def _built(self, *, may_miss: bool, visits: bool = False, cuts: bool = False) -> Built:
        """A model in which all aims reached so far are frozen."""
        built = build(self.problem, may_miss=may_miss, visits=visits, cuts=cuts)
        for name, value in self.reached:
            built.model.add(self._sum(built, name) <= value)
        return built

    def _sum(self, built: Built, name: AimName) -> Expression:
        lags = self.problem.lags
        match name:
            case "spoiled":
                return sum(m for p, m in built.missed.items() if lags[p].missed == "spoils")
            case "extra work":
                return sum(m for p, m in built.missed.items() if lags[p].missed != "spoils")
            case "late days":
                return sum(built.late)
            case "slip":
                return self._slip(built)
            case "changes":
                return self._changes(built)
            case "finish days":
                return sum(built.days.values())
            case "visits":
                return sum(built.used)
            case "idle":
                return sum(built.idle)

    def _changes(self, built: Built) -> Expression:
        """How many starts are not what they were, those in another visit more than others."""
        moved = []
        for i, start in self.old.items():
            changed, away = (built.model.new_bool_var(f"{x}{i}") for x in ("moved", "away"))
            built.model.add(built.starts[i] == start).only_enforce_if(~changed)
            opens, closes = self._visit(start)
            built.model.add(built.starts[i] >= opens).only_enforce_if(~away)
            built.model.add(built.starts[i] <= closes).only_enforce_if(~away)
            moved += [changed, (OTHER_VISIT - 1) * away]
        return sum(moved)

    def _visit(self, start: int) -> tuple[int, int]:
        sessions = self.problem.sessions.get(SHOP, ())
        at = session_of(sessions, start)
        return (start, start) if at is None else sessions[at]

    def _slip(self, built: Built) -> Expression:
        """By how many days jobs are finished later than was said."""
        slips = []
        for job, day in self._old_days().items():
            slip = built.model.new_int_var(0, day_of(self.problem, self.problem.horizon), job)
            built.model.add(slip >= built.days[job] - day)
            slips.append(slip)
        return sum(slips)

    def _old_days(self) -> dict[str, int]:
        days: dict[str, int] = {}
        for i, start in self.old.items():
            activity = self.problem.activities[i]
            day = day_of(self.problem, start + activity.minutes)
            days[activity.job] = max(days.get(activity.job, day), day)
        return days

    def _aim(self, built: Built, name: AimName) -> None:
        goal = self._sum(built, name)
        if isinstance(goal, int):  # nothing to better: no due, no window that may be missed
            self.bounds[name] = goal
            return
        built.model.minimize(goal)
        if name == "finish days" and self.plan and len(self.problem.activities) > PORTFOLIO_FROM:
            status = self._side_by_side(built, name)
        else:
            status = self._solve(built, name)
        self.impossible |= status == cp_model.INFEASIBLE
        if self.impossible or self.plan is None:
            return
        value = self._value(name, goal, built)
        self.reached.append((name, value))
        built.model.clear_objective()  # type: ignore[no-untyped-call]
        built.model.add(goal <= value)

    def _value(self, name: AimName, goal: Expression, built: Built) -> int:
        assert self.plan is not None
        spoiled, extra, late, days = measure(self.problem, self.plan)
        spans = visits(self.problem, self.plan.starts).values()
        match name:
            case "spoiled":
                return spoiled
            case "extra work":
                return extra
            case "late days":
                return late
            case "slip":
                ends = finishes(self.problem, self.plan.starts)
                old = self._old_days()
                return sum(max(0, day_of(self.problem, ends[j]) - d) for j, d in old.items())
            case "changes":
                return self._changed(self.plan.starts)
            case "finish days":
                return days
            case "visits":
                return len(spans)
            case "idle":
                return sum(end - begin for begin, end in spans)

    def _changed(self, starts: tuple[int, ...]) -> int:
        count = 0
        for i, start in self.old.items():
            opens, closes = self._visit(start)
            away = not opens <= starts[i] <= closes
            count += (starts[i] != start) + (OTHER_VISIT - 1) * away
        return count

    def _side_by_side(self, built: Built, name: AimName) -> int:
        """One thread repairs, the other proves; whoever is done ends both."""
        assert self.plan is not None
        repairs = Repairs(self.problem, built, self.seed)
        until = steady_s() + (self.until - steady_s()) * _SHARES[name]
        proving = self._built(may_miss=bool(built.missed), cuts=True)
        proving.model.minimize(self._sum(proving, name))
        args = (self.plan.starts, until, self.take)
        thread = Thread(target=repairs.run, args=args, daemon=True)
        thread.start()
        status = self._solve(proving, name, workers=1, search="objective_lb_search")
        if status == cp_model.OPTIMAL:
            repairs.stop()
        thread.join()
        return int(cp_model.FEASIBLE) if status == cp_model.UNKNOWN else status

    def _solve(
        self, built: Built, name: AimName, *, workers: int = WORKERS, search: str = ""
    ) -> int:
        left = self.until - steady_s()
        if left <= 0:
            return int(cp_model.UNKNOWN)
        self._hint(built)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = workers
        if search:
            solver.parameters.subsolvers.append(search)
        solver.parameters.random_seed = self.seed
        solver.parameters.max_time_in_seconds = min(
            _LONGEST_S.get(name, left), max(0.05, left * _SHARES[name])
        )
        taken = _Taken(self, built)
        if built.model.has_objective():
            solver.best_bound_callback = lambda bound: self._bound(solver, name, bound)
        status = solver.solve(built.model, taken)
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) and built.model.has_objective():
            self._bound(solver, name, solver.best_objective_bound)
        return int(status)

    def _bound(self, solver: cp_model.CpSolver, name: AimName, bound: float) -> None:
        """No plan does better than this: told, and the end of it where the plan is as good."""
        with self._lock:
            self.bounds[name] = max(self.bounds.get(name, 0), ceil(bound - 1e-6), 0)
            if self.plan is None:
                return
            self.told(self.plan, dict(self.bounds))
            is_proven = measure(self.problem, self.plan)[3] <= self.bounds[name]
        if name == "finish days" and is_proven:
            solver.stop_search()

    def _hint(self, built: Built) -> None:
        if self.plan is None:
            return
        built.model.clear_hints()  # type: ignore[no-untyped-call]
        for i, (start, value) in enumerate(zip(built.starts, self.plan.starts, strict=True)):
            is_first = self.old and self.plan.how == "greedy"
            built.model.add_hint(start, self.old.get(i, value) if is_first else value)
        missed = set(self.plan.missed)
        for place, literal in built.missed.items():
            built.model.add_hint(literal, int(place in missed))

    def take(self, starts: tuple[int, ...]) -> None:
        """A plan was found: keep it and tell of it."""
        plan = Plan(starts=starts, missed=missed_of(self.problem, starts), how="solver")
        with self._lock:
            if self.plan is None or self._order(plan) <= self._order(self.plan):
                self.plan = plan
                self.told(plan, dict(self.bounds))

    def _order(self, plan: Plan) -> tuple[int, ...]:
        """What makes a plan worse, earlier aims first. What is kept of an old one only the solver
        counts, and it never lets go of it."""
        return measure(self.problem, plan)[:3] if self.old else measure(self.problem, plan)


class _Taken(cp_model.CpSolverSolutionCallback):
    """Hands every plan that the solver finds on at once."""

    def __init__(self, improver: Improver, built: Built) -> None:
        super().__init__()
        self._improver, self._built = improver, built

    def on_solution_callback(self) -> None:
        """The solver's word: a better plan."""
        self._improver.take(tuple(self.value(s) for s in self._built.starts))


def nearer(problem: Problem, plan: Plan | None) -> Problem:
    """The problem with a horizon that leaves two weeks after the plan, where that is nearer."""
    if plan is None:
        return problem
    ends = (s + a.minutes for s, a in zip(plan.starts, problem.activities, strict=True))
    return replace(problem, horizon=min(problem.horizon, max(ends) + SLACK_DAYS * problem.day_min))
