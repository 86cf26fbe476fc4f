"""How many points pass on average before a chart signals, for independent normal values.

Closed form for plain limits; for weighted means and cumulative sums the integral equation of the
average run length, solved at Gauss-Legendre nodes. Centre and sigma are taken as known: with both
estimated from few values every figure here is optimistic.

Source: the integral equations as in Crowder (EWMA) and Goel and Wu (CUSUM), from memory; checked
against the figures that Lucas and Crosier, and Lucas and Saccucci, publish.
"""

from collections.abc import Sequence
from functools import lru_cache
from math import ceil, cos, exp, inf, pi, sqrt
from operator import mul

from benchmate.reckon.weight.student import normal_cdf

_MOST_NODES = 120
_LONGEST = 1e9
"""Beyond this the equation is so nearly singular that rounding shows in the digits printed."""
_TINY = 1e-300
_FEWEST_NODES = 24
_NODES_PER_SIGMA = 2.5
"""Nodes for each standard deviation of the step of the interval; more change no digit shown."""


def plain_limits(width: float, shift: float = 0.0) -> float:
    """Average run length of limits at +/- `width` sigmas, the mean moved by `shift` sigmas."""
    outside = normal_cdf(shift - width) + normal_cdf(-shift - width)
    return 1.0 / outside if outside > 0.0 else inf


def weighted_mean(weight: float, width: float, shift: float = 0.0) -> float | None:
    """Average run length of an EWMA chart with steady limits at +/- `width` of its own sigmas.

    `weight` is lambda. None where the weight is so small that too many nodes would be needed.
    """
    reach = width * sqrt(weight / (2.0 - weight))
    nodes = _node_count(2.0 * reach / weight)
    if nodes is None:
        return None
    at, weights = _nodes(nodes, -reach, reach)

    def row(start: float) -> list[float]:
        kept = (1.0 - weight) * start
        return [
            w * _density((x - kept) / weight - shift) / weight
            for x, w in zip(at, weights, strict=True)
        ]

    lengths = _solve([row(start) for start in at])
    return _believable(1.0 + sum(map(mul, row(0.0), lengths)))


def cumulative_sum(k: float, h: float, shift: float = 0.0) -> float | None:
    """Average run length of one upper cumulative sum, `k` and `h` in sigmas, starting from zero.

    Infinite where the length is beyond any use; None where `h` is so large that too many nodes
    would be needed.
    """
    nodes = _node_count(h)
    if nodes is None:
        return None
    at, weights = _nodes(nodes, 0.0, h)

    def row(start: float) -> list[float]:
        to_zero = normal_cdf(k - shift - start)
        onward = [w * _density(x - start + k - shift) for x, w in zip(at, weights, strict=True)]
        return [to_zero, *onward]

    return _believable(_solve([row(start) for start in (0.0, *at)])[0])


def two_cumulative_sums(k: float, h: float, shift: float = 0.0) -> float | None:
    """The same for an upper and a lower sum together: 1/ARL = 1/ARL(upper) + 1/ARL(lower)."""
    upper, lower = cumulative_sum(k, h, shift), cumulative_sum(k, h, -shift)
    if upper is None or lower is None:
        return None
    often = 1.0 / upper + 1.0 / lower
    return 1.0 / often if often > 0.0 else inf


def _believable(points: float) -> float:
    return points if 1.0 <= points < _LONGEST else inf


def _density(z: float) -> float:
    return exp(-0.5 * z * z) / sqrt(2.0 * pi)


def _node_count(sigmas_across: float) -> int | None:
    wanted = max(_FEWEST_NODES, ceil(_NODES_PER_SIGMA * sigmas_across))
    return wanted if wanted <= _MOST_NODES else None


def _nodes(count: int, low: float, high: float) -> tuple[list[float], list[float]]:
    """Gauss-Legendre nodes and weights on [low, high]."""
    half, middle = (high - low) / 2.0, (high + low) / 2.0
    pairs = _legendre(count)
    return [middle + half * x for x, _ in pairs], [half * w for _, w in pairs]


@lru_cache(maxsize=8)
def _legendre(count: int) -> tuple[tuple[float, float], ...]:
    """Nodes and weights on [-1, 1], by Newton's method on the Legendre polynomial."""
    pairs = []
    for i in range(count):
        x = cos(pi * (i + 0.75) / (count + 0.5))
        for _ in range(100):
            value, slope = _legendre_value(count, x)
            step = value / slope
            x -= step
            if abs(step) < 1e-15:
                break
        slope = _legendre_value(count, x)[1]
        pairs.append((x, 2.0 / ((1.0 - x * x) * slope * slope)))
    return tuple(pairs)


def _legendre_value(count: int, x: float) -> tuple[float, float]:
    before, value = 1.0, x
    for n in range(2, count + 1):
        before, value = value, ((2 * n - 1) * x * value - (n - 1) * before) / n
    return value, count * (x * value - before) / (x * x - 1.0)


def _solve(kernel: Sequence[Sequence[float]]) -> list[float]:
    """The lengths L of L = 1 + kernel L, by elimination.

    The matrix 1 - kernel is diagonally dominant (each row of the kernel is a probability below
    one), so no pivoting is needed.
    """
    size = len(kernel)
    rows = [
        [(i == j) - value for j, value in enumerate(row)] + [1.0] for i, row in enumerate(kernel)
    ]
    for i in range(size):
        pivot = rows[i]
        for row in rows[i + 1 :]:
            factor = row[i] / (pivot[i] or _TINY)
            row[i:] = [a - factor * b for a, b in zip(row[i:], pivot[i:], strict=True)]
    lengths = [0.0] * size
    for i in reversed(range(size)):
        row = rows[i]
        lengths[i] = (row[-1] - sum(map(mul, row[i + 1 : size], lengths[i + 1 :]))) / (
            row[i] or _TINY
        )
    return lengths
