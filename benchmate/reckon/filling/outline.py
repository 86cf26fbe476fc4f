"""The outline of a void: its cross-section at each depth, and how high a volume stands in it.

Depth is measured from the mouth down; a fill stands on the bottom. Between two given depths the
area runs in a straight line, so a taper wants a few points and a straight pocket two. Two points at
one depth make a step.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import pi, sqrt

from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import Refused

OUTLINE_MEANING = (
    "the void from its mouth down, as JSON: [[depth_mm, area_cm2], …], or "
    '{"bore_mm": 20, "depth_mm": 90}, or {"length_mm": 80, "width_mm": 30, "depth_mm": 45}, a '
    "pocket with round ends; corner_mm says another radius, 0 for square corners"
)


@dataclass(frozen=True)
class Outline:
    """Points (depth_mm, area_mm2) from the mouth down."""

    points: tuple[tuple[float, float], ...]

    @property
    def depth_mm(self) -> float:
        """Return how deep the void is."""
        return self.points[-1][0] - self.points[0][0]

    @property
    def volume_ml(self) -> float:
        """Return the volume of the whole void."""
        return sum(_slice_mm3(a, b) for a, b in pairwise(self.points)) / 1000.0

    def volume_to_ml(self, height_mm: float) -> float:
        """Return the volume below a height over the bottom; beyond the void its whole volume."""
        below = 0.0
        left_mm = height_mm
        for upper, lower in reversed(list(pairwise(self.points))):
            thick_mm = lower[0] - upper[0]
            if left_mm < thick_mm:
                area_mm2 = lower[1] + (upper[1] - lower[1]) * left_mm / thick_mm
                return (below + max(0.0, left_mm) * (lower[1] + area_mm2) / 2.0) / 1000.0
            below += _slice_mm3(upper, lower)
            left_mm -= thick_mm
        return below / 1000.0

    def height_of_mm(self, volume_ml: float) -> float:
        """Return how high a volume stands over the bottom; raises Refused when it is too much."""
        left_mm3, height_mm = volume_ml * 1000.0, 0.0
        for upper, lower in reversed(list(pairwise(self.points))):
            slice_mm3 = _slice_mm3(upper, lower)
            if left_mm3 <= slice_mm3:
                return height_mm + _height_in_slice_mm(lower, upper, left_mm3)
            left_mm3 -= slice_mm3
            height_mm += lower[0] - upper[0]
        if left_mm3 > 1e-9 * volume_ml * 1000.0:
            raise Refused(
                f"{volume_ml:.1f} ml stand higher than the void is deep: it holds "
                f"{self.volume_ml:.1f} ml in {self.depth_mm:.1f} mm"
            )
        return height_mm


def _slice_mm3(upper: tuple[float, float], lower: tuple[float, float]) -> float:
    return (lower[0] - upper[0]) * (upper[1] + lower[1]) / 2.0


def _height_in_slice_mm(
    lower: tuple[float, float], upper: tuple[float, float], volume_mm3: float
) -> float:
    thick_mm = lower[0] - upper[0]
    slope = (upper[1] - lower[1]) / thick_mm if thick_mm else 0.0
    if volume_mm3 <= 0.0:
        return 0.0
    # The root of lower·h + slope·h²/2 = volume, in the form that stays exact for a slope near zero.
    root = sqrt(max(0.0, lower[1] ** 2 + 2.0 * slope * volume_mm3))
    return min(thick_mm, 2.0 * volume_mm3 / (lower[1] + root))


def read_outline(data: object, where: str = "outline") -> Outline:
    """Return the outline from JSON data (see OUTLINE_MEANING); raises Refused."""
    if isinstance(data, Mapping):
        return _simple(Fields(data, where))
    if not isinstance(data, list | tuple) or not 2 <= len(data) <= 1000:
        raise Refused(f"{where} must be a list of 2 to 1000 points [depth_mm, area_cm2]")
    points = tuple(_point(item, f"{where}[{n}]") for n, item in enumerate(data))
    if any(b[0] < a[0] for a, b in pairwise(points)):
        raise Refused(f"{where}: the depths must grow from the mouth down")
    outline = Outline(points)
    if outline.depth_mm <= 0.0 or outline.volume_ml <= 0.0:
        raise Refused(f"{where} encloses no volume; give its depth and area")
    return outline


def _point(item: object, where: str) -> tuple[float, float]:
    if isinstance(item, list | tuple):
        if len(item) != 2:
            raise Refused(f"{where} must be [depth_mm, area_cm2]")
        item = {"depth_mm": item[0], "area_cm2": item[1]}
    fields = Fields(item, where)
    fields.only("depth_mm", "area_cm2")
    depth_mm = fields.number("depth_mm", low=0.0, high=1000.0)
    return depth_mm, fields.number("area_cm2", low=0.0, high=1e4) * 100.0


def _simple(fields: Fields) -> Outline:
    fields.only("bore_mm", "length_mm", "width_mm", "depth_mm", "corner_mm")
    depth_mm = fields.number("depth_mm", above=0.0, high=1000.0)
    bore_mm = fields.maybe("bore_mm", above=0.0, high=1000.0)
    area_mm2 = pi * bore_mm**2 / 4.0 if bore_mm is not None else _pocket_mm2(fields)
    return Outline(((0.0, area_mm2), (depth_mm, area_mm2)))


def _pocket_mm2(fields: Fields) -> float:
    """A routed pocket's area: round ends, as the same keys mean for solids, unless it is said."""
    length_mm, width_mm = (
        fields.number(key, above=0.0, high=1000.0) for key in ("length_mm", "width_mm")
    )
    half_mm = min(length_mm, width_mm) / 2.0
    corner_mm = fields.maybe("corner_mm", low=0.0, high=half_mm)
    corner_mm = half_mm if corner_mm is None else corner_mm
    return length_mm * width_mm - (4.0 - pi) * corner_mm**2
