"""Does a weighing prove that a piece is inside its tolerance?

A tolerance is a pair of limits; either may be None where only one side matters. The probability
assumes that nothing is known of the piece but this weighing.

Source: JCGM 106 (the role of measurement uncertainty in conformity assessment), clauses 7 and 8;
taking the expanded uncertainty as the guard band follows ISO 14253-1.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from benchmate.reckon.weight.student import normal_cdf, student_cdf

_TOUCH = 1e-9
"""Share of the numbers' size within which a value counts as lying on a limit: decimal limits
such as 850.3 - 0.6 aren't exact in binary."""


class Verdict(StrEnum):
    """What a weighing says of a tolerance."""

    ACCEPT = "accept"
    INCONCLUSIVE = "inconclusive"
    REJECT = "reject"
    NO_ACCEPTANCE_ZONE = "no acceptance zone"


@dataclass(frozen=True, slots=True)
class Zones:
    """Where a result is accepted and where it is rejected; in between it is inconclusive.

    `accept` is None when the guard bands leave no room: then no result of such a measurement can
    ever prove the piece good. A limit is infinite on a side that has no tolerance.
    """

    accept: tuple[float, float] | None
    reject_below: float
    reject_above: float

    def verdict(self, value: float) -> Verdict:
        """The verdict on a result; a value on a zone's limit is accepted, and is not rejected."""
        touch = _TOUCH * max(1e-9, abs(value))
        if value < self.reject_below - touch or value > self.reject_above + touch:
            return Verdict.REJECT
        if self.accept is None:
            return Verdict.NO_ACCEPTANCE_ZONE
        low, high = self.accept
        inside = low - touch <= value <= high + touch
        return Verdict.ACCEPT if inside else Verdict.INCONCLUSIVE


def probability_inside(
    value: float, u: float, low: float | None, high: float | None, dof: float = math.inf
) -> float:
    """Probability that the true value lies between the limits, given a result and its u.

    Normal by default (JCGM 106, 7.3); with finite `dof` Student's t scaled by `u` is taken
    instead. With u = 0 the answer is 1 or 0. Raises ValueError for limits in the wrong order.
    """
    _check_limits(low, high)
    if u < 0.0:
        raise ValueError(f"The standard uncertainty is {u:g}; it can't be negative.")
    if u == 0.0:
        above_low = low is None or value >= low
        return float(above_low and (high is None or value <= high))
    below = -math.inf if low is None else (low - value) / u
    above = math.inf if high is None else (high - value) / u
    return _between(below, above, dof)


def guard_zones(low: float | None, high: float | None, guard: float) -> Zones:
    """The zones when each limit is kept clear by `guard` (often the expanded uncertainty U)."""
    _check_limits(low, high)
    if not guard >= 0.0:
        raise ValueError(f"The guard band is {guard:g}; it can't be negative.")
    bottom = -math.inf if low is None else low
    top = math.inf if high is None else high
    accept = (bottom + guard, top - guard)
    touch = _TOUCH * max((abs(limit) for limit in (low, high) if limit is not None), default=0.0)
    has_room = accept[0] <= accept[1] + touch
    return Zones(accept if has_room else None, bottom - guard, top + guard)


def largest_guard(low: float | None, high: float | None) -> float:
    """The widest guard band that still leaves an acceptance zone; infinite for a single limit."""
    _check_limits(low, high)
    return math.inf if low is None or high is None else (high - low) / 2.0


def _between(below: float, above: float, dof: float) -> float:
    """Probability between two standard scores, taken from the nearer tail to keep small digits."""
    if below > 0.0:
        below, above = -above, -below
    return max(0.0, _cdf(above, dof) - _cdf(below, dof))


def _cdf(score: float, dof: float) -> float:
    return normal_cdf(score) if math.isinf(dof) else student_cdf(score, dof)


def _check_limits(low: float | None, high: float | None) -> None:
    if low is not None and high is not None and low > high:
        raise ValueError(f"The lower limit {low:g} lies above the upper limit {high:g}.")
