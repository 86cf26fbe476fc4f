"""What a few jobs teach about a plan value: the procedure's value, moved by how much is known.

Two jobs with a packing of 0.57 don't prove that the procedure's 0.60 is wrong, and twenty do. The
learned value lies between the procedure's and the mean of the jobs, each weighted by what it knows.

Source: the conjugate update of a normal mean (one over the variance as the weight); checked
against its closed form and against numerical integration.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt

from benchmate.charts.chart import LARGEST_VALUE
from benchmate.charts.summary import mean, squares_about_mean


@dataclass(frozen=True, slots=True)
class Learned:
    """A learned value and its u; `n` observations carry `weight` of it, from 0 to 1."""

    value: float
    u: float
    n: int
    weight: float


def shrink(
    prior_value: float,
    prior_u: float,
    observations: Sequence[float],
    within_sd: float | None = None,
) -> Learned:
    """The value after the observations, starting from a value with standard uncertainty `prior_u`.

    `within_sd` is the standard deviation from one observation to the next; None takes it from the
    observations, with `prior_u` counted as one more guess of it, so that two observations which
    happen to agree don't pass for certainty. A prior that is certain (`prior_u` zero) stays.
    Raises ValueError for a number that isn't finite, a `prior_u` below zero, or a `within_sd` not
    above zero.
    """
    _check(prior_value, prior_u, observations, within_sd)
    count = len(observations)
    if count == 0 or prior_u == 0.0:
        return Learned(prior_value, prior_u, count, 0.0)
    spread = _guessed_sd(prior_u, observations) if within_sd is None else within_sd
    ratio = spread / prior_u
    weight = count / (count + ratio * ratio)
    moved = prior_value + weight * (mean(observations) - prior_value)
    return Learned(moved, spread / hypot(sqrt(count), ratio), count, weight)


def _guessed_sd(prior_u: float, observations: Sequence[float]) -> float:
    """Spread of single observations: their own, pooled with `prior_u` at one degree of freedom."""
    return sqrt((prior_u**2 + squares_about_mean(observations)) / len(observations))


def _check(
    prior_value: float, prior_u: float, observations: Sequence[float], within_sd: float | None
) -> None:
    numbers = (prior_value, prior_u, *observations)
    if not all(abs(number) <= LARGEST_VALUE for number in numbers):
        raise ValueError("A plan value can't be learned from a number that isn't finite.")
    if prior_u < 0.0:
        raise ValueError(f"The plan value's uncertainty is {prior_u:g}; it can't be below zero.")
    if within_sd is not None and not 0.0 < within_sd <= LARGEST_VALUE:
        raise ValueError(f"The spread between jobs is {within_sd:g}; it must be above zero.")
