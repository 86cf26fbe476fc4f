"""The half-profile of a turned part at full size, with its station table.

The axis stands upright on the left, the first end up. To the right of the profile lies the body of
the gauge, that what is cut from card or thin plywood touches the work with; inside it stand the
steel, hatched, and the least wall round it, dotted: what may not be turned into.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from benchmate.papers.drawing.svg import Drawing, Point
from benchmate.plan.shapes import Hollow, PartShape
from benchmate.quantities import Units, show_length

Profile = Sequence[tuple[float, float]]
"""Distance from the first end and diameter there, straight in between."""
AXIS_X, TOP_Y = 12.0, 4.0
GAUGE_MM = 22.0
"""How far the gauge's body reaches beyond the widest place."""
MOST_STATIONS = 14
_STEPS_MM = (10.0, 20.0, 25.0, 50.0, 100.0)


@dataclass(frozen=True)
class Station:
    """A place along the axis to measure at. `corner`: the profile bends there."""

    at_mm: float
    diameter_mm: float
    corner: bool = False


def profile_of(shape: PartShape) -> tuple[tuple[float, float], ...]:
    """The profile when the part is done; empty for a part that isn't turned."""
    return shape.finished_profile_mm or shape.blank.profile_mm


def stations(profile: Profile) -> list[Station]:
    """Every corner (a shoulder is two), and even steps between them, in as few as are useful."""
    corners = [Station(at, diameter, corner=True) for at, diameter in profile]
    length = profile[-1][0]
    for step in _STEPS_MM:
        between = [
            Station(at, diameter_at(profile, at))
            for at in _steps(step, length)
            if all(abs(at - corner.at_mm) > 3.0 for corner in corners)
        ]
        if len(corners) + len(between) <= MOST_STATIONS:
            return sorted([*corners, *between], key=lambda s: s.at_mm)
    return corners


def _steps(step: float, length: float) -> Iterator[float]:
    count = int(length / step)
    yield from (step * n for n in range(1, count + 1) if step * n < length)


def diameter_at(profile: Profile, at: float) -> float:
    """The diameter at a distance from the first end; the outer one at a shoulder."""
    found = 0.0
    for (x1, d1), (x2, d2) in pairwise(profile):
        if x1 <= at <= x2:
            share = 0.0 if x2 == x1 else (at - x1) / (x2 - x1)
            found = max(found, d1 + share * (d2 - d1))
    return found


def half_profile(shape: PartShape, units: Units = "metric") -> Drawing:
    """The template's drawing, axis and gauge, true to size; its station table stands apart."""
    profile = profile_of(shape)
    widest = max(d for _, d in profile) / 2.0
    length = profile[-1][0]
    drawing = Drawing(AXIS_X + widest + GAUGE_MM + 8.0, length + 2.0 * TOP_Y)
    edge = [(AXIS_X + d / 2.0, TOP_Y + at) for at, d in profile]
    back = AXIS_X + widest + GAUGE_MM
    gauge = [*edge, (back, edge[-1][1]), (back, edge[0][1])]
    drawing.path(gauge, "hidden", closed=True, fill="grey")
    for hollow in shape.hollows:
        _inside(drawing, hollow, length)
    drawing.path(edge, "edge", name="profile")
    drawing.line((AXIS_X, 0.0), (AXIS_X, length + 2.0 * TOP_Y), "axis")
    for end in (edge[0], edge[-1]):
        drawing.line((AXIS_X, end[1]), end, "edge")
    for number, station in enumerate(stations(profile), 1):
        _station(drawing, number, station)
    return drawing


def _station(drawing: Drawing, number: int, station: Station) -> None:
    at = (AXIS_X + station.diameter_mm / 2.0, TOP_Y + station.at_mm)
    drawing.line((AXIS_X, at[1]), at, "dotted")
    drawing.circle(at, 1.6, "thin")
    drawing.text((at[0] + 2.5, at[1] + 1.0), str(number), 7.0, bold=station.corner)


def _inside(drawing: Drawing, hollow: Hollow, length: float) -> None:
    """Half of a void or bore, where it goes in from an end."""
    if hollow.side not in ("first end", "other end") or hollow.across_mm or hollow.up_mm:
        return
    for near, far, inner, outer in _zones(hollow):
        y1, y2 = (near, far) if hollow.side == "first end" else (length - near, length - far)
        box = _box(inner / 2.0, outer / 2.0, TOP_Y + y1, TOP_Y + y2)
        if hollow.purpose != "void":
            drawing.path(box, "hidden", closed=True)
            continue
        drawing.path(box, "thin", closed=True, fill="hatch")
        wall = hollow.wall_at_least_mm
        if wall:
            reach = far + wall if far > near else far - wall
            y3 = reach if hollow.side == "first end" else length - reach
            around = _box(max(0.0, inner / 2.0 - wall), outer / 2.0 + wall, TOP_Y + y1, TOP_Y + y3)
            drawing.path(around, "dotted", closed=True)


def _zones(hollow: Hollow) -> Iterator[tuple[float, float, float, float]]:
    """Where each zone of a round hollow begins and ends below its face, and its diameters."""
    start, size = hollow.down_mm, hollow.size_mm
    if hollow.steps_mm:
        above = 0.0
        for diameter, deep in hollow.steps_mm:
            yield start + above, start + deep, 0.0, diameter
            above = deep
    elif hollow.kind in ("bore", "cylinder"):
        yield start, start + size[1], 0.0, size[0]
    elif hollow.kind == "ring":
        yield start, start + size[2], size[1], size[0]


def _box(inner: float, outer: float, y1: float, y2: float) -> list[Point]:
    left, right = AXIS_X + inner, AXIS_X + outer
    return [(left, y1), (right, y1), (right, y2), (left, y2)]


def station_rows(profile: Profile, units: Units = "metric") -> list[tuple[str, str, str, str]]:
    """Number, distance from the first end, diameter, and a box to tick."""
    return [
        (str(n), show_length(s.at_mm, units), f"⌀ {show_length(s.diameter_mm, units)}", "")
        for n, s in enumerate(stations(profile), 1)
    ]
