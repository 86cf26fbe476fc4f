"""What each weighing says of the plan, with what the scale knew when it was recorded."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from benchmate.job.courses import Scales, scale_of
from benchmate.job.events import VerdictRules
from benchmate.job.plan import Plan
from benchmate.job.state import JobState, Weighing
from benchmate.landing.likely import Thresholds, judge, remedies_for, tolerance_seen_by
from benchmate.landing.verdict import Judgement, simple_verdict
from benchmate.reckon.student import coverage_factor

ASSUMED_DIVISION_G = 1.0
"""A kitchen scale's division, where the maker's scale isn't described."""
Rules = VerdictRules | None


def thresholds(rules: Rules) -> Thresholds:
    """From which probabilities on a verdict is given."""
    if rules is None:
        return Thresholds()
    return Thresholds(rules.inside_p, rules.outside_p, rules.near_fraction)


def judge_weighing(
    job: JobState, weighing: Weighing, rules: Rules = None, scales: Scales | None = None
) -> Judgement | None:
    """A weighing's verdict; None where the plan says no weight or no tolerance.

    Where the scale can never see the tolerance, it is judged against the smallest one that it
    can: that was said once, and "can't tell" all day helps nobody.
    """
    step = job.steps.get(weighing.address)
    point = step.weigh if step else None
    if point is None or point.plan_g is None or point.tolerance_g is None:
        return None
    division = weighing.division_g or ASSUMED_DIVISION_G
    rule = thresholds(rules)
    if weighing.u_g is None:
        return simple_verdict(
            weighing.net_g, point.plan_g, point.tolerance_g, division, rule.near_fraction
        )
    dof = math.inf if weighing.dof is None else weighing.dof
    tolerance = judged_against(point.tolerance_g, weighing.u_g, dof, division, rule)
    described = (scales or {}).get(weighing.scale)
    remedies = remedies_for(scale_of(described, division))
    found = judge(weighing.net_g, weighing.u_g, point.plan_g, tolerance, dof, rule, remedies)
    # Said to the scale's division: more digits than it shows are no news to who reads it.
    return replace(found, step_g=max(found.step_g, division))


def judged_against(
    tolerance_g: float, u_g: float, dof: float, division_g: float, rule: Thresholds
) -> float:
    """The plan's tolerance, or the smallest that a scale of that doubt can see well."""
    smallest = coverage_factor(rule.inside, dof) * u_g
    if tolerance_g >= smallest:
        return tolerance_g
    return math.ceil(2.0 * smallest / division_g - 1e-9) * division_g


def blind_spots(
    plan: Plan, scales: Scales, division_g: float = ASSUMED_DIVISION_G, rules: Rules = None
) -> Iterable[str]:
    """At a job's start: the tolerances in its plan that no scale in the shop can ever see."""
    finest = min(
        (scale_of(s, None) for s in scales.values()),
        key=lambda s: s.division_g,
        default=scale_of(None, division_g),
    )
    tolerances = sorted(
        {s.weigh.tolerance_g for s in plan.steps if s.weigh and s.weigh.tolerance_g is not None}
    )
    for tolerance in tolerances[:1]:
        sight = tolerance_seen_by(finest, tolerance, thresholds=thresholds(rules))
        if not sight.seen:
            yield sight.sentence
