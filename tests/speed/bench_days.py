"""The day sheet: first plan, and how far from the bound each aim is after 5, 10 and 30 seconds.

Jobs are shipped procedures, varied (see tests/planning_help.py): evenings and weekends, six clamps,
all on one Friday. The planner runs in its own process, as at the bench; the machine's load is in
the figures. A bare import of the solver in a fresh interpreter is timed in the same run.
"""

from __future__ import annotations

import subprocess
import sys
from time import perf_counter

from benchmate.bench.planning.asking import Asking
from benchmate.planner.problem import PlannerAim
from benchmate.planner.wire import Request, Told
from tests.planning_help import planned, some_jobs
from tests.speed.harness import Measure

MARKS_S = (5, 10, 30)
CASES = ((3, 1), (5, 1), (10, 1), (10, 2))
FIRST_TARGET_S = 1.0


def measure() -> list[Measure]:
    """First plans, and gaps at the marks."""
    bare = _bare_s()
    return [m for many, seed in CASES for m in _case(many, seed, bare)]


def _bare_s() -> float:
    start = perf_counter()
    code = "import ortools.sat.python.cp_model"
    subprocess.run([sys.executable, "-c", code], check=True)
    return perf_counter() - start


def _case(many: int, seed: int, bare: float) -> list[Measure]:
    problem = planned(some_jobs(many, seed))
    steps = len(problem.activities) - 1
    start = perf_counter()
    asking = Asking(Request(kind="plan", problem=problem, seconds=float(MARKS_S[-1])))
    told: list[tuple[float, Told]] = []
    while not asking.is_over:
        now = [a for a in asking.take(0.1) if isinstance(a, Told) and a.steps]
        told += [(perf_counter() - start, a) for a in now]
    name = f"{many} jobs of seed {seed}, {steps} steps"
    first = Measure(
        what=f"{name}: first plan",
        value=round(told[0][0], 2),
        unit="s",
        against=f"importing the solver alone takes {bare:.2f} s",
        target=FIRST_TARGET_S,
        ok=told[0][0] <= FIRST_TARGET_S,
    )
    return [first, *(m for mark in MARKS_S for m in _at(name, mark, told))]


def _at(name: str, mark: int, told: list[tuple[float, Told]]) -> list[Measure]:
    """Every aim that isn't zero, at one mark: its value, its bound, its gap."""
    best = [a for at, a in told if at <= mark][-1:]
    return [
        Measure(
            what=f"{name}: {aim.name} after {mark} s",
            value=aim.value,
            unit="",
            against=_bound(aim),
            ratio=None,
        )
        for answer in best
        for aim in answer.aims
        if aim.value or aim.name in ("spoiled", "late days")
    ]


def _bound(aim: PlannerAim) -> str:
    if aim.is_proven:
        return "proven"
    if aim.bound is None:
        return "no bound yet"
    return f"bound {aim.bound}, gap {(aim.value - aim.bound) / aim.value:.0%}"
