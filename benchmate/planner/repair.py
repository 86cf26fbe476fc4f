"""Better plans by repairing: most of a plan stays, some jobs or some days are planned anew.

Large neighbourhood search (Shaw, 1998) with one solver thread, beside the one that proves. Each
repair is a copy of the whole model with what stays fixed, so that no rule can be broken by it.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from ortools.sat.python import cp_model

from benchmate.clock import steady_s
from benchmate.planner.model import Built
from benchmate.planner.problem import Problem

EFFORT, MOST_EFFORT = 0.05, 0.5
"""Deterministic time of one repair; it grows while repairs are solved to the end."""
LEAST_FREE, MOST_FREE = 20, 90
"""Activities that one repair sets free."""

Better = Callable[[tuple[int, ...]], None]


class Repairs:
    """Repairs of one problem's plan towards the objective that its model has."""

    def __init__(self, problem: Problem, built: Built, seed: int) -> None:
        self._problem, self._built = problem, built
        self._random = Random(seed)
        self._free, self._effort = 30, EFFORT
        self._solver: cp_model.CpSolver | None = None
        self.is_over = False

    def run(self, starts: tuple[int, ...], until: float, better: Better) -> None:
        """Repair until then, or until told to stop; each better plan is told."""
        value: float | None = None
        while not self.is_over and steady_s() < until:
            free = self._neighbourhood(starts)
            solver = self._solver = cp_model.CpSolver()
            solver.parameters.num_workers = 1
            solver.parameters.linearization_level = 0
            solver.parameters.cp_model_presolve = False
            solver.parameters.random_seed = self._random.randrange(10**6)
            solver.parameters.max_deterministic_time = self._effort
            solver.parameters.max_time_in_seconds = max(0.05, until - steady_s())
            status = solver.solve(self._repair(starts, free))
            self._learn(status)
            if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                continue
            if value is None or solver.objective_value <= value:
                is_better = value is None or solver.objective_value < value
                value = solver.objective_value
                starts = tuple(solver.value(s) for s in self._built.starts)
                if is_better:
                    better(starts)

    def stop(self) -> None:
        """The plan is proven: no repair betters it."""
        self.is_over = True
        if self._solver is not None:
            self._solver.stop_search()

    def _neighbourhood(self, starts: tuple[int, ...]) -> set[int]:
        """A few whole jobs, or all that happens in some stretch of days."""
        activities = self._problem.activities
        if self._random.random() < 0.6:
            jobs, free = list(self._problem.jobs), set[int]()
            self._random.shuffle(jobs)
            while jobs and len(free) < self._free:
                job = jobs.pop()
                free |= {i for i, a in enumerate(activities) if a.job == job}
            return free
        order = sorted(range(len(starts)), key=lambda i: starts[i])
        first = self._random.randrange(max(1, len(order) - self._free // 2))
        return set(order[first : first + self._free])

    def _repair(self, starts: tuple[int, ...], free: set[int]) -> cp_model.CpModel:
        model = self._built.model.clone()
        model.clear_hints()  # type: ignore[no-untyped-call]
        for i, (variable, start) in enumerate(zip(self._built.starts, starts, strict=True)):
            same = model.get_int_var_from_proto_index(variable.index)
            model.add_hint(same, start)
            if i not in free:
                model.add(same == start)
        return model

    def _learn(self, status: cp_model.CpSolverStatus) -> None:
        """Larger where it was easy, smaller where it wasn't."""
        if status == cp_model.OPTIMAL:
            self._free = min(MOST_FREE, self._free + 2)
            self._effort = min(MOST_EFFORT, self._effort * 1.02)
        else:
            self._free = max(LEAST_FREE, self._free - 6)
