"""A pocket, as the convex pieces that together hollow it out.

Besides the sizes of its shape a pocket may have `end_size_mm` (a slot's or block's length and
width at the bottom, where its sides taper), a `recess` about its mouth (for a cover or felt), and
a `chamfer_mm` at its mouth.
"""

import math
from collections.abc import Iterator

import msgspec

from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.solids import shape_from_json
from benchmate.reckon.solids.body import Piece
from benchmate.reckon.solids.grammar import length_of, numbers_of
from benchmate.reckon.solids.leaves import Prism, Turned
from benchmate.reckon.solids.outlines import Point, RoundedRectangle
from benchmate.reckon.solids.placing import NEAR_MM, Placing, Vec, dot
from benchmate.reckon.solids.profiles import Line, Zone

_EXTRAS = ("end_size_mm", "recess", "chamfer_mm")
_ZONE_STEPS = 48
_FEW_ZONE_STEPS = 20
_STEP = math.radians(3.0)
# Around the circle, not in it: a pocket cut short would make the wall too thick.
_CIRCLE = tuple(
    (math.cos(_STEP * i) / math.cos(_STEP / 2.0), math.sin(_STEP * i) / math.cos(_STEP / 2.0))
    for i in range(120)
)


class Tapered(msgspec.Struct, frozen=True):
    """A rounded rectangle at the mouth and another at the bottom, straight in between."""

    mouth: RoundedRectangle
    bottom: RoundedRectangle
    length: float

    def support(self, n: Vec) -> Vec:
        """The furthest point of both."""
        ends = (
            (0.0, *self.mouth.support(n[1], n[2])),
            (self.length, *self.bottom.support(n[1], n[2])),
        )
        return max(ends, key=lambda p: dot(n, p))


class Hollow(msgspec.Struct, frozen=True):
    """One convex piece of a pocket, and what it is called."""

    name: str
    leaf: Prism | Turned | Tapered
    where: Placing

    def support(self, n: Vec) -> Vec:
        """The furthest point, in the piece's coordinates."""
        return self.where.point(self.leaf.support(self.where.own_direction(n)))

    @property
    def axis(self) -> Vec:
        """The way it goes in."""
        return self.where.direction((1.0, 0.0, 0.0))

    @property
    def mouth_at(self) -> Vec:
        """Where it starts."""
        return self.where.at

    def silhouettes(self) -> Iterator[list[tuple[float, float]]]:
        """Its outermost lines as (x, distance from the x axis), for a turned outside.

        Of a hollow that goes in from the side only what lies behind its mouth counts.
        """
        if abs(self.axis[0]) > 0.5:
            # In its own order, a step stays a step: sorted, its two radii would change places.
            run = list(self._along_x())
            yield run if self.axis[0] > 0.0 else run[::-1]
            return
        for ring in self._rings():
            points = [self.where.point(point) for point in ring]
            yield [(p[0], math.hypot(p[1], p[2])) for p in (*points, points[0])]

    def _along_x(self) -> Iterator[tuple[float, float]]:
        """Exact: the furthest point of a disc lies on the line from the axis through its middle."""
        for x, middles, radius in self._sections(_ZONE_STEPS):
            far = max(math.hypot(*self.where.point((x, *p))[1:]) for p in middles)
            yield (self.where.point((x, 0.0, 0.0))[0], far + radius)

    def _sections(self, zone_steps: int) -> Iterator[tuple[float, tuple[Point, ...], float]]:
        """Places along its own axis, with the discs whose hull is the section there."""
        leaf = self.leaf
        if isinstance(leaf, Turned):
            for x, r in turned_points(leaf, zone_steps):
                yield x, ((0.0, 0.0),), r
            return
        ends = (leaf.mouth, leaf.bottom) if isinstance(leaf, Tapered) else (leaf.outline,) * 2
        for x, outline in zip((0.0, leaf.length), ends, strict=True):
            yield x, *outline.discs

    def _rings(self) -> Iterator[list[Vec]]:
        for x, middles, radius in self._sections(_FEW_ZONE_STEPS):
            if x > NEAR_MM:
                around = _CIRCLE if radius > 0.0 else ((0.0, 0.0),)
                yield [
                    (x, y + radius * cy, z + radius * cz) for y, z in middles for cy, cz in around
                ]


def turned_points(leaf: Turned, zone_steps: int) -> Iterator[tuple[float, float]]:
    """The corners (x, radius) of a turned hollow, a ball in steps that don't cut it short."""
    for run in leaf.profile:
        if not isinstance(run, Zone):
            yield (run.x0, run.r0)
            yield (run.x1, run.r1)
            continue
        # Steps inside the ball would make the wall too thick; half a step's cosine covers that.
        stations = run.stations(zone_steps)
        half_step = math.dist(stations[0], stations[1]) / (2.0 * run.ball)
        grow = 1.0 / math.sqrt(max(0.5, 1.0 - half_step * half_step))
        for x, r in stations:
            yield (run.centre + (x - run.centre) * grow, r * grow)


def read_pocket(data: object) -> tuple[Hollow, ...]:
    """The pocket's pieces from JSON, the main one first; raises Refused with one sentence."""
    fields = Fields(data, "pocket")
    plain = {key: value for key, value in fields.data.items() if key not in _EXTRAS}
    body = shape_from_json(plain, "pocket")
    main = [
        _hollow(piece, f"pocket {n}" if n > 1 else "pocket")
        for n, piece in enumerate(body.pieces, start=1)
    ]
    if "end_size_mm" in fields.data:
        main[0] = _tapered(fields, main[0])
    recess = fields.part("recess")
    more = [] if recess is None else [_recess(recess, main[0])]
    chamfer = fields.maybe("chamfer_mm", low=0.0, high=100.0) or 0.0
    if chamfer > 0.0:
        more.append(_chamfer(chamfer, more[0] if more else main[0]))
    return (*main, *more)


def _hollow(piece: Piece, name: str) -> Hollow:
    if isinstance(piece.leaf, Prism | Turned):
        return Hollow(name, piece.leaf, piece.where)
    raise Refused("pocket can't be a ring here; give the bore or slot that is cut")


def _rectangle(hollow: Hollow, what: str) -> tuple[RoundedRectangle, float]:
    leaf = hollow.leaf
    if isinstance(leaf, Prism) and isinstance(leaf.outline, RoundedRectangle):
        return leaf.outline, leaf.length
    if isinstance(leaf, Tapered):
        return leaf.mouth, leaf.length
    raise Refused(f"pocket.{what} is for a slot or block; a round taper is a frustum")


def _tapered(fields: Fields, hollow: Hollow) -> Hollow:
    mouth, depth = _rectangle(hollow, "end_size_mm")
    long, wide = numbers_of(fields, "end_size_mm", 2)
    is_round = mouth.corner >= min(mouth.length, mouth.width) / 2.0
    corner = min(long, wide) / 2.0 if is_round else min(mouth.corner, min(long, wide) / 2.0)
    return msgspec.structs.replace(
        hollow, leaf=Tapered(mouth, RoundedRectangle(long, wide, corner), depth)
    )


def _recess(fields: Fields, main: Hollow) -> Hollow:
    fields.only("length_mm", "width_mm", "corner_mm", "diameter_mm", "depth_mm")
    depth = length_of(fields, "depth_mm")
    if "diameter_mm" in fields.data:
        radius = length_of(fields, "diameter_mm") / 2.0
        return Hollow("recess", Turned((Line(0.0, radius, depth, radius),)), main.where)
    long, wide = length_of(fields, "length_mm"), length_of(fields, "width_mm")
    corner = fields.maybe("corner_mm", low=0.0, high=1000.0)
    outline = RoundedRectangle(long, wide, min(long, wide) / 2.0 if corner is None else corner)
    return Hollow("recess", Prism(outline, depth), main.where)


def _chamfer(leg: float, about: Hollow) -> Hollow:
    """The mouth widened by `leg` all round, down to nothing at that depth."""
    if isinstance(about.leaf, Turned):
        radius = about.leaf.profile[0].r0
        return Hollow("mouth chamfer", Turned((Line(0.0, radius + leg, leg, radius),)), about.where)
    inner, _ = _rectangle(about, "chamfer_mm")
    wider = RoundedRectangle(
        inner.length + 2.0 * leg, inner.width + 2.0 * leg, inner.corner + leg if inner.corner else 0
    )
    return Hollow("mouth chamfer", Tapered(wider, inner, leg), about.where)
