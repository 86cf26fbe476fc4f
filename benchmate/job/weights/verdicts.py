"""What each weighing says of the plan, with what the scale knew when it was recorded."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from benchmate.job.events.stored import VerdictRules
from benchmate.job.state.state import JobState, Weighing
from benchmate.job.weights.courses import Scales, scale_of
from benchmate.landing.likely import Thresholds, judge, remedies_for, tolerance_seen_by
from benchmate.landing.verdict import Judgement, simple_verdict
from benchmate.landing.words import Say, grams
from benchmate.plan.plan import Plan
from benchmate.reckon.weight.student import coverage_factor
from benchmate.reckon.weight.weighing import Scale

ASSUMED_DIVISION_G = 1.0
"""A kitchen scale's division, where the maker's scale isn't described."""
Rules = VerdictRules | None


def thresholds(rules: Rules) -> Thresholds:
    """From which probabilities on a verdict is given."""
    if rules is None:
        return Thresholds()
    return Thresholds(rules.inside_p, rules.outside_p, rules.near_fraction)


def judge_weighing(
    job: JobState,
    weighing: Weighing,
    rules: Rules = None,
    scales: Scales | None = None,
    say: Say = grams,
) -> Judgement | None:
    """A weighing's verdict; None where the plan says no weight or no tolerance.

    Where the scale can never see the tolerance, it is judged against the smallest one that it
    can: that was said once, and "too close to call" all day helps nobody. `scales` are those in the
    shop: a finer one may be what would settle it.
    """
    step = job.steps.get(weighing.address)
    point = step.weigh if step else None
    if point is None or point.plan_g is None or point.tolerance_g is None:
        return None
    division = weighing.division_g or ASSUMED_DIVISION_G
    rule = thresholds(rules)
    if weighing.u_g is None:
        return simple_verdict(
            weighing.net_g, point.plan_g, point.tolerance_g, division, rule.near_fraction, say
        )
    dof = math.inf if weighing.dof is None else weighing.dof
    tolerance = judged_against(point.tolerance_g, weighing.u_g, dof, division, rule)
    shop = scales or {}
    mine = scale_of(shop.get(weighing.scale), division)
    remedies = remedies_for(mine, _finer(shop, mine))
    found = judge(weighing.net_g, weighing.u_g, point.plan_g, tolerance, dof, rule, remedies, say)
    # Said to the scale's division: digits that it doesn't show are no news to who reads it.
    return replace(found, step_g=max(found.step_g, division))


def _finer(scales: Scales, mine: Scale) -> dict[str, Scale]:
    """The other scales that show smaller steps, the coarsest of them first."""
    found = {name: scale_of(described, None) for name, described in scales.items()}
    finer = {n: s for n, s in found.items() if s.division_g < mine.division_g}
    return dict(sorted(finer.items(), key=lambda item: -item[1].division_g))


def judged_against(
    tolerance_g: float, u_g: float, dof: float, division_g: float, rule: Thresholds
) -> float:
    """The plan's tolerance, or the smallest that a scale of that doubt can see well."""
    smallest = coverage_factor(rule.inside, dof) * u_g
    if tolerance_g >= smallest:
        return tolerance_g
    return math.ceil(2.0 * smallest / division_g - 1e-9) * division_g


@dataclass(frozen=True)
class Unseen:
    """A tolerance of the plan that the scale of a recorded weighing can't see."""

    address: str
    tolerance_g: float
    judged_g: float


def unseen(job: JobState, rules: Rules = None) -> Unseen | None:
    """The first weighing of a job that is judged more widely than planned, told from what was
    recorded with it: a scale described anew later changes nothing of it."""
    rule = thresholds(rules)
    for weighing in job.weighings.values():
        step = job.steps.get(weighing.address)
        tolerance = step.weigh.tolerance_g if step and step.weigh else None
        if tolerance is None or weighing.u_g is None:
            continue
        dof = math.inf if weighing.dof is None else weighing.dof
        division = weighing.division_g or ASSUMED_DIVISION_G
        judged = judged_against(tolerance, weighing.u_g, dof, division, rule)
        if judged > tolerance:
            return Unseen(weighing.address, tolerance, judged)
    return None


def blind_spots(
    plan: Plan,
    scales: Scales,
    division_g: float = ASSUMED_DIVISION_G,
    rules: Rules = None,
    say: Say = grams,
) -> Iterable[str]:
    """At a job's start: the tolerances in its plan that no scale in the shop can ever see.

    One sentence for the smallest of them, and how many weighings that concerns; they will be
    judged against the tolerance it offers.
    """
    found = [scale_of(s, None) for s in scales.values()] or [scale_of(None, division_g)]
    finest = min(found, key=lambda scale: scale.division_g)
    sights = [
        (t, tolerance_seen_by(finest, t, thresholds=thresholds(rules), say=say))
        for t in _tolerances(plan)
    ]
    unseen_g = [t for t, sight in sights if not sight.seen]
    if unseen_g:
        worst = min(sights, key=lambda pair: pair[0])[1]
        are = "is" if len(unseen_g) == 1 else "are"
        yield (
            f"{worst.sentence} {len(unseen_g)} of the {len(sights)} weighings of this job {are} "
            "asked for more narrowly than it sees; they are judged as widely as it can."
        )


def _tolerances(plan: Plan) -> Iterator[float]:
    for step in plan.steps:
        if step.weigh is not None and step.weigh.tolerance_g is not None:
            yield step.weigh.tolerance_g
