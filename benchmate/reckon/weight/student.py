"""The normal and Student's t distribution, with the standard library alone.

A coverage factor is wanted at every weighing, and a command that only says what to do next must
not load a numerical library for it. Degrees of freedom need not be whole: the effective number
from the Welch-Satterthwaite formula never is.

Source: the t distribution as a regularised incomplete beta function (Abramowitz and Stegun,
26.7.1), evaluated by its continued fraction (26.5.8); checked in the tests against a general
scientific library.
"""

import math
from functools import lru_cache
from statistics import NormalDist

_STANDARD = NormalDist()
_NEARLY_NORMAL_DOF = 1e6
"""From here on the t distribution is taken by its expansion about the normal one: the continued
fraction slows with the root of the degrees of freedom, and the expansion is good to 1e-12."""
_LARGEST_T = 1e150
_SMALL = 1e-300


def normal_cdf(z: float) -> float:
    """Probability that a standard normal value is at most `z`, accurate in the lower tail too."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def normal_quantile(p: float) -> float:
    """The `z` with `normal_cdf(z) == p`; ValueError unless 0 < p < 1."""
    _check_probability(p)
    return _STANDARD.inv_cdf(p)


def student_cdf(t: float, dof: float) -> float:
    """Probability that a Student t value with `dof` degrees of freedom is at most `t`.

    `dof` is any positive number, or `math.inf` for the normal distribution; ValueError otherwise.
    """
    _check_dof(dof)
    tail = _upper_tail(abs(t), dof)
    return tail if t < 0 else 1.0 - tail


@lru_cache(maxsize=512)
def student_quantile(p: float, dof: float) -> float:
    """The `t` with `student_cdf(t, dof) == p`.

    Raises ValueError unless 0 < p < 1 and dof > 0, and when the tails are so heavy that the
    answer is beyond 1e150 (far less than one degree of freedom).
    """
    _check_probability(p)
    _check_dof(dof)
    if p == 0.5:
        return 0.0
    size = _quantile_of_tail(min(p, 1.0 - p), dof)
    return size if p > 0.5 else -size


def coverage_factor(p: float, dof: float) -> float:
    """The factor k by which a standard uncertainty is multiplied to cover a share `p`, both sides.

    Source: GUM G.3.2, the t quantile at (1 + p)/2; `p` = 0.9545 with infinite `dof` gives 2.000.
    """
    _check_probability(p)
    return student_quantile((1.0 + p) / 2.0, dof)


def _check_probability(p: float) -> None:
    if not 0.0 < p < 1.0:
        raise ValueError(f"A probability of {p:g} was asked for; it must lie between 0 and 1.")


def _check_dof(dof: float) -> None:
    if not dof > 0.0:
        raise ValueError(f"There are {dof:g} degrees of freedom; there must be more than none.")


def _upper_tail(t: float, dof: float) -> float:
    """Probability above `t`, for `t` at or above zero."""
    if dof >= _NEARLY_NORMAL_DOF:
        return normal_cdf(-_as_normal(t, dof))
    if t >= _LARGEST_T:
        return 0.0
    square = t * t
    beyond = square / (dof + square)
    if beyond > 1.5 / (dof / 2.0 + 2.5):
        return 0.5 * _beta_share(dof / (dof + square), dof / 2.0, 0.5, t, dof)
    return 0.5 - 0.5 * _beta_share(beyond, 0.5, dof / 2.0, t, dof)


def _as_normal(t: float, dof: float) -> float:
    """The normal value with nearly the same tail (Abramowitz and Stegun, 26.7.8)."""
    if math.isinf(dof):
        return t
    return t * (1.0 - 0.25 / dof) / math.sqrt(1.0 + t * t / (2.0 * dof))


def _beta_share(x: float, a: float, b: float, t: float, dof: float) -> float:
    """Regularised incomplete beta function of `x`, where {a, b} is {dof/2, 1/2}."""
    if x <= 0.0:
        return 0.0
    half = dof / 2.0
    log_front = (
        _log_gamma_step(half)
        - 0.5 * math.log(math.pi)
        - half * _log_one_plus_square(t, dof)
        + 0.5 * _log_beyond(t, dof)
    )
    return math.exp(log_front) * _beta_fraction(x, a, b) / a


def _log_one_plus_square(t: float, dof: float) -> float:
    return math.log1p(t * t / dof) if t * t / dof < 1e300 else 2.0 * math.log(t) - math.log(dof)


def _log_beyond(t: float, dof: float) -> float:
    return -math.log1p(dof / (t * t)) if t * t > _SMALL else 2.0 * math.log(t) - math.log(dof)


def _log_gamma_step(a: float) -> float:
    """log of Gamma(a + 1/2)/Gamma(a); by its series where the plain difference would cancel."""
    if a < 50.0:
        return math.lgamma(a + 0.5) - math.lgamma(a)
    return 0.5 * math.log(a) - 1.0 / (8.0 * a) + 1.0 / (192.0 * a**3) - 1.0 / (640.0 * a**5)


def _beta_fraction(x: float, a: float, b: float) -> float:
    """The continued fraction of the incomplete beta function, by Lentz's forward recurrence."""
    c, d = 1.0, 1.0 / _away_from_zero(1.0 - (a + b) * x / (a + 1.0))
    total = d
    for m in range(1, 20_000):
        for factor in (
            m * (b - m) * x / ((a + 2 * m - 1.0) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1.0)),
        ):
            d = 1.0 / _away_from_zero(1.0 + factor * d)
            c = _away_from_zero(1.0 + factor / c)
            total *= c * d
        if abs(c * d - 1.0) < 4e-16:
            break
    return total


def _away_from_zero(value: float) -> float:
    return value if abs(value) > _SMALL else _SMALL


def _density(t: float, dof: float) -> float:
    if dof >= _NEARLY_NORMAL_DOF:
        return _STANDARD.pdf(t)
    log_top = _log_gamma_step(dof / 2.0) - 0.5 * math.log(dof * math.pi)
    return math.exp(log_top - 0.5 * (dof + 1.0) * _log_one_plus_square(t, dof))


def _quantile_of_tail(tail: float, dof: float) -> float:
    """The `t` above zero that leaves `tail` (below one half) beyond it.

    The normal quantile is a start that is never too large, since t has the heavier tails. Near
    the middle Newton's step on the tail itself then climbs without overshooting; further out the
    step is taken in logarithms, where a heavy tail is nearly a straight line.
    """
    t = max(-_STANDARD.inv_cdf(tail), 1e-12) if tail > _SMALL else 1.0
    for _ in range(200):
        beyond, slope = _upper_tail(t, dof), _density(t, dof)
        if tail > 0.2:
            new = t + (beyond - tail) / slope
        elif beyond <= 0.0:
            new = t / 2.0
        else:
            new = t * math.exp(min(300.0, math.log(beyond / tail) * beyond / (slope * t)))
        if new > _LARGEST_T:
            raise ValueError(f"With {dof:g} degrees of freedom no such limit can be given.")
        if abs(new - t) <= 1e-15 * abs(new):
            return new
        t = new
    return t
