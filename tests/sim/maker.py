"""A maker who works a simulated pair, with benchmate's adjustment or without."""

import math
from dataclasses import dataclass, replace
from typing import Literal

from benchmate.landing.adjusting.adjustment import apply
from benchmate.landing.adjusting.matching import Adjustment, NotReachable, adjustment
from benchmate.landing.course import (
    CourseChange,
    FillCourse,
    LayerCourse,
    Packing,
    PieceCourse,
    Weight,
)
from benchmate.landing.will_weigh import WillWeigh, all_will_weigh, difference
from tests.sim import shop

MATCH_G = 5.0
PACKING_U = 0.0105
"""What the packing reckoner says of 2 mm shot in a 30 mm slot."""
COVER_G, SANDED_G, LEATHER_G, WAX_G = 62.0, 6.0, 8.0, 2.0
SHOT_G = shop.LAYER_ML * shop.PLANNED_PACKING * shop.SHOT_G_CM3
"""Of a layer, at the planned packing."""


@dataclass(frozen=True)
class Plan:
    """How the fill is planned.

    `way` "line": shot to each layer's line; "weight": shot weighed out for each layer. `reserve`:
    the share of the shot that is left out of the plan (and so of the target), so that a fill that
    packs looser than thought can still be brought to it; to the line it is left out of the last
    layer, which is then weighed out.
    """

    way: Literal["line", "weight"]
    reserve: float = 0.0

    @property
    def shot_g(self) -> list[float]:
        """Shot of each layer."""
        if self.way == "weight":
            return [SHOT_G * (1.0 - self.reserve)] * shop.LAYERS
        held_back = self.reserve * shop.LAYERS * SHOT_G
        return [SHOT_G] * (shop.LAYERS - 1) + [SHOT_G - held_back]

    def by(self, layer: int) -> Literal["line", "weight"]:
        """How that layer is poured."""
        held_back = self.reserve > 0.0 and layer == shop.LAYERS - 1
        return "weight" if held_back else self.way

    @property
    def resin_g(self) -> float:
        """Of a pair."""
        return 2.0 * sum(_resin_g(shot_g) for shot_g in self.shot_g)

    @property
    def target_g(self) -> float:
        """The finished weight that follows."""
        fill_g = sum(shot_g + _resin_g(shot_g) for shot_g in self.shot_g)
        return round(420.0 + fill_g + COVER_G - SANDED_G + LEATHER_G + WAX_G)

    @property
    def tolerance_g(self) -> float:
        """One per cent."""
        return self.target_g / 100.0


def _resin_g(shot_g: float) -> float:
    return (shop.LAYER_ML - shot_g / shop.SHOT_G_CM3) * shop.RESIN_G_CM3


@dataclass(frozen=True)
class Result:
    """How one piece came out, and what was said of it on the way.

    `headings` are those before each layer is poured, advice taken, and the one after the last.
    `fill_off` is the fill's departure, as a share, from its own target: what this piece's fill had
    to weigh for the weight aimed at when it was last poured (the plan's, or the common one).
    """

    finished_g: float
    fill_off: float
    all_will_weigh: list[WillWeigh]
    changed_layers: int


@dataclass(frozen=True)
class Pair:
    """Both pieces, what was said of their difference after the fill, and whether all was well."""

    pieces: list[Result]
    difference_g: float
    said_difference: Weight
    refused: bool


def work(job: shop.Job, plan: Plan, *, advised: bool) -> Pair:
    """Work a pair through its layers, turn by turn, then let everything later happen."""
    courses = [
        _course(job, piece, name, plan) for piece, name in zip(job.pieces, "AB", strict=True)
    ]
    said: list[list[WillWeigh]] = [[], []]
    changed, refused, aims = [0, 0], False, [plan.target_g] * 2
    for layer in range(shop.LAYERS):
        for i, piece in enumerate(job.pieces):
            if advised:
                courses, taken, aim_g, refused = _advised(courses, job.balance)
                changed = [n + t for n, t in zip(changed, taken, strict=True)]
                aims[i] = aim_g if aim_g is not None else aims[i]
            said[i].append(all_will_weigh(courses)[i])
            courses[i] = _pour(job, piece, courses[i], layer)
    for i, found in enumerate(all_will_weigh(courses)):
        said[i].append(found)
    return _finish(job, aims, said, changed, refused=refused)


def _advised(
    courses: list[PieceCourse], balance: shop.Balance
) -> tuple[list[PieceCourse], list[int], float | None, bool]:
    """Take what is offered; where the aim can't be reached, the best that can be done.

    With the courses come the number of changes in each, the common weight aimed at (None when
    nothing was offered), and whether it was called out of reach.
    """
    offer = adjustment(courses, balance.division_g, MATCH_G)
    if not isinstance(offer, Adjustment | NotReachable):
        return courses, [0, 0], None, False
    taken = [len(p.changes) for p in offer.pieces]
    new = [apply(c, p.changes) for c, p in zip(courses, offer.pieces, strict=True)]
    return new, taken, offer.aim_g, isinstance(offer, NotReachable)


def _pour(job: shop.Job, piece: shop.Piece, course: PieceCourse, layer: int) -> PieceCourse:
    stage = course.stages[layer]
    assert isinstance(stage, LayerCourse)
    if stage.by == "weight":
        job.pour_by_weight(piece, layer, stage.shot_g)
    else:
        job.pour_to_the_line(piece, layer)
    reading = Weight(job.read(piece.mass_g), _reading_u(job.balance))
    return course.with_layers({layer: replace(stage, whole=reading)})


def _course(job: shop.Job, piece: shop.Piece, name: str, plan: Plan) -> PieceCourse:
    u_g = _reading_u(job.balance)
    fill = FillCourse(
        Packing.split(shop.PLANNED_PACKING, PACKING_U), shop.SHOT_G_CM3, shop.RESIN_G_CM3
    )
    layers = [
        LayerCourse(
            f"layer {n + 1}",
            fill,
            shop.LAYER_ML,
            shot_g,
            _resin_g(shot_g),
            by=plan.by(n),
            at_brim=n == shop.LAYERS - 1,
        )
        for n, shot_g in enumerate(plan.shot_g)
    ]
    cover_g = job.read(piece.cover_g)
    later = [
        CourseChange("cover", cover_g, u_g),
        CourseChange("sanding", -SANDED_G, 3.0 / math.sqrt(3.0)),
        CourseChange("leather", LEATHER_G, 0.3),
        CourseChange("wax", WAX_G, 0.5),
    ]
    return PieceCourse(
        piece=name,
        blank=Weight(job.read(piece.blank_g), u_g),
        stages=(*layers, *later),
        target_g=plan.target_g,
        tolerance_g=plan.tolerance_g,
        wood_g=piece.blank_g + cover_g,
        moisture_u_pct=1.0 / math.sqrt(3.0),
        moisture_own_u_pct=0.1,
        scale_u_g=job.balance.linear_bound_g / math.sqrt(3.0),
        scale=job.balance.name,
    )


def _reading_u(balance: shop.Balance) -> float:
    """Two roundings (the load's and the zero's) and the scatter of one reading."""
    return math.hypot(balance.division_g / math.sqrt(6.0), balance.repeat_sd_g)


def _finish(
    job: shop.Job,
    aims: list[float],
    said: list[list[WillWeigh]],
    changed: list[int],
    *,
    refused: bool,
) -> Pair:
    results = []
    for piece, found, count, aim_g in zip(job.pieces, said, changed, aims, strict=True):
        still = LEATHER_G + WAX_G - SANDED_G
        own_target = aim_g - piece.blank_g - piece.cover_g - still
        fill_off = sum(piece.poured_g) / own_target - 1.0
        results.append(Result(job.finished_g(piece), fill_off, found, count))
    one, other = results
    apart = difference(one.all_will_weigh[-1], other.all_will_weigh[-1])
    return Pair(results, one.finished_g - other.finished_g, apart, refused)
