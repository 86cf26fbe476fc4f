"""Mean, standard deviation and lag-1 autocorrelation, safe where a short formula is not.

The one-pass formula (sum of squares less n times the squared mean) loses every digit on values
that differ late in their digits, as weighings of one piece do. Here the mean comes first, from an
exactly rounded sum, and then the deviations, with the mean's own rounding taken off again.

Source: checked against the NIST Statistical Reference Datasets (univariate summary statistics).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, sqrt


@dataclass(frozen=True, slots=True)
class Summary:
    """A row of values in short. `sd` is None for one value, `lag1` where nothing varies."""

    count: int
    mean: float
    sd: float | None
    lag1: float | None


def mean(values: Sequence[float]) -> float:
    """Arithmetic mean; ValueError when there are no values."""
    if not values:
        raise ValueError("There are no values to average.")
    return fsum(values) / len(values)


def squares_about_mean(values: Sequence[float]) -> float:
    """Sum of squared deviations from the mean; ValueError when there are no values."""
    middle = mean(values)
    off = [value - middle for value in values]
    return max(0.0, fsum(d * d for d in off) - fsum(off) ** 2 / len(off))


def standard_deviation(values: Sequence[float]) -> float:
    """Standard deviation with n - 1; ValueError for fewer than two values."""
    if len(values) < 2:
        raise ValueError("A standard deviation needs at least two values.")
    return sqrt(squares_about_mean(values) / (len(values) - 1))


def lag_one(values: Sequence[float]) -> float | None:
    """How far each value leans on the one before it, -1 to 1; None where nothing varies.

    The usual lag-1 autocorrelation: products of neighbours' deviations over the sum of squares.
    """
    middle = mean(values)
    off = [value - middle for value in values]
    total = fsum(d * d for d in off)
    if total == 0.0:
        return None
    return fsum(map(float.__mul__, off, off[1:])) / total


def summarise(values: Sequence[float]) -> Summary:
    """All of the above at once; ValueError when there are no values."""
    sd = standard_deviation(values) if len(values) > 1 else None
    return Summary(len(values), mean(values), sd, lag_one(values))
