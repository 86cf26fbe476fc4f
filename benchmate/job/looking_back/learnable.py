"""Plan values that jobs teach: what a plan works with, and what a job recorded of each. Pure.

Keys are those that a procedure's expansion takes: "packing/PART" (a share), "resin/PART" (% of
what the shot leaves of its void), "loss/MIX STEP" (%), "spread/MATERIAL" (g/m²) and
"hands/STEP" (s).
"""

from __future__ import annotations

from collections.abc import Iterator
from math import exp, log
from statistics import median

from benchmate.job.looking_back.summary import (
    Place,
    hands_seen,
    left_g,
    mixed_g,
    packing_seen,
    step_key,
)
from benchmate.job.state.state import JobState
from benchmate.job.weights.shot_packing import packing_when_full
from benchmate.learning.values import Driven, Measure, Observed, PlanValue
from benchmate.plan.address import parse
from benchmate.plan.plan import Amount, Fill, Layer, Mix, Plan, Step

MM2_PER_M2 = 1e6
RESIN_U_PCT, LOSS_U_PCT, SPREAD_U, HANDS_U, HANDS_SD = 3.0, 3.0, 0.25, 0.4, 0.25
"""How far a procedure's own value may be off before any job has been seen, as standard
uncertainties: points of a percentage, shares of a spread and of a time. Guesses without a
source; a packing brings its own from the reckoner."""
HANDS = "hands"
"""The key of the pace of all hands-on times; each step's own time stands under it."""
FEWEST_ACTS = 3
"""Acts whose time was seen, below which a job says nothing of a pace."""
POSSIBLE_RESIN_PCT = (50.0, 200.0)
"""Outside these a weight was wrong, or the layer wasn't filled to its line."""


def plan_values(plan: Plan) -> list[PlanValue]:
    """What a plan works with and a job could teach, each once, in the plan's order."""
    found: dict[str, PlanValue] = {}
    every = (*_packings(plan), *_resins(plan), *_losses(plan), *_spreads(plan), *_hands(plan))
    for value in every:
        found.setdefault(value.key, value)
    return list(found.values())


def _packings(plan: Plan) -> Iterator[PlanValue]:
    for fill in plan.fills:
        shot = Driven(f"shot for one {fill.where}", sum(la.shot_g for la in fill.layers))
        name = f"packing of {fill.shot} in the {fill.where}"
        yield PlanValue(
            f"packing/{fill.where}",
            name,
            fill.packing,
            fill.packing_u,
            Measure.SHARE,
            shot,
            within_sd=fill.packing_u / 2.0**0.5,
        )


def _resins(plan: Plan) -> Iterator[PlanValue]:
    for fill in plan.fills:
        room_g = sum(_room_g(fill, la, la.shot_g) for la in fill.layers)
        resin_g = sum(la.resin_g for la in fill.layers)
        if room_g > 0.0 and resin_g > 0.0:
            name = f"resin around the shot in the {fill.where}"
            driven = Driven(f"resin for one {fill.where}", resin_g)
            yield PlanValue(
                f"resin/{fill.where}",
                name,
                100.0 * resin_g / room_g,
                RESIN_U_PCT,
                Measure.PERCENT,
                driven,
            )


def _room_g(fill: Fill, layer: Layer, shot_g: float) -> float:
    """Resin that just fills what the shot leaves of a layer."""
    return fill.resin_density_g_cm3 * (layer.void_ml - shot_g / fill.shot_density_g_cm3)


def _losses(plan: Plan) -> Iterator[PlanValue]:
    for mix in plan.mixes:
        served = _served_g(plan, mix)
        if served and mix.total_g:
            key = _key(mix.address)
            percent = 100.0 * (1.0 - served / mix.total_g)
            name = f"what stays in the cup at “{key}”"
            yield PlanValue(f"loss/{key}", name, percent, LOSS_U_PCT, Measure.PERCENT)


def _served_g(plan: Plan, mix: Mix) -> float:
    """What the acts that pour from a cup take from it."""
    materials = _materials(plan, mix)
    steps = (s for s in plan.steps if s.address in mix.serves)
    return sum(a.amount for s in steps for a in s.amounts if a.material in materials)


def _materials(plan: Plan, mix: Mix) -> set[str]:
    return {a.material for s in plan.steps if s.address == mix.address for a in s.amounts}


def _spreads(plan: Plan) -> Iterator[PlanValue]:
    for step, amount in _by_area(plan):
        spread = amount.amount / amount.area_mm2 * MM2_PER_M2
        driven = Driven(f"{amount.what} for “{step_key(step)}”", amount.amount)
        yield PlanValue(
            f"spread/{amount.role}",
            f"spread of {amount.material or amount.role}",
            spread,
            SPREAD_U * spread,
            Measure.SPREAD_RATE,
            driven,
        )


def _by_area(plan: Plan) -> Iterator[tuple[Step, Amount]]:
    for step in plan.steps:
        for amount in step.amounts:
            if amount.role and amount.area_mm2 > 0.0 and amount.amount > 0.0:
                yield step, amount


def _hands(plan: Plan) -> Iterator[PlanValue]:
    yield PlanValue(
        HANDS, "the pace of your hands", 1.0, HANDS_U, Measure.FACTOR, within_sd=HANDS_SD
    )
    for step in plan.steps:
        if step.act != "weighed" and step.hands_s > 0.0:
            key = step_key(step)
            yield PlanValue(
                f"hands/{key}",
                f"hands-on time for “{key}”",
                step.hands_s,
                HANDS_U * step.hands_s,
                Measure.DURATION,
                within_sd=HANDS_SD * step.hands_s,
            )


def _key(address: str) -> str:
    at = parse(address)
    return at.step if at is not None else address


# What a job recorded -------------------------------------------------------------------------


def observed(job: JobState, plan: Plan, place: Place) -> list[Observed]:
    """What a job recorded of the values that `plan` works with.

    Only what was done with the same materials counts: another shot lies otherwise, and another
    glue is spread otherwise.
    """
    if job.plan is None:
        return []
    then = job.plan
    found = [
        *_packed(job, then, plan),
        *_wetted(job, then, plan),
        *_left(job, then, plan),
        *_spread(job, then, plan),
        *_worked(job, then, place),
    ]
    return [Observed(key, job.job, value) for key, value in found]


def _packed(job: JobState, then: Plan, now: Plan) -> Iterator[tuple[str, float]]:
    shots = {f.where: f.shot for f in now.fills}
    for fill in then.fills:
        packing = packing_seen(job, fill, to_the_line=True) or packing_when_full(job, fill)
        if packing is not None and _counts(job, fill) and shots.get(fill.where) == fill.shot:
            yield f"packing/{fill.where}", packing


def _wetted(job: JobState, then: Plan, now: Plan) -> Iterator[tuple[str, float]]:
    """Resin in a fill's layers, where their shot was weighed out or read apart."""
    parts = {f.where for f in now.fills}
    for fill in then.fills:
        resin_g, room_g = 0.0, 0.0
        if packing_when_full(job, fill) is not None:
            continue  # Shot was left over: what is short there is shot, not resin.
        for layer in fill.layers if _counts(job, fill) and fill.where in parts else ():
            record = job.weighing_at(layer.address)
            if record is None or not (layer.by_weight or record.split.get("shot")):
                continue
            shot_g = record.split.get("shot") or layer.shot_g
            resin_g += record.split.get("resin") or record.net_g - shot_g
            room_g += _room_g(fill, layer, shot_g)
        percent = 100.0 * resin_g / room_g if room_g > 0.0 else 0.0
        low, high = POSSIBLE_RESIN_PCT
        if low < percent < high:
            yield f"resin/{fill.where}", percent


def _counts(job: JobState, fill: Fill) -> bool:
    return fill.piece not in job.spoiled


def _left(job: JobState, then: Plan, now: Plan) -> Iterator[tuple[str, float]]:
    materials = {_key(m.address): _materials(now, m) for m in now.mixes}
    for mix in then.mixes:
        left, total, key = left_g(job, mix), mixed_g(job, mix), _key(mix.address)
        if (
            left is not None
            and total
            and 0.0 <= left < total
            and materials.get(key) == _materials(then, mix)
        ):
            yield f"loss/{key}", 100.0 * left / total


def _spread(job: JobState, then: Plan, now: Plan) -> Iterator[tuple[str, float]]:
    materials = {a.role: a.material for _, a in _by_area(now)}
    for step, amount in _by_area(then):
        done = job.done.get(step.address)
        used = done.used.get(amount.what) if done is not None else None
        if used and materials.get(amount.role) == amount.material:
            yield f"spread/{amount.role}", used / amount.area_mm2 * MM2_PER_M2


def _worked(job: JobState, then: Plan, place: Place) -> Iterator[tuple[str, float]]:
    """How fast hands were beside the file's times, over all acts of the job at once; and each act's
    time at that pace, so that only what differs from all the others is learned of it."""
    planned = {s.address: s.hands_s for s in then.steps}
    pace_then = then.hands_pace
    seen = {a: s for a, s in hands_seen(job, place).items() if planned.get(a)}
    ratios = [log(seconds * pace_then / planned[address]) for address, seconds in seen.items()]
    if len(ratios) < FEWEST_ACTS:
        return
    pace = exp(median(ratios))
    yield HANDS, pace
    for address, seconds in seen.items():
        yield f"hands/{_key(address)}", seconds / pace
