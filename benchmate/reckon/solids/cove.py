"""A half-round groove in a turned surface: the run of a profile that dips along an arc.

Source: Pappus, by integrating pi r(x)² and 2 pi r ds with r = surface − √(ρ² − u²).
"""

import math

import msgspec


class Cove(msgspec.Struct, frozen=True):
    """A dip of `arc` radius about (centre, surface), between x0 and x1, both within it."""

    x0: float
    x1: float
    centre: float
    surface_r: float
    arc: float

    @property
    def r0(self) -> float:
        """Radius at x0."""
        return self.radius(self.x0)

    @property
    def r1(self) -> float:
        """Radius at x1."""
        return self.radius(self.x1)

    @property
    def _ends(self) -> tuple[float, float]:
        return self.x0 - self.centre, self.x1 - self.centre

    def _dip(self, u: float) -> float:
        return math.sqrt(max(0.0, (self.arc - u) * (self.arc + u)))

    def _angle(self, u: float) -> float:
        return math.asin(min(1.0, max(-1.0, u / self.arc)))

    @property
    def volume(self) -> float:
        """The full round less the dip."""

        def up_to(u: float) -> float:
            dip = (u * self._dip(u) + self.arc**2 * self._angle(u)) / 2.0
            return (self.surface_r**2 + self.arc**2) * u - u**3 / 3.0 - 2.0 * self.surface_r * dip

        a, b = self._ends
        return math.pi * (up_to(b) - up_to(a))

    @property
    def moment(self) -> float:
        """The volume's moment about x = 0."""

        def up_to(u: float) -> float:
            straight = (self.surface_r**2 + self.arc**2) * u * u / 2.0 - u**4 / 4.0
            return straight + 2.0 * self.surface_r * self._dip(u) ** 3 / 3.0

        a, b = self._ends
        return self.centre * self.volume + math.pi * (up_to(b) - up_to(a))

    @property
    def surface(self) -> float:
        """The groove's own surface."""
        a, b = self._ends
        turned = self.surface_r * (self._angle(b) - self._angle(a)) - (b - a)
        return 2.0 * math.pi * self.arc * turned

    def radius(self, x: float) -> float:
        """The radius at an x of this run."""
        return self.surface_r - self._dip(x - self.centre)

    def stations(self, steps: int) -> list[tuple[float, float]]:
        """Points (x, r) at even angles, on an arc so much wider that no chord lies above it."""
        start, end = (self._angle(u) for u in self._ends)
        wide = self.arc / math.cos((end - start) / steps / 2.0)
        angles = (start + (end - start) * step / steps for step in range(1, steps))
        inner = [
            (self.centre + wide * math.sin(a), self.surface_r - wide * math.cos(a)) for a in angles
        ]
        return [(self.x0, self.r0), *inner, (self.x1, self.r1)]

    def flipped(self, sense: int, shift: float) -> "Cove":
        """The same dip on the axis x' = sense x + shift."""
        ends = sorted((sense * self.x0 + shift, sense * self.x1 + shift))
        return Cove(ends[0], ends[1], sense * self.centre + shift, self.surface_r, self.arc)

    def support(self, nx: float, nr: float) -> tuple[float, float]:
        """The point (x, r) that lies furthest in a direction: a dip's ends, or its floor."""
        floor = min(self.x1, max(self.x0, self.centre))
        points = ((self.x0, self.r0), (self.x1, self.r1), (floor, self.radius(floor)))
        return max(points, key=lambda p: nx * p[0] + nr * p[1])
