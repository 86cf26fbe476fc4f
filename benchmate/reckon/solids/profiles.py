"""Turned profiles: the radius along x, in straight runs, parts of a ball and dips.

Sources: frusta by Pappus; zones of a sphere by integrating pi (R^2 - u^2). A vertical step is a
run of no length: it adds a flat ring of surface and no volume.
"""

import math
from itertools import pairwise

import msgspec

from benchmate.reckon.solids.cove import Cove
from benchmate.reckon.solids.placing import NEAR_MM


class Line(msgspec.Struct, frozen=True):
    """A straight run of radius from (x0, r0) to (x1, r1), with x1 at or above x0."""

    x0: float
    r0: float
    x1: float
    r1: float

    @property
    def volume(self) -> float:
        """A frustum."""
        rise = self.r0 * self.r0 + self.r0 * self.r1 + self.r1 * self.r1
        return math.pi * (self.x1 - self.x0) * rise / 3.0

    @property
    def moment(self) -> float:
        """The volume's moment about x = 0."""
        run = self.x1 - self.x0
        lean = self.r0 * self.r0 + 2.0 * self.r0 * self.r1 + 3.0 * self.r1 * self.r1
        return self.x0 * self.volume + math.pi * run * run * lean / 12.0

    @property
    def surface(self) -> float:
        """The lateral surface of a frustum."""
        return math.pi * (self.r0 + self.r1) * math.hypot(self.x1 - self.x0, self.r1 - self.r0)

    def radius(self, x: float) -> float:
        """The radius at an x of this run."""
        run = self.x1 - self.x0
        return self.r1 if run <= 0.0 else self.r0 + (self.r1 - self.r0) * (x - self.x0) / run

    def flipped(self, sense: int, shift: float) -> "Line":
        """The same run on the axis x' = sense x + shift."""
        a, b = sense * self.x0 + shift, sense * self.x1 + shift
        return Line(a, self.r0, b, self.r1) if sense > 0 else Line(b, self.r1, a, self.r0)

    def support(self, nx: float, nr: float) -> tuple[float, float]:
        """The point (x, r) that lies furthest in a direction."""
        ends = ((self.x0, self.r0), (self.x1, self.r1))
        return max(ends, key=lambda p: nx * p[0] + nr * p[1])


class Zone(msgspec.Struct, frozen=True):
    """Part of a ball of `ball` radius about (centre, 0), between x0 and x1."""

    x0: float
    x1: float
    centre: float
    ball: float

    @property
    def r0(self) -> float:
        """Radius at x0."""
        return self.radius(self.x0)

    @property
    def r1(self) -> float:
        """Radius at x1."""
        return self.radius(self.x1)

    @property
    def volume(self) -> float:
        """A zone of a ball."""
        a, b = self.x0 - self.centre, self.x1 - self.centre
        return math.pi * (b - a) * (self.ball**2 - (a * a + a * b + b * b) / 3.0)

    @property
    def moment(self) -> float:
        """The volume's moment about x = 0."""
        a, b = self.x0 - self.centre, self.x1 - self.centre
        own = (b - a) * (b + a) * (self.ball**2 / 2.0 - (a * a + b * b) / 4.0)
        return self.centre * self.volume + math.pi * own

    @property
    def surface(self) -> float:
        """Archimedes: the same as of a cylinder around the ball."""
        return 2.0 * math.pi * self.ball * (self.x1 - self.x0)

    def radius(self, x: float) -> float:
        """The radius at an x of this zone."""
        u = x - self.centre
        return math.sqrt(max(0.0, (self.ball - u) * (self.ball + u)))

    def stations(self, steps: int) -> list[tuple[float, float]]:
        """Points (x, r) at even angles about the ball's centre, both ends included."""
        start, end = (
            math.acos(min(1.0, max(-1.0, (x - self.centre) / self.ball)))
            for x in (self.x0, self.x1)
        )
        angles = (start + (end - start) * step / steps for step in range(1, steps))
        inner = [(self.centre + self.ball * math.cos(a), self.ball * math.sin(a)) for a in angles]
        return [(self.x0, self.r0), *inner, (self.x1, self.r1)]

    def flipped(self, sense: int, shift: float) -> "Zone":
        """The same zone on the axis x' = sense x + shift."""
        ends = sorted((sense * self.x0 + shift, sense * self.x1 + shift))
        return Zone(ends[0], ends[1], sense * self.centre + shift, self.ball)

    def support(self, nx: float, nr: float) -> tuple[float, float]:
        """The point (x, r) that lies furthest in a direction: a pole of the ball or an end."""
        size = math.hypot(nx, nr) or 1.0
        x = min(self.x1, max(self.x0, self.centre + self.ball * nx / size))
        return (x, self.radius(x))


Run = Line | Zone | Cove
Profile = tuple[Run, ...]


def polyline(points: list[tuple[float, float]]) -> Profile:
    """A profile through the points (x, r), whose x never goes back."""
    return tuple(Line(a[0], a[1], b[0], b[1]) for a, b in pairwise(points))


def joined(first: Profile, second: Profile) -> Profile | None:
    """Both coaxial profiles as one, or None when that can't be written down.

    Where they share a length the greater radius counts, since wood bored twice is gone once.
    Profiles with a gap between them stay apart.
    """
    if first[0].x0 > second[0].x0:
        first, second = second, first
    gap = second[0].x0 - first[-1].x1
    if abs(gap) <= NEAR_MM:
        return (*first, *_step(first[-1], second[0]), *second)
    lines = [run for run in (*first, *second) if isinstance(run, Line)]
    if gap > 0.0 or len(lines) < len(first) + len(second):
        return None
    return _greater(first, second)


def _step(before: Run, after: Run) -> Profile:
    return (Line(before.x1, before.r1, after.x0, after.r0),)


def _greater(first: Profile, second: Profile) -> Profile:
    marks = sorted({x for run in (*first, *second) for x in (run.x0, run.x1)})
    runs: list[Run] = []
    for a, b in pairwise(marks):
        for piece in _greater_between(_run_over(first, a, b), _run_over(second, a, b), a, b):
            if runs and abs(runs[-1].r1 - piece.r0) > 0.0:
                runs.extend(_step(runs[-1], piece))
            runs.append(piece)
    return tuple(runs)


def _run_over(profile: Profile, a: float, b: float) -> Run | None:
    return next((run for run in profile if run.x0 <= a and run.x1 >= b and run.x1 > run.x0), None)


def _greater_between(one: Run | None, two: Run | None, a: float, b: float) -> list[Line]:
    ends = [(run.radius(a), run.radius(b)) for run in (one, two) if run is not None]
    if len(ends) == 1:
        return [Line(a, ends[0][0], b, ends[0][1])]
    (p0, p1), (q0, q1) = ends
    if (p0 - q0) * (p1 - q1) >= 0.0:
        return [Line(a, max(p0, q0), b, max(p1, q1))]
    share = (p0 - q0) / ((p0 - q0) - (p1 - q1))
    x, r = a + share * (b - a), p0 + share * (p1 - p0)
    return [Line(a, max(p0, q0), x, r), Line(x, r, b, max(p1, q1))]
