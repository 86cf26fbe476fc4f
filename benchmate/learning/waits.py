"""How long a clock's wait really takes in this shop, from what was found when it was tested.

A test says only that it was not ready by then, or ready by then: what it took lies between the two
(interval-censored). Times count as shares of the label's, in the label's air, so that what the
weather did is out of them. Their logarithms are taken as normal about the shop's own mean, with
the label's as the prior; one answer in many says nothing (a slip), so that none can bend it far.

Source: the likelihood of interval-censored data (Turnbull 1976; the parametric form is in every
book on survival), here on a grid; checked against a general scientific library.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import exp, inf, log

from benchmate.reckon.weight.student import normal_cdf

MEANS = tuple(n * 0.04 for n in range(-35, 46))
SPREADS = (0.05, 0.075, 0.11, 0.16, 0.24, 0.36)
LABEL_SD = 0.35
"""How far a shop's wait may be from its label's, as a standard deviation of the logarithm; its own
spread from one time to the next is about USUAL_SPREAD. Guesses without a source."""
USUAL_SPREAD, SPREAD_SD = 0.15, 0.5
SLIP = 0.03
MOSTLY, NEARLY_ALWAYS = 0.8, 0.95
"""Shares of such waits that are over by a longer time that is taken, a shorter one that is
offered."""
LIKELY_LONGER = 0.6
"""How likely this shop's mean must be beyond the label's time before a longer one is taken."""
LOOK_AGAIN = 1.25
"""Where nobody has seen yet when it was ready: so much later than it was last found not to be."""
SOONER_FROM = 3
"""Waits that were seen to be over before a shorter time is offered, each by that time."""
SHORTEST, LONGEST = 0.5, 3.0
"""No time is offered below half the label's, or taken beyond three times as long."""
WORTH_IT = 0.05
"""Share of the label's time below which nobody would act otherwise."""


@dataclass(frozen=True, slots=True)
class Span:
    """Of one wait: not ready at `low` (0: never tested too early), ready at `high` (infinite: not
    seen yet), in shares of the label's time."""

    low: float
    high: float = inf


@dataclass(frozen=True, slots=True)
class Wait:
    """What `n` waits teach: `longer` is to be taken at once (1: as the label says), `sooner` may be
    offered (1: nothing)."""

    longer: float
    sooner: float
    n: int


NO_WAIT = Wait(1.0, 1.0, 0)


def likelihood(span: Span, mean: float, spread: float, slip: float = SLIP) -> float:
    """How likely a wait lies in a span, where logarithms of waits are normal about `mean`."""
    below = normal_cdf((log(span.high) - mean) / spread) if span.high < inf else 1.0
    too_early = normal_cdf((log(span.low) - mean) / spread) if span.low > 0.0 else 0.0
    return (1.0 - slip) * max(0.0, below - too_early) + slip


@lru_cache(maxsize=256)
def learned_wait(spans: tuple[Span, ...]) -> Wait:
    """What these waits teach, in any order. Safe side first: longer as soon as it is likely, but no
    longer than it was once seen to take; sooner only where waits were seen to be over by then."""
    if not spans:
        return NO_WAIT
    weights = _weights(spans)
    over = sorted(s.high for s in spans if s.high < inf)
    late = sum(w for (mean, _), w in weights.items() if mean > 0.0)
    longer = sooner = 1.0
    if any(s.low >= 1.0 - WORTH_IT for s in spans) and late > LIKELY_LONGER:
        latest = max(s.high if s.high < inf else s.low * LOOK_AGAIN for s in spans)
        longer = min(_over_by(weights, MOSTLY), latest, LONGEST)
    elif len(over) >= SOONER_FROM:
        sooner = max(_over_by(weights, NEARLY_ALWAYS), over[SOONER_FROM - 1], SHORTEST)
    return Wait(
        longer if longer > 1.0 + WORTH_IT else 1.0,
        sooner if sooner < 1.0 - WORTH_IT else 1.0,
        len(spans),
    )


def _weights(spans: Sequence[Span]) -> dict[tuple[float, float], float]:
    """Probability of each mean and spread on the grid."""
    weights: dict[tuple[float, float], float] = {}
    for mean in MEANS:
        for spread in SPREADS:
            off = (mean / LABEL_SD) ** 2 + (log(spread / USUAL_SPREAD) / SPREAD_SD) ** 2
            weight = exp(-0.5 * off)
            for span in spans:
                weight *= likelihood(span, mean, spread)
            weights[mean, spread] = weight
    total = sum(weights.values())
    return {at: weight / total for at, weight in weights.items()}


def _over_by(weights: dict[tuple[float, float], float], share: float) -> float:
    """The time by which such a share of waits is over."""
    low, high = MEANS[0], MEANS[-1]
    for _ in range(20):
        middle = (low + high) / 2.0
        over = sum(w * normal_cdf((middle - m) / s) for (m, s), w in weights.items())
        low, high = (middle, high) if over < share else (low, middle)
    return exp(high)
