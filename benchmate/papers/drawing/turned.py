"""The half-profile of a turned part at full size, with its station table.

The axis stands upright on the left, the first end up. To the right of the profile lies the body of
the gauge, that what is cut from card or thin plywood touches the work with; inside it stand the
steel, hatched, and the least wall round it, dotted: what may not be turned into.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from benchmate.papers.drawing.svg import Picture
from benchmate.papers.figures import HARD, Figures
from benchmate.plan.shapes import Hollow, PartShape

Profile = Sequence[tuple[float, float]]
"""Distance from the first end and diameter there, straight in between."""
AXIS_X, TOP_Y = 12.0, 6.0
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
    for step in _STEPS_MM:
        between = [
            Station(at, diameter_at(profile, at))
            for at in (step * n for n in range(1, int(profile[-1][0] / step) + 1))
            if all(abs(at - corner.at_mm) > 3.0 for corner in corners)
        ]
        if len(corners) + len(between) <= MOST_STATIONS:
            return sorted([*corners, *between], key=lambda s: s.at_mm)
    return corners


def diameter_at(profile: Profile, at: float) -> float:
    """The diameter at a distance from the first end; the outer one at a shoulder."""
    spans = [(a, b) for a, b in pairwise(profile) if a[0] <= at <= b[0]]
    shares = ((0.0 if b[0] == a[0] else (at - a[0]) / (b[0] - a[0]), a, b) for a, b in spans)
    return max((a[1] + share * (b[1] - a[1]) for share, a, b in shares), default=0.0)


def half_profile(shape: PartShape) -> Picture:
    """The template's picture, axis and gauge, true to size; its station table stands apart."""
    profile = profile_of(shape)
    widest, length = max(d for _, d in profile) / 2.0, profile[-1][0]
    picture = Picture(AXIS_X + widest + GAUGE_MM + 8.0, length + 2.0 * TOP_Y)
    edge = [(AXIS_X + d / 2.0, TOP_Y + at) for at, d in profile]
    back = AXIS_X + widest + GAUGE_MM
    picture.path([*edge, (back, edge[-1][1]), (back, edge[0][1])], "hidden", "grey")
    for hollow in shape.hollows:
        if not hollow.across_mm and not hollow.up_mm:
            _inside(picture, hollow, length)
    picture.path(edge, "edge", name="profile")
    picture.line((AXIS_X, 0.0), (AXIS_X, length + 2.0 * TOP_Y), "axis")
    for end in (edge[0], edge[-1]):
        picture.line((AXIS_X, end[1]), end, "edge")
    picture.text((AXIS_X + 1.5, TOP_Y - 1.5), "first end", 7.0)
    picture.text((AXIS_X - 1.5, TOP_Y + 24.0), "axis of the lathe", 7.0, turned=True)
    picture.text((back - 2.0, TOP_Y + length - 3.0), "gauge: keep the line", 7.0, turned=True)
    for number, station in enumerate(stations(profile), 1):
        _station(picture, number, station)
    return picture


def _station(picture: Picture, number: int, station: Station) -> None:
    at = (AXIS_X + station.diameter_mm / 2.0, TOP_Y + station.at_mm)
    picture.line((AXIS_X, at[1]), at, "dotted")
    picture.circle(at, 1.6, "thin")
    picture.text((at[0] + 2.5, at[1] + 1.0), str(number), 7.0, bold=station.corner)


def _inside(picture: Picture, hollow: Hollow, length: float) -> None:
    """Half of a void or bore, where it goes in from an end; round a void its least wall."""
    for near, far, inner, outer in zones(hollow, length):
        corners = (AXIS_X + inner / 2.0, TOP_Y + near), (AXIS_X + outer / 2.0, TOP_Y + far)
        if hollow.purpose != "void":
            picture.box(*corners, "hidden")
            continue
        picture.box(*corners, "thin", "hatch")
        middle = (AXIS_X + (inner + outer) / 4.0, TOP_Y + (near + far) / 2.0)
        picture.text(middle, "steel", 8.0, bold=True, anchor="middle")
        if wall := hollow.wall_at_least_mm:
            deep = far + wall if far > near else far - wall
            left = AXIS_X + max(0.0, inner / 2.0 - wall)
            right = (AXIS_X + outer / 2.0 + wall, TOP_Y + deep)
            picture.box((left, TOP_Y + near), right, "dotted")


def zones(hollow: Hollow, length: float) -> Iterator[tuple[float, float, float, float]]:
    """Where each zone of a round hollow begins and ends along the axis, and its diameters; of one
    that doesn't go in from an end: none."""
    if hollow.side not in ("first end", "other end"):
        return
    start, size, above = hollow.down_mm, hollow.size_mm, 0.0
    found: list[tuple[float, float, float, float]] = []
    for diameter, deep in hollow.steps_mm:
        found.append((above, deep, 0.0, diameter))
        above = deep
    if not found and hollow.kind in ("bore", "cylinder"):
        found = [(0.0, size[1], 0.0, size[0])]
    elif not found and hollow.kind == "ring":
        found = [(0.0, size[2], size[1], size[0])]
    first = hollow.side == "first end"
    for near, far, inner, outer in found:
        ends = (start + near, start + far)
        yield (*(ends if first else (length - ends[0], length - ends[1])), inner, outer)


def station_rows(profile: Profile, figures: Figures) -> list[tuple[str, ...]]:
    """Number, distance from the first end and diameter, in the reader's unit."""
    return [
        (str(n), *(figures.length(mm).rpartition(HARD)[0] for mm in (s.at_mm, s.diameter_mm)))
        for n, s in enumerate(stations(profile), 1)
    ]
