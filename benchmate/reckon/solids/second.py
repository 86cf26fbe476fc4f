"""Second moments of solids, for their inertia: ∫x², ∫y² and ∫z² over the volume, in mm⁵.

Only the three squares are kept: shapes are turned from axis to axis and never askew, so that the
inertia about each axis follows from them.

Source: ∫x² dV = ∫ π r² x² dx and ∫y² dV = ∫ π r⁴/4 dx for turned solids (exact by Gauss's rule, a
dip in fine steps), the shoelace formulas for outlines, the ring by Pappus; parallel axes.
"""

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from benchmate.reckon.solids.cove import Cove
from benchmate.reckon.solids.leaves import Leaf, Prism, RoundRing, Turned
from benchmate.reckon.solids.outlines import Outline, Polygon, RoundedRectangle
from benchmate.reckon.solids.placing import Placing, Vec

if TYPE_CHECKING:
    from benchmate.reckon.solids.profiles import Run

_GAUSS = ((-math.sqrt(0.6), 5.0 / 9.0), (0.0, 8.0 / 9.0), (math.sqrt(0.6), 5.0 / 9.0))
"""Three points: exact up to the fifth power, and r⁴ of a straight or round run has four."""
_DIP_STEPS = 64


def central(leaf: Leaf) -> Vec:
    """The second moments of a leaf about its own centre, along its own axes."""
    match leaf:
        case Turned():
            about = _turned(leaf)
        case Prism():
            about = _prism(leaf)
        case RoundRing():
            return _ring(leaf)
        case _:
            raise TypeError(f"no second moments for {type(leaf).__name__}")
    x, y, z = (total - leaf.volume * c * c for total, c in zip(about, leaf.centre, strict=True))
    return (x, y, z)


def turned_to(own: Vec, where: Placing) -> Vec:
    """The moments along the piece's axes; `where` swaps axes and flips them, no more."""
    x, y, z = (math.fsum(row[i] * row[i] * own[i] for i in range(3)) for row in where.rows)
    return (x, y, z)


def put_together(pieces: Sequence[tuple[float, float, Vec, Vec]], centre: Vec) -> Vec:
    """The moments of a whole about its centre from (sign, volume, centre, moments) of each."""
    x, y, z = (
        math.fsum(
            sign * (own[i] + volume * (at[i] - centre[i]) ** 2) for sign, volume, at, own in pieces
        )
        for i in range(3)
    )
    return (x, y, z)


def inertia(moments: Vec) -> Vec:
    """The inertia about the x, y and z axes, times density in g/mm³ it is in g mm²."""
    x, y, z = moments
    return (y + z, x + z, x + y)


def _turned(leaf: Turned) -> Vec:
    along = math.fsum(_over(run, lambda x, r: math.pi * r * r * x * x) for run in leaf.profile)
    across = math.fsum(_over(run, lambda _, r: math.pi * r**4 / 4.0) for run in leaf.profile)
    return (along, across, across)


def _over(run: "Run", of: Callable[[float, float], float]) -> float:
    marks = [run.x0, run.x1]
    if isinstance(run, Cove):
        marks = [x for x, _ in run.stations(_DIP_STEPS)]
        marks[0], marks[-1] = run.x0, run.x1
    total = 0.0
    for a, b in pairwise(marks):
        half = (b - a) / 2.0
        for place, weight in _GAUSS:
            x = (a + b) / 2.0 + half * place
            total += weight * half * of(x, run.radius(x))
    return total


def _prism(leaf: Prism) -> Vec:
    along = leaf.outline.area * leaf.length**3 / 3.0
    y, z = _outline(leaf.outline)
    return (along, y * leaf.length, z * leaf.length)


def _outline(outline: Outline) -> tuple[float, float]:
    if isinstance(outline, RoundedRectangle):
        arms = outline.length / 2.0, outline.width / 2.0
        return _rounded(*arms, outline.corner), _rounded(*arms[::-1], outline.corner)
    points = outline.points if isinstance(outline, Polygon) else outline.corners
    return _shoelace(points, 0), _shoelace(points, 1)


def _rounded(half: float, other: float, corner: float) -> float:
    """∫u² over a rectangle about the middle, u across `half`, less what its corners lose."""
    arm, whole = half - corner, half**3 * other * 4.0 / 3.0
    square = corner * (half**3 - arm**3) / 3.0
    quarter = arm**2 * math.pi * corner**2 / 4.0 + 2.0 * arm * corner**3 / 3.0
    return whole - 4.0 * (square - quarter - math.pi * corner**4 / 16.0)


def _shoelace(points: Sequence[tuple[float, float]], axis: int) -> float:
    total = 0.0
    for a, b in pairwise((*points, points[0])):
        squares = a[axis] ** 2 + a[axis] * b[axis] + b[axis] ** 2
        total += squares * (a[0] * b[1] - b[0] * a[1])
    return abs(total) / 12.0


def _ring(leaf: RoundRing) -> Vec:
    across = leaf.volume * (leaf.middle**2 + 0.75 * leaf.section**2) / 2.0
    return (leaf.volume * leaf.section**2 / 4.0, across, across)
