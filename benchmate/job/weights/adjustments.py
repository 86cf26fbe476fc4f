"""Where each piece is heading, and the adjustment that would land it, taken into the plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import msgspec

from benchmate.job.events.stored import AmountChanged
from benchmate.job.state.state import JobState
from benchmate.job.weights.courses import Scales, courses
from benchmate.landing.adjusting.adjustment import LayerChange, PieceChange
from benchmate.landing.adjusting.alternatives import DenserShot
from benchmate.landing.adjusting.matching import (
    Adjustment,
    NotReachable,
    adjustment,
    within_doubt,
)
from benchmate.landing.adjusting.wood import WoodOff, wood_off
from benchmate.landing.course import PieceCourse
from benchmate.landing.outlook import LastChance, last_chance
from benchmate.landing.will_weigh import WillWeigh, all_will_weigh
from benchmate.landing.words import Say, grams
from benchmate.plan.plan import Fill, Layer, Plan, Step

ASSUMED_DIVISION_G = 1.0


def will_weigh_of_job(job: JobState, scales: Scales) -> tuple[WillWeigh, ...]:
    """Every piece's heading; empty where the plan knows no weights."""
    made = courses(job, scales)
    return all_will_weigh(made) if made else ()


def offer(
    job: JobState, scales: Scales, say: Say = grams, denser: Sequence[DenserShot] = ()
) -> Adjustment | NotReachable | None:
    """The adjustment worth offering now; None where there is none, or a blank is unweighed.

    `denser` is what other shot the shelf has, proposed only where nothing else will do.
    """
    made, division, match = _bent(job, scales)
    return adjustment(made, division, match, denser, say=say) if made else None


def no_offer(job: JobState, scales: Scales, say: Say = grams) -> str:
    """Why nothing is offered, where pieces are off by less than their doubt; else empty."""
    made, division, match = _bent(job, scales)
    return within_doubt(made, division, match, say) if made else ""


def _bent(job: JobState, scales: Scales) -> tuple[list[PieceCourse], float, float | None]:
    """The courses that could be bent, none before all blanks are weighed; the scale's division, and
    how closely they must match."""
    made = [c for c in courses(job, scales) if c.target_g is not None]
    division = max((s.division_g for s in scales.values()), default=ASSUMED_DIVISION_G)
    # A finished twin stays in: it sets the weight that the others are to match.
    if not any(c.still_to_pour for c in made) or _blanks_to_weigh(job):
        made = []
    return made, division, job.plan.match_g if job.plan else None


def _blanks_to_weigh(job: JobState) -> bool:
    """Whether a blank or part is still to be weighed: a correction before that would be a guess."""
    return any(
        s.weigh is not None
        and s.act == "weighed"
        and s.weigh.weighed in ("blank", "part")
        and not job.is_settled(s.address)
        for s in job.steps.values()
    )


def last_chances(job: JobState, scales: Scales, say: Say = grams) -> tuple[LastChance, ...]:
    """Per piece, the last step that can still change its weight, where that is the next one.

    Where it takes wood off, it says how much lands the piece, or the set.
    """
    made = courses(job, scales)
    found = [c for c in map(last_chance, made) if c is not None and c.is_next]
    if not any(c.takes_only for c in found):
        return tuple(found)
    said = {off.address: off.sentence for off in _wood(job, made, scales, say)}
    return tuple(
        replace(c, sentence=said[c.address]) if c.takes_only and c.address in said else c
        for c in found
    )


def _wood(
    job: JobState, made: Sequence[PieceCourse], scales: Scales, say: Say
) -> tuple[WoodOff, ...]:
    division = max((s.division_g for s in scales.values()), default=ASSUMED_DIVISION_G)
    return wood_off(made, job.plan.match_g if job.plan else None, division, say)


def take(job: JobState, pieces: Sequence[PieceChange]) -> tuple[Plan, tuple[AmountChanged, ...]]:
    """The plan with the changed layers, and each amount that differs, old and new."""
    plan = job.plan
    if plan is None:
        raise ValueError("A job without a plan has no layers to change.")
    changed = {change.address: change for piece in pieces for change in piece.changes}
    amounts = tuple(
        AmountChanged(address=address, what=what, old=old, new=new)
        for address, c in changed.items()
        for what, old, new in (
            ("shot", c.old_shot_g, c.new_shot_g),
            ("resin", c.old_resin_g, c.new_resin_g),
        )
    )
    fills = tuple(
        msgspec.structs.replace(f, layers=tuple(_layer(la, changed) for la in f.layers))
        for f in plan.fills
    )
    steps = tuple(_step(s, changed, plan.fills) for s in plan.steps)
    return msgspec.structs.replace(plan, fills=fills, steps=steps), amounts


def _layer(layer: Layer, changed: dict[str, LayerChange]) -> Layer:
    change = changed.get(layer.address)
    if change is None:
        return layer
    return msgspec.structs.replace(
        layer, shot_g=change.new_shot_g, resin_g=change.new_resin_g, by_weight=True
    )


def _step(step: Step, changed: dict[str, LayerChange], fills: Sequence[Fill]) -> Step:
    change = changed.get(step.address)
    if change is None:
        return step
    amounts = tuple(
        msgspec.structs.replace(
            a, amount=change.new_shot_g if a.what.startswith("shot") else change.new_resin_g
        )
        if a.what.startswith(("shot", "resin"))
        else a
        for a in step.amounts
    )
    weigh = step.weigh
    if weigh is not None:
        weigh = msgspec.structs.replace(weigh, plan_g=change.new_shot_g + change.new_resin_g)
    return msgspec.structs.replace(step, amounts=amounts, weigh=weigh)


__all__ = ["PieceCourse", "last_chances", "offer", "take", "will_weigh_of_job"]
