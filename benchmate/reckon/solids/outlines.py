"""Flat outlines, in their own y and z, that a block, slot or prism carries through its length."""

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Protocol

from benchmate.reckon.asking.frame import Refused

Point = tuple[float, float]
_ARC_STEPS = 8


class Outline(Protocol):
    """What a prism needs to know of its cross-section, in mm."""

    @property
    def area(self) -> float:
        """In mm²."""

    @property
    def perimeter(self) -> float:
        """In mm."""

    @property
    def centre(self) -> Point:
        """Of its area."""

    @property
    def corners(self) -> tuple[Point, ...]:
        """Points on the outline, in order: all corners, and round parts in steps."""

    def contains(self, y: float, z: float, slack: float) -> bool:
        """Whether the point is inside, the outline grown by `slack` (shrunk when negative)."""

    def support(self, ny: float, nz: float) -> Point:
        """The point of the outline that lies furthest in a direction."""

    @property
    def discs(self) -> tuple[tuple[Point, ...], float]:
        """Points and a radius: the outline is the hull of the discs about them."""

    @property
    def straight_edges(self) -> tuple[tuple[Point, Point], ...]:
        """Edges that make flat side faces, with the inside on their left."""


@dataclass(frozen=True)
class RoundedRectangle:
    """A rectangle about the middle, `length` along y and `width` along z, its corners rounded."""

    length: float
    width: float
    corner: float = 0.0

    def __post_init__(self) -> None:
        if self.corner > min(self.length, self.width) / 2.0 * (1.0 + 1e-12):
            raise Refused(
                f"A corner radius of {self.corner:g} mm is more than half of the smaller side, "
                f"{min(self.length, self.width):g} mm"
            )

    @property
    def area(self) -> float:
        """Rectangle less what the four corners lose."""
        return self.length * self.width - (4.0 - math.pi) * self.corner**2

    @property
    def perimeter(self) -> float:
        """Straight runs and four quarter circles."""
        return 2.0 * (self.length + self.width) - (8.0 - 2.0 * math.pi) * self.corner

    @property
    def centre(self) -> Point:
        """The middle."""
        return (0.0, 0.0)

    @property
    def _arm(self) -> Point:
        """Half the sides of the rectangle on whose corners the rounding is centred."""
        return (max(0.0, self.length / 2.0 - self.corner), max(0.0, self.width / 2.0 - self.corner))

    @property
    def discs(self) -> tuple[tuple[Point, ...], float]:
        """The inner rectangle's corners and the corner radius."""
        arm_y, arm_z = self._arm
        return tuple((sy * arm_y, sz * arm_z) for sy in (1, -1) for sz in (1, -1)), self.corner

    @cached_property
    def corners(self) -> tuple[Point, ...]:
        """The outline in steps, anticlockwise from the middle of the positive y side."""
        arm_y, arm_z = self._arm
        steps = _ARC_STEPS if self.corner > 0.0 else 0
        points: list[Point] = []
        for quarter, (sy, sz) in enumerate(((1, 1), (-1, 1), (-1, -1), (1, -1))):
            for step in range(steps + 1):
                angle = (quarter + (step / steps if steps else 0.5)) * math.pi / 2.0
                points.append(
                    (
                        sy * arm_y + self.corner * math.cos(angle),
                        sz * arm_z + self.corner * math.sin(angle),
                    )
                )
        return tuple(points)

    def contains(self, y: float, z: float, slack: float) -> bool:
        """By the distance from the rounded rectangle."""
        arm_y, arm_z = self._arm
        dy, dz = abs(y) - arm_y, abs(z) - arm_z
        away = math.hypot(max(dy, 0.0), max(dz, 0.0)) + min(max(dy, dz), 0.0)
        return away - self.corner <= slack

    def support(self, ny: float, nz: float) -> Point:
        """A corner of the inner rectangle, and the corner radius on from there."""
        arm_y, arm_z = self._arm
        size = math.hypot(ny, nz) or 1.0
        return (
            math.copysign(arm_y, ny) + self.corner * ny / size,
            math.copysign(arm_z, nz) + self.corner * nz / size,
        )

    @property
    def straight_edges(self) -> tuple[tuple[Point, Point], ...]:
        """The four straight runs, as far as they are straight."""
        arm_y, arm_z = self._arm
        half_y, half_z = self.length / 2.0, self.width / 2.0
        runs = (
            ((half_y, -arm_z), (half_y, arm_z)),
            ((arm_y, half_z), (-arm_y, half_z)),
            ((-half_y, arm_z), (-half_y, -arm_z)),
            ((-arm_y, -half_z), (arm_y, -half_z)),
        )
        return tuple((a, b) for a, b in runs if a != b)


@dataclass(frozen=True)
class Polygon:
    """A straight-sided outline given by its corners, in either sense."""

    points: tuple[Point, ...]

    def __post_init__(self) -> None:
        if len(self.points) < 3:
            raise Refused("An outline needs at least three corners")
        if _crosses_itself(self.points):
            raise Refused("The outline crosses or touches itself; give its corners in order")
        if _signed_area(self.points) < 0.0:
            object.__setattr__(self, "points", tuple(reversed(self.points)))

    @cached_property
    def area(self) -> float:
        """By the shoelace formula."""
        return _signed_area(self.points)

    @cached_property
    def perimeter(self) -> float:
        """All edges."""
        return math.fsum(math.dist(a, b) for a, b in self.straight_edges)

    @cached_property
    def centre(self) -> Point:
        """The centroid of the enclosed area, taken about the first corner to keep its digits."""
        oy, oz = self.points[0]
        sum_y = sum_z = 0.0
        for (ay, az), (by, bz) in self.straight_edges:
            cross = (ay - oy) * (bz - oz) - (by - oy) * (az - oz)
            sum_y += (ay + by - 2.0 * oy) * cross
            sum_z += (az + bz - 2.0 * oz) * cross
        return (oy + sum_y / (6.0 * self.area), oz + sum_z / (6.0 * self.area))

    @property
    def discs(self) -> tuple[tuple[Point, ...], float]:
        """The corners themselves."""
        return self.points, 0.0

    @property
    def corners(self) -> tuple[Point, ...]:
        """The corners and the middles of the edges."""
        middles = [((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0) for a, b in self.straight_edges]
        return tuple(p for pair in zip(self.points, middles, strict=True) for p in pair)

    def contains(self, y: float, z: float, slack: float) -> bool:
        """By crossings, and by the distance from the edges where that decides."""
        away = min(_from_edge((y, z), a, b) for a, b in self.straight_edges)
        inside = sum(_is_crossed(y, z, a, b) for a, b in self.straight_edges) % 2 == 1
        return away >= -slack if inside else away <= slack

    def support(self, ny: float, nz: float) -> Point:
        """The corner that lies furthest."""
        return max(self.points, key=lambda p: p[0] * ny + p[1] * nz)

    @cached_property
    def straight_edges(self) -> tuple[tuple[Point, Point], ...]:
        """Every edge."""
        return tuple(pairwise((*self.points, self.points[0])))


def regular_polygon(sides: int, across_flats: float) -> Polygon:
    """A regular polygon of `sides`, `across_flats` twice the distance from middle to edge."""
    radius = across_flats / 2.0 / math.cos(math.pi / sides)
    angles = [math.pi / sides * (2 * i + 1) for i in range(sides)]
    return Polygon(tuple((radius * math.cos(a), radius * math.sin(a)) for a in angles))


def _signed_area(points: tuple[Point, ...]) -> float:
    oy, oz = points[0]
    return 0.5 * math.fsum(
        (a[0] - oy) * (b[1] - oz) - (b[0] - oy) * (a[1] - oz)
        for a, b in pairwise((*points, points[0]))
    )


def _from_edge(p: Point, a: Point, b: Point) -> float:
    run = (b[0] - a[0], b[1] - a[1])
    share = ((p[0] - a[0]) * run[0] + (p[1] - a[1]) * run[1]) / (run[0] ** 2 + run[1] ** 2)
    share = min(1.0, max(0.0, share))
    return math.hypot(p[0] - a[0] - share * run[0], p[1] - a[1] - share * run[1])


def _is_crossed(y: float, z: float, a: Point, b: Point) -> bool:
    if (a[1] > z) == (b[1] > z):
        return False
    return y < a[0] + (z - a[1]) / (b[1] - a[1]) * (b[0] - a[0])


def _side(a: Point, b: Point, c: Point) -> int:
    turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    size = math.dist(a, b) * math.dist(a, c)
    return 0 if abs(turn) <= 1e-12 * size else (1 if turn > 0 else -1)


def _crosses_itself(points: tuple[Point, ...]) -> bool:
    edges = tuple(pairwise((*points, points[0])))
    count = len(edges)
    if any(a == b for a, b in edges) or abs(_signed_area(points)) <= 1e-12 * _span(points) ** 2:
        return True
    return any(
        _meet(*edges[i], *edges[j])
        for i in range(count)
        for j in range(i + 2, count)
        if not (i == 0 and j == count - 1)
    )


def _span(points: tuple[Point, ...]) -> float:
    return max(math.dist(points[0], p) for p in points)


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    apart = any(
        max(a[i], b[i]) < min(c[i], d[i]) or max(c[i], d[i]) < min(a[i], b[i]) for i in (0, 1)
    )
    return (
        not apart and _side(a, b, c) * _side(a, b, d) <= 0 and _side(c, d, a) * _side(c, d, b) <= 0
    )
