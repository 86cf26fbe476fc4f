"""The simple solids that everything else is put together from, each in its own coordinates.

A leaf knows its volume, surface and centre in closed form, and answers three questions by which
shapes are fitted together: is a point inside, which point lies furthest in a direction, and which
flat faces does it have.
"""

import math
from bisect import bisect_right
from collections.abc import Iterator
from functools import cached_property
from typing import Protocol

import msgspec

from benchmate.reckon.solids.outlines import Outline, Point
from benchmate.reckon.solids.placing import Vec, dot
from benchmate.reckon.solids.profiles import Profile

_ROUND = 16
_FEW_RUNS = 12
_ANGLES = tuple(2.0 * math.pi * i / _ROUND for i in range(_ROUND))
_INWARD = (1.0, 0.5, 0.0)
_ALONG = (0.0, 0.25, 0.5, 0.75, 1.0)


class Flat(msgspec.Struct, frozen=True):
    """A flat face: its area, its middle, its normal (outward), and points spread over it."""

    area: float
    middle: Vec
    normal: Vec
    points: tuple[Vec, ...]

    def smaller_by(self, area: float) -> "Flat":
        """The same face with a mouth or a joint taken off it."""
        return msgspec.structs.replace(self, area=self.area - area)


class Leaf(Protocol):
    """A simple solid, mm throughout."""

    @property
    def volume(self) -> float:
        """In mm³."""

    @property
    def surface(self) -> float:
        """All of it, in mm²."""

    @property
    def centre(self) -> Vec:
        """Of its volume."""

    @property
    def flats(self) -> tuple[Flat, ...]:
        """Its flat faces, which others may lie against."""

    def contains(self, p: Vec, slack: float) -> bool:
        """Whether a point is inside, the solid grown by about `slack` (shrunk when negative)."""

    def support(self, n: Vec) -> Vec:
        """The point that lies furthest in a direction."""

    def samples(self) -> Iterator[Vec]:
        """Points on and in the solid, its extremes among them."""


class Turned(msgspec.Struct, frozen=True, dict=True):
    """A solid of revolution about x."""

    profile: Profile

    @cached_property
    def volume(self) -> float:
        """All runs of the profile."""
        return math.fsum(run.volume for run in self.profile)

    @cached_property
    def surface(self) -> float:
        """The turned surface and both end discs."""
        first, last = self.profile[0].r0, self.profile[-1].r1
        ends = math.pi * (first * first + last * last)
        return math.fsum(run.surface for run in self.profile) + ends

    @cached_property
    def centre(self) -> Vec:
        """On the axis."""
        return (math.fsum(run.moment for run in self.profile) / self.volume, 0.0, 0.0)

    @cached_property
    def flats(self) -> tuple[Flat, ...]:
        """The end discs that there are."""
        first, last = self.profile[0], self.profile[-1]
        ends = ((first.x0, first.r0, -1.0), (last.x1, last.r1, 1.0))
        return tuple(_disc(x, r, sense) for x, r, sense in ends if r > 0.0)

    @cached_property
    def _long_runs(self) -> tuple[tuple[float, ...], Profile]:
        """The runs that have a length, and where each begins."""
        runs = tuple(run for run in self.profile if run.x1 > run.x0)
        return tuple(run.x0 for run in runs), runs

    def radius(self, x: float, *, widest: bool = True) -> float:
        """The radius at an x of the profile; at a step the wider or the narrower side."""
        starts, runs = self._long_runs
        last = max(0, bisect_right(starts, x) - 1)
        found = [run.radius(x) for run in runs[max(0, last - 1) : last + 1] if run.x1 >= x]
        return max(found) if widest else min(found)

    def contains(self, p: Vec, slack: float) -> bool:
        """By the radius at the point's x."""
        low, high = self.profile[0].x0, self.profile[-1].x1
        if not low - slack <= p[0] <= high + slack:
            return False
        radius = self.radius(min(high, max(low, p[0])), widest=slack >= 0.0)
        return math.hypot(p[1], p[2]) <= radius + slack

    def support(self, n: Vec) -> Vec:
        """The furthest point of the profile, turned to the direction's side."""
        nr = math.hypot(n[1], n[2])
        found = [run.support(n[0], nr) for run in self.profile]
        x, r = max(found, key=lambda p: n[0] * p[0] + nr * p[1])
        return (x, r * n[1] / nr, r * n[2] / nr) if nr > 0.0 else (x, 0.0, 0.0)

    def samples(self) -> Iterator[Vec]:
        """Discs at the profile's corners, and between them where there are few."""
        for run in self.profile:
            yield from _disc_points(run.x0, run.r0)
            yield from _disc_points(run.x1, run.r1)
            if len(self.profile) <= _FEW_RUNS and run.x1 > run.x0:
                for share in _ALONG[1:-1]:
                    x = run.x0 + share * (run.x1 - run.x0)
                    yield from _disc_points(x, run.radius(x))


class Prism(msgspec.Struct, frozen=True, dict=True):
    """An outline carried along x from 0 to `length`."""

    outline: Outline
    length: float

    @property
    def volume(self) -> float:
        """Outline times length."""
        return self.outline.area * self.length

    @property
    def surface(self) -> float:
        """Both ends and the sides."""
        return 2.0 * self.outline.area + self.outline.perimeter * self.length

    @property
    def centre(self) -> Vec:
        """Half-way, over the outline's centre."""
        return (self.length / 2.0, *self.outline.centre)

    @cached_property
    def flats(self) -> tuple[Flat, ...]:
        """Both ends, and a side for each straight edge."""
        ends = (self._end(0.0, -1.0), self._end(self.length, 1.0))
        return ends + tuple(self._side(a, b) for a, b in self.outline.straight_edges)

    def _end(self, x: float, sense: float) -> Flat:
        points = tuple((x, *p) for p in _spread(self.outline))
        return Flat(self.outline.area, (x, *self.outline.centre), (sense, 0.0, 0.0), points)

    def _side(self, a: Point, b: Point) -> Flat:
        wide = math.dist(a, b)
        normal = (0.0, (b[1] - a[1]) / wide, -(b[0] - a[0]) / wide)
        points = tuple(
            (share * self.length, a[0] + along * (b[0] - a[0]), a[1] + along * (b[1] - a[1]))
            for share in _ALONG
            for along in _ALONG
        )
        return Flat(wide * self.length, points[len(points) // 2], normal, points)

    def contains(self, p: Vec, slack: float) -> bool:
        """Between the ends and within the outline."""
        return -slack <= p[0] <= self.length + slack and self.outline.contains(p[1], p[2], slack)

    def support(self, n: Vec) -> Vec:
        """The outline's furthest point, at the end on the direction's side."""
        return (self.length if n[0] > 0.0 else 0.0, *self.outline.support(n[1], n[2]))

    def samples(self) -> Iterator[Vec]:
        """The outline and points within it, at several places along."""
        for share in _ALONG:
            for point in _spread(self.outline):
                yield (share * self.length, *point)


class RoundRing(msgspec.Struct, frozen=True, dict=True):
    """A ring of round section: a circle of `section` radius about one of `middle` radius.

    It lies flat, its axis x, from x = 0 to twice the section's radius.
    """

    middle: float
    section: float

    @property
    def volume(self) -> float:
        """Pappus: the section's area times the way of its centre."""
        return 2.0 * math.pi**2 * self.middle * self.section**2

    @property
    def surface(self) -> float:
        """Pappus: the section's girth times the way of its centre."""
        return 4.0 * math.pi**2 * self.middle * self.section

    @property
    def centre(self) -> Vec:
        """In the hole."""
        return (self.section, 0.0, 0.0)

    @property
    def flats(self) -> tuple[Flat, ...]:
        """None."""
        return ()

    def contains(self, p: Vec, slack: float) -> bool:
        """By the distance from the middle circle."""
        away = math.hypot(math.hypot(p[1], p[2]) - self.middle, p[0] - self.section)
        return away <= self.section + slack

    def support(self, n: Vec) -> Vec:
        """From the middle circle's furthest point, on by the section's radius."""
        size, nr = math.hypot(*n) or 1.0, math.hypot(n[1], n[2]) or 1.0
        reach = (self.middle / nr + self.section / size, self.section / size)
        return (self.section + reach[1] * n[0], reach[0] * n[1], reach[0] * n[2])

    def samples(self) -> Iterator[Vec]:
        """The section, at angles around the ring."""
        for angle in _ANGLES:
            for tilt in _ANGLES:
                r = self.middle + self.section * math.cos(tilt)
                x = self.section * (1.0 + math.sin(tilt))
                yield (x, r * math.cos(angle), r * math.sin(angle))


def _disc(x: float, r: float, sense: float) -> Flat:
    points = tuple(_disc_points(x, r))
    return Flat(math.pi * r * r, (x, 0.0, 0.0), (sense, 0.0, 0.0), points)


def _disc_points(x: float, r: float) -> Iterator[Vec]:
    for share in _INWARD:
        for angle in _ANGLES if share else (0.0,):
            yield (x, share * r * math.cos(angle), share * r * math.sin(angle))


def _spread(outline: Outline) -> Iterator[Point]:
    cy, cz = outline.centre
    for share in _INWARD:
        for y, z in outline.corners if share else ((cy, cz),):
            yield (cy + share * (y - cy), cz + share * (z - cz))


def reach(leaf: Leaf, n: Vec) -> float:
    """How far the leaf reaches in a direction of length one."""
    return dot(n, leaf.support(n))
