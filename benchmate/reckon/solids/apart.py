"""How far two convex solids are apart, from their furthest points alone.

Source: the algorithm of Gilbert, Johnson and Keerthi (1988): the nearest point to the origin of
the difference of both solids, found on simplices of up to four of its points.
"""

import math
from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple, Protocol

from benchmate.reckon.solids.placing import Vec, dot, length, less, moved

_MOST_ROUNDS = 200
_ENOUGH = 1e-11


class HasSupport(Protocol):
    """A solid that knows its furthest point in a direction."""

    def support(self, n: Vec) -> Vec:
        """The point that lies furthest in a direction."""


class Gap(NamedTuple):
    """The distance, and the nearest point of each; zero where they touch or cross."""

    distance: float
    on_first: Vec
    on_second: Vec


class _Corner(NamedTuple):
    between: Vec
    first: Vec
    second: Vec


def gap(one: HasSupport, two: HasSupport) -> Gap:
    """The distance between two convex solids; a hollow counts as filled to its hull."""
    corners = [_corner(one, two, (1.0, 0.0, 0.0))]
    shares: Sequence[float] = (1.0,)
    for _ in range(_MOST_ROUNDS):
        nearest = _weighted([corner.between for corner in corners], shares)
        square = dot(nearest, nearest)
        if square < 1e-18:
            return Gap(0.0, *_witnesses(corners, shares))
        new = _corner(one, two, (-nearest[0], -nearest[1], -nearest[2]))
        if square - dot(nearest, new.between) <= _ENOUGH * square:
            break
        found = _nearest_on([*corners, new])
        if found is None:
            break
        corners, shares = found
    first, second = _witnesses(corners, shares)
    return Gap(length(less(first, second)), first, second)


def _corner(one: HasSupport, two: HasSupport, n: Vec) -> _Corner:
    first, second = one.support(n), two.support((-n[0], -n[1], -n[2]))
    return _Corner(less(first, second), first, second)


def _weighted(points: Sequence[Vec], shares: Sequence[float]) -> Vec:
    total: Vec = (0.0, 0.0, 0.0)
    for point, share in zip(points, shares, strict=True):
        total = moved(total, point, share)
    return total


def _witnesses(corners: Sequence[_Corner], shares: Sequence[float]) -> tuple[Vec, Vec]:
    return (
        _weighted([corner.first for corner in corners], shares),
        _weighted([corner.second for corner in corners], shares),
    )


def _nearest_on(corners: list[_Corner]) -> tuple[list[_Corner], list[float]] | None:
    """The face of the simplex that holds its nearest point to the origin, and the shares there."""
    best: tuple[float, list[_Corner], list[float]] | None = None
    for count in range(1, len(corners) + 1):
        for chosen in combinations(corners, count):
            shares = _shares([corner.between for corner in chosen])
            if shares is None or min(shares) < 0.0:
                continue
            size = length(_weighted([corner.between for corner in chosen], shares))
            if best is None or size < best[0]:
                best = (size, list(chosen), shares)
    return None if best is None else (best[1], best[2])


def _shares(points: Sequence[Vec]) -> list[float] | None:
    """Shares, adding up to 1, of the point nearest to the origin in the points' flat."""
    size = len(points)
    rows = [[dot(p, q) for q in points] + [1.0, 0.0] for p in points]
    rows.append([1.0] * size + [0.0, 1.0])
    solved = _solved(rows)
    return None if solved is None else solved[:size]


def _solved(rows: list[list[float]]) -> list[float] | None:
    """Gauss's elimination with row exchange; None where there is no single answer."""
    size = len(rows)
    for step in range(size):
        pivot = max(range(step, size), key=lambda r: abs(rows[r][step]))
        rows[step], rows[pivot] = rows[pivot], rows[step]
        if abs(rows[step][step]) < 1e-13 * max(map(abs, rows[step]), default=0.0) or math.isclose(
            rows[step][step], 0.0, abs_tol=1e-300
        ):
            return None
        for other in range(size):
            if other != step:
                factor = rows[other][step] / rows[step][step]
                rows[other] = [a - factor * b for a, b in zip(rows[other], rows[step], strict=True)]
    return [rows[i][size] / rows[i][i] for i in range(size)]
