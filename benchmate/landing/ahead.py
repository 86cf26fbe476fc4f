"""The stages still to come as sums of what is known and of scatter yet to fall."""

import math
from dataclasses import replace

from benchmate.landing.course import CourseChange, LayerCourse, Linear, Stage
from benchmate.landing.follow import KnownWeight
from benchmate.landing.pour import (
    FILL,
    LINE,
    MASS,
    NEW_LINE,
    RESIN,
    SCATTER,
    SHOT,
    VOID,
    Amounts,
    amounts,
    to_the_line,
)


def terms(known: KnownWeight) -> list[tuple[int, Linear]]:
    """What each stage still to come will add, with its place in the course."""
    return [(place, _term(known, place, stage)) for place, stage in known.ahead]


def room(known: KnownWeight, place: int, tapped: float) -> Linear:
    """The most shot that will go into a layer still to come, lying denser by `tapped`."""
    key = (place, tapped)
    if key not in known.sums:
        layer = _layer(known, place)
        known.sums[key] = _shot_alone(known, place, layer, to_the_line(layer, tapped))
    return known.sums[key]


def shot_asked_for(known: KnownWeight, place: int) -> Linear:
    """The shot weighed out for a layer still to come."""
    layer = _layer(known, place)
    return _shot_alone(known, place, layer, amounts(layer))


def mean(known: KnownWeight, term: Linear) -> float:
    """The expected value of a sum."""
    return known.gauss.expect(term.known) + term.constant


def covariance(known: KnownWeight, one: Linear, other: Linear) -> float:
    """How two sums vary together; with itself, a sum's variance."""
    crossed = known.gauss.against(other.known)
    carried = sum(weight * crossed[place] for place, weight in one.known.items())
    return carried + sum(weight * other.fresh.get(key, 0.0) for key, weight in one.fresh.items())


def lands_per_g(known: KnownWeight, layer: LayerCourse) -> float:
    """What one more gram of shot adds to a layer: it drives out resin of its own volume."""
    resin = known.gauss.mean[RESIN] if in_hand(known, layer) else 0.0
    return 1.0 - (1.0 + resin) * layer.fill.resin_g_cm3 / layer.fill.shot_g_cm3


def in_hand(known: KnownWeight, layer: LayerCourse) -> bool:
    """Whether a layer belongs to the void whose records have taught something."""
    return known.fill is not None and known.fill.name == layer.fill.name


def total(sums: list[Linear]) -> Linear:
    """Several sums as one."""
    constant, known, fresh = 0.0, dict[int, float](), dict[str, float]()
    for each in sums:
        constant += each.constant
        for place, weight in each.known.items():
            known[place] = known.get(place, 0.0) + weight
        for key, weight in each.fresh.items():
            fresh[key] = fresh.get(key, 0.0) + weight
    return Linear(constant, known, fresh)


def drift(known: KnownWeight) -> list[tuple[str, Linear]]:
    """What may still move without anyone working on it: moisture, and what all weighings share."""
    course = known.course
    wood_g = course.blank.g if course.wood_g is None else course.wood_g
    found = []
    if not course.finished:
        shop = wood_g * course.moisture_u_pct / 100.0
        own = wood_g * course.moisture_own_u_pct / 100.0
        moisture = {"moisture": shop, f"{course.key}/moisture": own}
        found.append(("moisture", Linear(0.0, {}, moisture)))
    found.append(("scale", Linear(0.0, {}, {f"scale {course.scale}": course.scale_u_g})))
    return [(name, term) for name, term in found if any(term.fresh.values())]


def _term(known: KnownWeight, place: int, stage: Stage) -> Linear:
    if place not in known.sums:
        known.sums[place] = (
            _change(known, place, stage)
            if isinstance(stage, CourseChange)
            else _linear(known, place, stage, amounts(stage))
        )
    return known.sums[place]


def _layer(known: KnownWeight, place: int) -> LayerCourse:
    layer = known.course.stages[place]
    if not isinstance(layer, LayerCourse):
        raise ValueError(f"{layer.name} isn't a layer; no shot goes into it.")
    return layer


def _shot_alone(known: KnownWeight, place: int, layer: LayerCourse, poured: Amounts) -> Linear:
    return _linear(known, place, layer, replace(poured, resin_g=0.0, resin={}))


def _change(known: KnownWeight, place: int, change: CourseChange) -> Linear:
    key = f"shared {change.shared}" if change.shared else f"{known.course.key}/{place}"
    return Linear(change.adds_g, {}, {key: change.u_g} if change.u_g else {})


def _linear(known: KnownWeight, place: int, layer: LayerCourse, poured: Amounts) -> Linear:
    piece, below, mine = known.course.key, known.under[place], in_hand(known, layer)
    carried: dict[int, float] = {}
    fresh: dict[str, float] = {}
    for quantity, weight in poured.gain.items():
        if quantity == NEW_LINE:
            fresh[f"{piece}/line {place}"] = weight * math.sqrt(poured.line_variance)
        elif quantity == SCATTER:
            fresh[f"{piece}/scatter {place}"] = weight * math.sqrt(poured.scatter_variance)
        elif quantity == LINE and (below is None or below[0]):
            if below is not None:
                fresh[below[0]] = weight * below[1]
        elif mine or (quantity == SHOT and _same_shot(known, layer)):
            carried[quantity] = weight
        else:
            key, u = _unknown(layer, piece, quantity)
            fresh[key] = weight * u
    return Linear(poured.gain_g, carried, fresh)


def _same_shot(known: KnownWeight, layer: LayerCourse) -> bool:
    return known.fill is not None and known.fill.shot == layer.fill.shot


def _unknown(layer: LayerCourse, piece: str, quantity: int) -> tuple[str, float]:
    """Key and standard uncertainty of a quantity of a void that isn't begun."""
    fill, packing = layer.fill, layer.fill.packing
    if quantity == SHOT:
        return f"shot {fill.shot}", packing.shot_u
    u = {FILL: packing.fill_u, VOID: fill.void_u, RESIN: fill.resin_u}[quantity]
    return f"{piece}/{fill.name}/{quantity}", u


STANDING = Linear(0.0, {MASS: 1.0}, {})
"""The piece as it stands now."""
