"""Shot that was asked for by weight but may not go in.

A weighed amount is put in only as far as there is room, so what a layer gets is the lesser of two
normal quantities. The heading stays linear by taking, for the excess X of what is asked for over
the room, the straight line that best stands for max(0, X): through the right mean, with the slope
that gives the right covariance with everything else, and the rest of its variance as scatter.
Mean and variance of the heading are then exact. Source: moments of a normal value cut off at zero,
and Stein's lemma, Cov(max(0, X), Y) = P(X > 0) Cov(X, Y); checked by simulation in the tests.
"""

import math

from benchmate.landing.ahead import covariance, lands_per_g, mean, room, shot_asked_for, total
from benchmate.landing.course import LayerCourse, Linear
from benchmate.landing.follow import KnownWeight
from benchmate.reckon.weight.student import normal_cdf

_NOT_WORTH_SAYING_G = 0.01


def cut_off(mu: float, sigma: float) -> tuple[float, float, float]:
    """P(X > 0), mean and variance of max(0, X) for X normal with that mean and deviation."""
    if sigma <= 0.0:
        return float(mu > 0.0), max(0.0, mu), 0.0
    z = mu / sigma
    above = normal_cdf(z)
    density = math.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)
    first = mu * above + sigma * density
    second = (mu * mu + sigma * sigma) * above + mu * sigma * density
    return above, first, max(0.0, second - first * first)


def left_out(known: KnownWeight) -> Linear | None:
    """What the heading loses by shot that won't go in; None where all of it surely will."""
    weighed = _weighed(known)
    if not weighed:
        return None
    excesses = [_excess(known, places) for places in (weighed, weighed[-1:])]
    worst = max(excesses, key=lambda excess: _expected(known, excess))
    if _expected(known, worst) < _NOT_WORTH_SAYING_G:
        return None
    slope = lands_per_g(known, _layer(known, weighed[-1]))
    return _as_line(known, worst, slope)


def _weighed(known: KnownWeight) -> list[int]:
    """Places of the layers to come, from the last one back, that are poured by weight."""
    found: list[int] = []
    for place in reversed(known.course.still_to_pour):
        if _layer(known, place).by != "weight":
            break
        found.insert(0, place)
    return found


def _layer(known: KnownWeight, place: int) -> LayerCourse:
    layer = known.course.stages[place]
    assert isinstance(layer, LayerCourse)
    return layer


def _excess(known: KnownWeight, places: list[int]) -> Linear:
    """Shot asked for in those layers less what goes into them tapped down."""
    asked = [shot_asked_for(known, place) for place in places]
    rooms = [room(known, p, _layer(known, p).fill.packing.tapped_gain) for p in places]
    full = total(rooms)
    less = Linear(
        -full.constant,
        {place: -weight for place, weight in full.known.items()},
        {key: -weight for key, weight in full.fresh.items()},
    )
    return total([*asked, less])


def _expected(known: KnownWeight, excess: Linear) -> float:
    sigma = math.sqrt(max(0.0, covariance(known, excess, excess)))
    return cut_off(mean(known, excess), sigma)[1]


def _as_line(known: KnownWeight, excess: Linear, slope: float) -> Linear:
    mu, variance = mean(known, excess), max(0.0, covariance(known, excess, excess))
    above, first, second = cut_off(mu, math.sqrt(variance))
    scatter = math.sqrt(max(0.0, second - above * above * variance))
    fresh = {key: -slope * above * weight for key, weight in excess.fresh.items()}
    fresh[f"{known.course.key}/left out"] = slope * scatter
    return Linear(
        constant=-slope * (first - above * mu + above * excess.constant),
        known={place: -slope * above * weight for place, weight in excess.known.items()},
        fresh=fresh,
    )
