"""The part of a body that counts, by points spread evenly through it.

For holes that cross, or run out through a curved side, there is no closed form worth writing. The
points follow an additive recurrence with the plastic number: they fill a box more evenly than
chance does, and are the same at every call.

Source: quasi-Monte Carlo integration by an additive (Kronecker) sequence; the spread of ten parts
of the sequence gives the standard uncertainty.
"""

import math
from collections.abc import Callable, Iterator
from statistics import fmean, stdev
from typing import NamedTuple

from benchmate.reckon.solids.body import Body
from benchmate.reckon.solids.placing import Vec

_RUNS = 10
_POINTS_A_RUN = 1500
_ROOT = 1.2207440846057596
"""The real root of x⁴ = x + 1, which suits three dimensions."""
_STEPS = (1.0 / _ROOT, 1.0 / _ROOT**2, 1.0 / _ROOT**3)


class Amount(NamedTuple):
    """What a body adds or takes: volume, centre, second moments about it, and its u."""

    volume: float
    centre: Vec
    second: Vec
    u: float = 0.0


def sampled(body: Body, counts: Callable[[Vec], bool]) -> Amount:
    """The part of the body whose points count; a volume of zero when none do.

    The body's own volume is known, so only the share is found from the points.
    """
    shares: list[float] = []
    kept: list[Vec] = []
    points = _points(body)
    for _ in range(_RUNS):
        inside = [p for p in (next(points) for _ in range(_POINTS_A_RUN)) if body.contains(p)]
        counted = [p for p in inside if counts(p)]
        kept.extend(counted)
        if inside:
            shares.append(len(counted) / len(inside))
    if not kept or len(shares) < 2:
        return Amount(0.0, body.centre, (0.0, 0.0, 0.0))
    u = body.volume * stdev(shares) / math.sqrt(len(shares))
    volume, centre = body.volume * fmean(shares), _mean(kept)
    return Amount(volume, centre, _second(kept, centre, volume), math.hypot(u, body.u_volume))


def _points(body: Body) -> Iterator[Vec]:
    low = [-body.box[f"-{axis}"] for axis in "xyz"]
    size = [body.box[f"+{axis}"] - start for axis, start in zip("xyz", low, strict=True)]
    index = 0
    while True:
        index += 1
        a, b, c = ((0.5 + index * step) % 1.0 for step in _STEPS)
        yield (low[0] + a * size[0], low[1] + b * size[1], low[2] + c * size[2])


def _mean(points: list[Vec]) -> Vec:
    return (fmean(p[0] for p in points), fmean(p[1] for p in points), fmean(p[2] for p in points))


def _second(points: list[Vec], centre: Vec, volume: float) -> Vec:
    x, y, z = (volume * fmean((p[i] - centre[i]) ** 2 for p in points) for i in range(3))
    return (x, y, z)
