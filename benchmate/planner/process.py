"""The planner's own process: a request on standard input, answers on standard output, line by line.

Whoever asks may end it at any time: each better plan has been told by then.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from importlib.util import find_spec
from typing import TYPE_CHECKING

import msgspec
from msgspec.structs import replace

from benchmate.planner.collapse import collapse
from benchmate.planner.greedy import first
from benchmate.planner.measuring import aims_of
from benchmate.planner.problem import AimName, PlannerPlan, PlannerProblem, step_starts
from benchmate.planner.wire import REQUEST, Answer, Reason, Request, Told

if TYPE_CHECKING:
    from benchmate.planner.improve import Improver

Tell = Callable[[Answer], None]
NICE = 10
"""Keys and reminders go first wherever the processor is short."""
NO_SOLVER = (
    "Planned by simple rules: there may be a better plan. `pip install 'benchmate[planner]'` "
    "brings the planner that looks for it."
)


def main() -> int:
    """Answer the one request that is on standard input."""
    if hasattr(os, "nice"):
        os.nice(NICE)
    request = REQUEST.decode(sys.stdin.buffer.readline())

    def tell(answer: Answer) -> None:
        sys.stdout.buffer.write(msgspec.json.encode(answer) + b"\n")
        sys.stdout.buffer.flush()

    answer(request, tell)
    return 0


def answer(request: Request, tell: Tell, *, solver: bool | None = None) -> None:
    """Tell plans as they get better, or the reason why there is none. `solver`: whether to use it;
    None: where it is installed."""
    has_solver = find_spec("ortools") is not None if solver is None else solver
    if request.kind == "why":
        _explain(request, tell, has_solver=has_solver)
    else:
        _plan(request, tell, has_solver=has_solver)


# Plans ------------------------------------------------------------------------------------------


def _plan(request: Request, tell: Tell, *, has_solver: bool) -> None:
    blocks = collapse(request.problem)
    if not (request.old and has_solver):
        # The first of the simple plans is there long before the best of them.
        quick = first(blocks, request.seed, passes=1)
        if quick is not None:
            tell(told_of(blocks, quick, {}))
    plan = first(blocks, request.seed)
    if not has_solver:
        told = told_of(blocks, plan, {}) if plan is not None else Told()
        tell(replace(told, is_last=True, note=NO_SOLVER))
        return
    improver = _improved(request, blocks, plan, tell)
    if improver.plan is None and improver.impossible:
        # Rigid blocks restrict: before it can't be done, it is proven step by step.
        blocks = request.problem
        improver = _improved(request, blocks, first(blocks, request.seed), tell)
    plan = improver.plan
    told = told_of(blocks, plan, improver.bounds) if plan is not None else Told()
    tell(replace(told, is_last=True, impossible=plan is None and improver.impossible))


def _improved(
    request: Request, blocks: PlannerProblem, plan: PlannerPlan | None, tell: Tell
) -> Improver:
    from benchmate.planner.improve import Improver, nearer

    improver = Improver(
        nearer(blocks, plan),
        plan,
        request.seconds,
        lambda better, bounds: tell(told_of(blocks, better, bounds)),
        old=_old_starts(blocks, request.old),
        seed=request.seed,
        effort=request.effort,
    )
    improver.run()
    return improver


def told_of(problem: PlannerProblem, plan: PlannerPlan, bounds: dict[AimName, int]) -> Told:
    """A plan in words that outlive the blocks: by step."""
    return Told(
        steps=step_starts(problem, plan),
        aims=tuple(aims_of(problem, plan, bounds)),
        missed=tuple(problem.lags[m].name for m in plan.missed),
        how=plan.how,
    )


def _old_starts(problem: PlannerProblem, old: dict[str, int]) -> dict[int, int]:
    """The old starts of the blocks whose steps stand as they stood."""
    starts: dict[int, int] = {}
    for i, activity in enumerate(problem.activities):
        was = {old[p.key] - p.at for p in activity.steps if p.key in old}
        if activity.job and len(was) == 1:
            starts[i] = was.pop()
    return starts


# Reasons ----------------------------------------------------------------------------------------


def _explain(request: Request, tell: Tell, *, has_solver: bool) -> None:
    if not has_solver:
        tell(Reason(note=NO_SOLVER, is_last=True))
        return
    from benchmate.planner.why import can_be, freed, least_lateness, only, rules_of, why

    problem = request.problem
    rules = why(problem, request.seconds)
    if rules is None:
        possible = can_be(only(problem, rules_of(problem)), request.seconds)
        note = "" if possible else "There was no time to find out why."
        tell(Reason(note=note, is_last=True))
        return
    named = tuple((r.kind, r.name) for r in rules)
    tell(Reason(rules=named))
    freeing: set[tuple[str, str]] = set()
    for candidate in request.candidates:
        if candidate.rule not in named or candidate.rule in freeing:
            continue
        eased = freed(problem, candidate)
        if can_be(only(eased, rules_of(eased)), request.seconds):
            freeing.add(candidate.rule)
            tell(Reason(frees=candidate.say))
    later = None if freeing else least_lateness(problem, request.seconds)
    tell(Reason(later_days=later or {}, is_last=True))


if __name__ == "__main__":
    sys.exit(main())
