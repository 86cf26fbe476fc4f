"""The cross-section of a single shape at each depth along its own axis."""

import math
from itertools import pairwise

from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.solids.body import Body
from benchmate.reckon.solids.leaves import Prism, Turned
from benchmate.reckon.solids.profiles import Line, Run

_SLICES = 40


def areas_by_depth(body: Body) -> tuple[tuple[float, float], ...]:
    """Pairs (depth in mm, area in mm²) from the shape's start on; a cone or ball in fine slices.

    Raises Refused for a shape made of several, whose section isn't known in closed form.
    """
    leaf = body.piece.leaf if body.piece is not None and not body.voids else None
    if isinstance(leaf, Prism):
        return ((0.0, leaf.outline.area), (leaf.length, leaf.outline.area))
    if isinstance(leaf, Turned):
        start = leaf.profile[0].x0
        return tuple((x - start, area) for run in leaf.profile for x, area in _areas(run))
    raise Refused(f"{body.name} must be one block, slot, prism, bore or turned shape here")


def _areas(run: Run) -> list[tuple[float, float]]:
    straight = isinstance(run, Line) and run.r0 == run.r1
    steps = 1 if straight or run.x1 == run.x0 else _SLICES
    xs = [run.x0 + (run.x1 - run.x0) * i / steps for i in range(steps + 1)]
    if run.x1 == run.x0:
        return [(run.x0, math.pi * run.r0**2), (run.x0, math.pi * run.r1**2)]
    points = [(x, math.pi * run.radius(x) ** 2) for x in xs]
    return _same_volume(points, run)


def _same_volume(points: list[tuple[float, float]], run: Run) -> list[tuple[float, float]]:
    """Straight lines between the points lose or gain a little; share it out evenly."""
    straight = math.fsum((b[0] - a[0]) * (a[1] + b[1]) / 2.0 for a, b in pairwise(points))
    factor = run.volume / straight if straight > 0.0 else 1.0
    return [(x, area * factor) for x, area in points]
