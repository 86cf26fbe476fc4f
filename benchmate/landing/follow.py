"""What the records of a piece have taught so far: its weight, its packing, its void, its resin."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from benchmate.landing.course import (
    CourseChange,
    FillCourse,
    LayerCourse,
    Linear,
    PieceCourse,
    Stage,
    Weight,
)
from benchmate.landing.gauss import Gauss
from benchmate.landing.pour import (
    FILL,
    LINE,
    MASS,
    NEW_LINE,
    RESIN,
    SHOT,
    VOID,
    Amounts,
    amounts,
    to_the_line,
)

_NOT_ALL_WENT_IN = 3.0
"""A layer of weighed shot that comes out this many standard deviations light was full before all
its shot was in; once in 700 layers it is chance, and does little harm."""


@dataclass(frozen=True, slots=True)
class Passed:
    """A stage behind us: its place, the piece's weight after it as known then, the reading."""

    place: int
    after: Weight
    read: Weight | None


Under = tuple[str, float] | None
"""The line under a layer: key and standard uncertainty in ml of one still to be poured, an empty
key for the last one poured (it is known), None at the bottom of the void."""


@dataclass(slots=True)
class KnownWeight:
    """A course with what its records taught. `fill` is the one being filled, or the first to be.

    `gauss` holds the six quantities carried from stage to stage (places in `pour`).
    """

    course: PieceCourse
    gauss: Gauss
    fill: FillCourse | None
    passed: list[Passed] = field(default_factory=list)
    ahead: list[tuple[int, Stage]] = field(init=False)
    """The stages still to come, with their places."""
    under: dict[int, Under] = field(init=False)
    """For each layer to come, the line under it."""
    sums: dict[object, Linear] = field(init=False)
    """Sums about the stages to come that were worked out before; `ahead` keeps them here."""

    def __post_init__(self) -> None:
        self.ahead = [(i, s) for i, s in enumerate(self.course.stages) if not s.done]
        self.look_ahead()

    def look_ahead(self) -> None:
        """Work out which line lies under each layer to come; again when another void is begun."""
        self.under, self.sums = {}, {}
        fill, line = (self.fill.name if self.fill else ""), ("", 0.0)
        for place, stage in self.ahead:
            if isinstance(stage, LayerCourse):
                self.under[place] = line if stage.fill.name == fill else None
                key = f"{self.course.key}/line {place}"
                fill, line = stage.fill.name, (key, stage.line_u_ml)

    def packing(self) -> Weight | None:
        """The packing of the fill in hand as learned so far (a share, with its u); None without."""
        if self.fill is None:
            return None
        both = {SHOT: 1.0, FILL: 1.0}
        value = self.fill.packing.value + self.gauss.expect(both)
        return Weight(value, math.sqrt(self.gauss.variance(both)))


def follow(course: PieceCourse) -> KnownWeight:
    """Go through a piece's records in order and learn from each."""
    layers = [s for s in course.stages if isinstance(s, LayerCourse)]
    known = KnownWeight(course, Gauss(), layers[0].fill if layers else None)
    known.gauss.add(course.blank.g, course.blank.u_g**2)
    for variance in _before_the_first_layer(known.fill):
        known.gauss.add(0.0, variance)
    for place, stage in enumerate(course.stages):
        if stage.done:
            _learn(known, stage)
            mass = Weight(known.gauss.mean[MASS], math.sqrt(max(0.0, known.gauss.cov[MASS][MASS])))
            known.passed.append(Passed(place, mass, stage.whole))
    known.look_ahead()
    return known


def follow_all(courses: Sequence[PieceCourse]) -> list[KnownWeight]:
    """Follow the pieces of a set; those filled with the same shot teach each other its packing.

    Exact: given the packing of the shot, the pieces have nothing to do with each other, so what
    each has learned of it is pooled by certainty and handed back.
    """
    followed = [follow(course) for course in courses]
    groups: dict[object, list[KnownWeight]] = {}
    for known in followed:
        if known.fill is not None:
            groups.setdefault((known.fill.shot, known.fill.packing), []).append(known)
    for group in groups.values():
        _pool(group)
    return followed


def _pool(group: list[KnownWeight]) -> None:
    prior = group[0].fill.packing.shot_u ** 2 if group[0].fill else 0.0
    if len(group) < 2 or prior <= 0.0:
        return
    certainty, pull = 1.0 / prior, 0.0
    for known in group:
        variance = known.gauss.cov[SHOT][SHOT]
        certainty += 1.0 / variance - 1.0 / prior
        pull += known.gauss.mean[SHOT] / variance
    for known in group:
        known.gauss.reweigh(SHOT, pull / certainty, 1.0 / certainty)


def _before_the_first_layer(fill: FillCourse | None) -> tuple[float, ...]:
    """Variances of what is carried, but for the weight, in the order of their places."""
    if fill is None:
        return (0.0,) * 5
    packing = fill.packing
    return (packing.shot_u**2, packing.fill_u**2, fill.void_u**2, 0.0, fill.resin_u**2)


def _learn(known: KnownWeight, stage: Stage) -> None:
    if isinstance(stage, CourseChange):
        _change(known.gauss, stage)
    else:
        _turn_to(known, stage.fill)
        _layer(known.gauss, stage)
    if stage.whole is not None:
        known.gauss.observe({MASS: 1.0}, stage.whole.g, stage.whole.u_g**2)


def _change(gauss: Gauss, change: CourseChange) -> None:
    gauss.mean[MASS] += change.adds_g
    gauss.cov[MASS][MASS] += change.u_g**2


def _turn_to(known: KnownWeight, fill: FillCourse) -> None:
    """Begin another void: its fill, volume, line and resin are new; the same shot stays known."""
    old = known.fill
    if old is None or old.name == fill.name:
        return
    shot, *rest = _before_the_first_layer(fill)
    if old.shot != fill.shot:
        known.gauss.renew(SHOT, 0.0, shot)
    for place, variance in zip((FILL, VOID, LINE, RESIN), rest, strict=True):
        known.gauss.renew(place, 0.0, variance)
    known.fill = fill


def _layer(gauss: Gauss, layer: LayerCourse) -> None:
    poured = amounts(layer)
    if layer.by == "weight" and _was_full(gauss, layer, poured):
        poured = _full(layer)
    gauss.add(0.0, poured.line_variance)
    gauss.add(0.0, poured.scatter_variance)
    gain = poured.gain
    for record, weights, planned in (
        (layer.gain, gain, poured.gain_g),
        (layer.shot_in, poured.shot, poured.shot_g),
        (layer.resin_in, poured.resin, poured.resin_g),
    ):
        if record is not None:
            gauss.observe(weights, record.g - planned, record.u_g**2)
    gauss.replace(MASS, {MASS: 1.0, **gain}, poured.gain_g)
    gauss.replace(LINE, {NEW_LINE: 1.0})
    gauss.drop_last(2)


def _was_full(gauss: Gauss, layer: LayerCourse, poured: Amounts) -> bool:
    """Whether a record shows that not all the shot weighed out went in."""
    trial = gauss.copy()
    trial.add(0.0, poured.line_variance)
    trial.add(0.0, poured.scatter_variance)
    for record, weights, planned in (
        (layer.shot_in, poured.shot, poured.shot_g),
        (layer.gain, poured.gain, poured.gain_g),
        (layer.whole, {MASS: 1.0, **poured.gain}, poured.gain_g),
    ):
        if record is not None:
            doubt = math.sqrt(trial.variance(weights) + record.u_g**2)
            short = trial.expect(weights) + planned - record.g
            return short > _NOT_ALL_WENT_IN * doubt
    return False


def _full(layer: LayerCourse) -> Amounts:
    """Shot to the line after all, tapped down by no one knows how much."""
    half = layer.fill.packing.tapped_gain / 2.0
    full = to_the_line(layer, half)
    scatter = full.scatter_variance + half**2 / 3.0
    return Amounts(full.shot_g, full.resin_g, full.shot, full.resin, full.line_variance, scatter)
