"""Better plans by repairing: most of a plan stays, some jobs or some days are planned anew.

Large neighbourhood search (Shaw, 1998) beside the thread that proves. Each repair is a copy of the
whole model with what stays fixed, so that no rule can be broken by it.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from ortools.sat.python import cp_model

from benchmate.planner.model import Built
from benchmate.planner.problem import PlannerProblem

EFFORT = 0.015
"""Deterministic time of one repair."""
LEAST_FREE, FIRST_FREE, MOST_FREE = 15, 30, 90
"""Activities that one repair sets free: more while repairs are solved to the end."""
Starts = tuple[int, ...]


class Repairs:
    """Repairs of one problem's plan towards the objective that its model has."""

    def __init__(self, problem: PlannerProblem, built: Built, seed: int) -> None:
        self._problem, self._built = problem, built
        self._random = Random(seed)
        self._free = FIRST_FREE
        self._solver: cp_model.CpSolver | None = None
        self.is_over = False

    def run(
        self,
        best: Callable[[], Starts],
        left_s: Callable[[], float],
        take: Callable[[Starts], None],
    ) -> None:
        """Repair the best plan that there is while time is left, or until told to stop; each plan
        that is no worse is told."""
        while not self.is_over and (left := left_s()) > 0:
            starts = best()
            solver = self._solver = cp_model.CpSolver()
            solver.parameters.num_workers = 1
            solver.parameters.linearization_level = 0
            solver.parameters.cp_model_presolve = False
            solver.parameters.random_seed = self._random.randrange(10**6)
            solver.parameters.max_deterministic_time = EFFORT
            solver.parameters.max_time_in_seconds = max(0.05, left)
            status = solver.solve(self._repair(starts, self._neighbourhood(starts)))
            more = 2 if status == cp_model.OPTIMAL else -5
            self._free = min(MOST_FREE, max(LEAST_FREE, self._free + more))
            if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                take(tuple(solver.value(s) for s in self._built.starts))

    def stop(self) -> None:
        """The plan is proven: no repair betters it."""
        self.is_over = True
        if self._solver is not None:
            self._solver.stop_search()

    def _neighbourhood(self, starts: Starts) -> set[int]:
        """A few whole jobs, all that happens in some stretch of days, or such a stretch and a whole
        job: that one can end sooner only where others give way on its path."""
        jobs, free = list(self._problem.jobs), set[int]()
        self._random.shuffle(jobs)
        kind = self._random.choice(("jobs", "stretch", "both"))
        most = {"jobs": self._free, "stretch": 0, "both": 1}[kind]
        while jobs and len(free) < most:
            job = jobs.pop()
            free |= {i for i, a in enumerate(self._problem.activities) if a.job == job}
        if kind != "jobs":
            order = sorted(range(len(starts)), key=lambda i: starts[i])
            first = self._random.randrange(max(1, len(order) - self._free // 2))
            free |= set(order[first : first + max(0, self._free - len(free))])
        return free

    def _repair(self, starts: Starts, free: set[int]) -> cp_model.CpModel:
        model = self._built.model.clone()
        model.clear_hints()  # type: ignore[no-untyped-call]
        for i, (variable, start) in enumerate(zip(self._built.starts, starts, strict=True)):
            same = model.get_int_var_from_proto_index(variable.index)
            model.add_hint(same, start)
            if i not in free:
                model.add(same == start)
        return model
