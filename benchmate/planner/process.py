"""The planner's own process: a request on standard input, answers on standard output, line by line.

Whoever asks may end it at any time: each better plan has been told by then.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping
from importlib.util import find_spec

import msgspec
from msgspec.structs import replace

from benchmate.planner.collapse import collapse
from benchmate.planner.greedy import first, kept
from benchmate.planner.measuring import Old, aims_of, old_starts
from benchmate.planner.problem import AimName, PlannerPlan, PlannerProblem, step_starts
from benchmate.planner.wire import REQUEST, Answer, Reason, Request, Told

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
    blocks = collapse(request.problem, request.old)
    old = old_starts(blocks, request.old)
    # The first of the simple plans is there long before the best of them.
    plan = (kept(blocks, old) if old else None) or first(blocks, request.seed, passes=1)
    if plan is not None:
        tell(told_of(blocks, plan, old=old))
    if not old:
        plan = first(blocks, request.seed)
    if not has_solver:
        told = told_of(blocks, plan, old=old) if plan is not None else Told()
        tell(replace(told, is_last=True, note=NO_SOLVER))
        return
    last = _improved(request, blocks, plan, tell)
    if last.impossible:
        # Rigid blocks restrict: before it can't be done, it is proven step by step.
        last = _improved(request, request.problem, first(request.problem, request.seed), tell)
    tell(replace(last, is_last=True))


def _improved(
    request: Request, blocks: PlannerProblem, plan: PlannerPlan | None, tell: Tell
) -> Told:
    """The best plan that there was time for, each better one told on the way."""
    from benchmate.planner.improve import Improver, nearer

    near, old = nearer(blocks, plan), old_starts(blocks, request.old)
    improver = Improver(
        near,
        plan,
        request.seconds,
        lambda better, bounds: tell(told_of(near, better, bounds, old)),
        old=old,
        seed=request.seed,
        effort=request.effort,
    )
    best = improver.run()
    if best is None:
        return Told(impossible=improver.impossible)
    return told_of(near, best, improver.bounds, old)


def told_of(
    problem: PlannerProblem,
    plan: PlannerPlan,
    bounds: Mapping[AimName, int] | None = None,
    old: Old | None = None,
) -> Told:
    """A plan in words that outlive the blocks: by step."""
    return Told(
        steps=step_starts(problem, plan),
        aims=aims_of(problem, plan, bounds or {}, old or {}),
        missed=tuple(problem.lags[m].name for m in plan.missed),
        how=plan.how,
    )


# Reasons ----------------------------------------------------------------------------------------


def _explain(request: Request, tell: Tell, *, has_solver: bool) -> None:
    if not has_solver:
        tell(Reason(note=NO_SOLVER, is_last=True))
        return
    from benchmate.planner.why import freeing, least_lateness, why

    problem, seconds = request.problem, request.seconds
    rules, note = why(problem, seconds)
    if not rules:
        tell(Reason(note=note, is_last=True))
        return
    tell(Reason(rules=tuple((r.kind, r.name) for r in rules), note=note))
    frees = False
    for candidate in freeing(problem, rules, request.candidates, seconds / 2):
        frees = True
        tell(Reason(frees=candidate.say))
    later = {} if frees else least_lateness(problem, seconds / 2)
    tell(Reason(later_days=later, is_last=True))


if __name__ == "__main__":
    sys.exit(main())
