"""The aims in turn, each frozen at what was reached: better plans as they are found."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil
from threading import Lock, Thread

from msgspec.structs import replace
from ortools.sat.python import cp_model

from benchmate.clock import steady_s
from benchmate.planner.energy import fewest_visits, work_min
from benchmate.planner.greedy import missed_of
from benchmate.planner.measuring import (
    OTHER_VISIT,
    SLIPPED_DAY,
    SURE,
    Old,
    aim_values,
    old_days,
    visit_of,
)
from benchmate.planner.model import Built, Expression, build
from benchmate.planner.problem import AimName, PlannerPlan, PlannerProblem, day_of
from benchmate.planner.repair import Repairs

Values = dict[AimName, int]
Told = Callable[[PlannerPlan, Values], None]
"""Told of each better plan, and of the bounds known so far."""
WORKERS = 2
PORTFOLIO_FROM = 50
"""Up to so many activities one model is quickest; beyond, one thread repairs and one proves."""
SLACK_DAYS = 14
_SHARES: dict[AimName, float] = {
    "spoiled": 0.2,
    "extra work": 0.15,
    "late days": 0.3,
    "changes": 0.5,
    "finish days": 0.8,
    "visits": 0.6,
}
"""How much of the time that is left an aim may take; the last one takes it all."""
PROVES = 0.3
"""How much of an aim's time the prover has; then it repairs too."""


class Improver:
    """One problem's plan on its way through the aims. `seconds` is for all of them; `effort`, in
    the solver's own time that no machine's load bends, for each solve."""

    def __init__(
        self,
        problem: PlannerProblem,
        plan: PlannerPlan | None,
        seconds: float,
        told: Told,
        *,
        old: Old | None = None,
        seed: int = 1,
        effort: float = 0.0,
    ) -> None:
        self.problem, self.plan, self.told = problem, plan, told
        self.old = old or {}
        self.seed, self.effort = seed, effort
        self.until = steady_s() + seconds
        self.bounds: Values = {}
        self.reached: Values = {}
        self._lock = Lock()
        self._may_miss = False
        self._names: list[AimName] = ["spoiled"]
        """The aims up to the one that is worked on: in these no plan gets worse."""
        self.impossible = False
        """Proven: no plan keeps all the rules within the horizon."""

    def run(self) -> PlannerPlan | None:
        """All aims; the best plan, or None where there is none (then it is impossible within the
        horizon, or the time was too short).

        Where there is an old plan, as much of it as can be is kept before anything is bettered.
        """
        self._may_miss = not self._is_unspoiled()
        names: list[AimName] = ["spoiled", "extra work"] if self._may_miss else []
        names += ["late days", "changes"] if self.old else ["late days"]
        names += ["finish days"]
        if self.problem.sessions:
            names += ["visits", "idle"]
            self.bounds |= {"visits": fewest_visits(self.problem), "idle": work_min(self.problem)}
        for n, name in enumerate(names, start=1):
            if not self.impossible:
                self._names = names[:n]
                self._aim(name, 1.0 if n == len(names) else _SHARES[name])
        return self.plan

    def _is_unspoiled(self) -> bool:
        """Whether no window needs to be missed: then all are hard, which is far quicker."""
        if any(lag.missed for lag in self.problem.lags) and (self.plan is None or self.plan.missed):
            until = self._until(_SHARES["spoiled"])
            status = self._solve(build(self.problem), "spoiled", until)
            if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                return False
        self.bounds["spoiled"] = self.bounds["extra work"] = 0
        return True

    def _built(self, name: AimName, *, cuts: bool = False) -> Built:
        """A model towards one aim, all that were reached before frozen."""
        built = build(
            self.problem, may_miss=self._may_miss, visits=name in ("visits", "idle"), cuts=cuts
        )
        for reached, value in self.reached.items():
            built.model.add(self._sum(built, reached) <= value)
        goal = self._sum(built, name)
        if not isinstance(goal, int):
            built.model.minimize(goal)
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
            case "changes":
                return self._changes(built)
            case "finish days":
                return sum(built.days.values())
            case "visits":
                return sum(built.used)
            case "idle":
                return sum(built.idle)

    def _changes(self, built: Built) -> Expression:
        """Steps that don't stand where they stood, those in another visit more than others; and
        days by which jobs are done later than was said."""
        model, weighed = built.model, list[Expression]()
        for i, (start, steps) in self.old.items():
            changed, away = (model.new_bool_var(f"{x}{i}") for x in ("moved", "away"))
            model.add(built.starts[i] == start).only_enforce_if(~changed)
            opens, closes = visit_of(self.problem, start)
            model.add(built.starts[i] >= opens).only_enforce_if(~away)
            model.add(built.starts[i] <= closes).only_enforce_if(~away)
            weighed += [steps * changed, steps * (OTHER_VISIT - 1) * away]
        for job, day in old_days(self.problem, self.old).items():
            slip = model.new_int_var(0, day_of(self.problem, self.problem.horizon), job)
            model.add(slip >= built.days[job] - day)
            weighed.append(SLIPPED_DAY * slip)
        return sum(weighed)

    # One aim ----------------------------------------------------------------------------------

    def _aim(self, name: AimName, share: float) -> None:
        if self.plan is None or not self._is_best(name):
            built = self._built(name)
            if not built.model.has_objective():  # no due, no window that may be missed
                self.bounds[name] = 0
                return
            is_large = len(self.problem.activities) > PORTFOLIO_FROM
            if is_large and self.plan is not None:
                status = self._side_by_side(built, name, self._until(share))
            else:
                status = self._solve(built, name, self._until(share))
            self.impossible |= status == cp_model.INFEASIBLE
        if not self.impossible and self.plan is not None:
            self.reached[name] = self._value(name)

    def _until(self, share: float) -> float:
        return steady_s() + (self.until - steady_s()) * share

    def _value(self, name: AimName) -> int:
        assert self.plan is not None
        return aim_values(self.problem, self.plan, self.old)[name]

    def _is_best(self, name: AimName) -> bool:
        """Whether the plan is known to be as good in this as any."""
        best = self.bounds.get(name, 0 if name in SURE else None)
        return best is not None and self._value(name) <= best

    def _side_by_side(self, built: Built, name: AimName, until: float) -> int:
        """One thread repairs while the other proves for a while; whoever is done ends both."""

        def left_s() -> float:
            return 0.0 if self._is_best(name) else until - steady_s()

        repairs = [Repairs(self.problem, built, self.seed + n) for n in range(2)]
        thread = Thread(target=repairs[0].run, args=(self._starts, left_s, self.take), daemon=True)
        thread.start()
        proves = steady_s() + (until - steady_s()) * PROVES
        proving = self._built(name, cuts=True)
        status = self._solve(proving, name, proves, workers=1, search="objective_lb_search")
        if self.effort or status in (cp_model.OPTIMAL, cp_model.INFEASIBLE):
            repairs[0].stop()
        else:
            repairs[1].run(self._starts, left_s, self.take)
        thread.join()
        return int(cp_model.FEASIBLE) if status == cp_model.UNKNOWN else status

    def _starts(self) -> tuple[int, ...]:
        assert self.plan is not None
        return self.plan.starts

    def _solve(
        self, built: Built, name: AimName, until: float, *, workers: int = WORKERS, search: str = ""
    ) -> int:
        left = until - steady_s()
        if left <= 0:
            return int(cp_model.UNKNOWN)
        self._hint(built)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = workers
        if search:
            solver.parameters.subsolvers.append(search)
        solver.parameters.random_seed = self.seed
        solver.parameters.max_time_in_seconds = left
        if self.effort:
            solver.parameters.max_deterministic_time = self.effort
        if built.model.has_objective():
            solver.best_bound_callback = lambda bound: self._bound(solver, name, bound)
        status = solver.solve(built.model, _Taken(self, built))
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
        if self._is_best(name):
            solver.stop_search()

    def _hint(self, built: Built) -> None:
        if self.plan is None:
            return
        for start, value in zip(built.starts, self.plan.starts, strict=True):
            built.model.add_hint(start, value)
        missed = set(self.plan.missed)
        for place, literal in built.missed.items():
            built.model.add_hint(literal, int(place in missed))

    def take(self, starts: tuple[int, ...]) -> None:
        """A plan was found: keep it where it is no worse, and tell of it."""
        plan = PlannerPlan(starts=starts, missed=missed_of(self.problem, starts), how="solver")
        with self._lock:
            new, old = self._order(plan), self._order(self.plan)
            if old is None or (new is not None and new <= old):
                self.plan = plan
                if new != old:
                    self.told(plan, dict(self.bounds))

    def _order(self, plan: PlannerPlan | None) -> tuple[int, ...] | None:
        """What makes a plan worse, earlier aims first."""
        if plan is None:
            return None
        values = aim_values(self.problem, plan, self.old)
        return tuple(values[name] for name in self._names)


class _Taken(cp_model.CpSolverSolutionCallback):
    """Hands every plan that the solver finds on at once."""

    def __init__(self, improver: Improver, built: Built) -> None:
        super().__init__()
        self._improver, self._built = improver, built

    def on_solution_callback(self) -> None:
        """The solver's word: a better plan."""
        self._improver.take(tuple(self.value(s) for s in self._built.starts))


def nearer(problem: PlannerProblem, plan: PlannerPlan | None) -> PlannerProblem:
    """The problem with a horizon that leaves two weeks after the plan, where that is nearer."""
    if plan is None:
        return problem
    ends = (s + a.minutes for s, a in zip(plan.starts, problem.activities, strict=True))
    return replace(problem, horizon=min(problem.horizon, max(ends) + SLACK_DAYS * problem.day_min))
