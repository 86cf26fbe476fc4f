"""The heading: the finished weight a piece is heading for, and how sure that is."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from benchmate.landing.adjusting.overfull import left_out
from benchmate.landing.ahead import STANDING, covariance, drift, mean, terms, total
from benchmate.landing.course import Linear, PieceCourse, Weight
from benchmate.landing.follow import KnownWeight, follow_all
from benchmate.landing.pour import SHOT
from benchmate.reckon.weight.student import normal_quantile

SURE = 0.95
"""Share of finished pieces that the interval of a heading should hold."""


@dataclass(frozen=True, slots=True)
class Contribution:
    """What one stage brings to the heading.

    `share` is its part in the variance of the heading, correlations shared out evenly; it is below
    zero for a stage that takes back doubt (a layer that makes up for the one below it). The
    shares add up to one.
    """

    name: str
    g: float
    u_g: float
    share: float


@dataclass(frozen=True, slots=True)
class WillWeigh:
    """A piece's finished weight as it looks now: mean, standard uncertainty, 95 % interval, in g.

    `shared` says how far causes that move several pieces alike move this one (in g for one
    standard deviation); `difference` needs it.
    """

    piece: str
    mass_g: float
    u_g: float
    low_g: float
    high_g: float
    contributions: tuple[Contribution, ...]
    shared: Mapping[str, float] = field(default_factory=dict)
    address: str = ""

    @property
    def expanded_g(self) -> float:
        """Half the width of the 95 % interval."""
        return (self.high_g - self.low_g) / 2.0


def all_will_weigh(courses: Sequence[PieceCourse]) -> tuple[WillWeigh, ...]:
    """The heading of every piece of a set; pieces filled with the same shot teach each other."""
    return tuple(will_weigh_of(known) for known in follow_all(courses))


def will_weigh(course: PieceCourse) -> WillWeigh:
    """The heading of one piece on its own."""
    return all_will_weigh((course,))[0]


def will_weigh_of(known: KnownWeight) -> WillWeigh:
    """The heading from what is known of a piece, its stages still to come as planned."""
    named = _named(known)
    whole = total([term for _, term in named])
    crossed = known.gauss.against(whole.known)
    variance = _covariance(whole, whole.fresh, crossed)
    contributions = tuple(
        _contribution(known, name, term, whole, crossed, variance) for name, term in named
    )
    u_g = math.sqrt(max(0.0, variance))
    mass_g = known.gauss.expect(whole.known) + whole.constant
    reach = normal_quantile((1.0 + SURE) / 2.0) * u_g
    shared = _shared(known, whole, crossed)
    return WillWeigh(
        known.course.piece,
        mass_g,
        u_g,
        mass_g - reach,
        mass_g + reach,
        contributions,
        shared,
        known.course.address,
    )


def landing(known: KnownWeight) -> Weight:
    """Mean and doubt of the heading alone, without saying where they come from."""
    whole = total([term for _, term in _named(known)])
    return Weight(mean(known, whole), math.sqrt(max(0.0, covariance(known, whole, whole))))


def difference(one: WillWeigh, other: WillWeigh) -> Weight:
    """How much heavier `one` will be than `other`: what moves both alike falls out."""
    common = sum(g * other.shared.get(cause, 0.0) for cause, g in one.shared.items())
    variance = one.u_g**2 + other.u_g**2 - 2.0 * common
    return Weight(one.mass_g - other.mass_g, math.sqrt(max(0.0, variance)))


def _named(known: KnownWeight) -> list[tuple[str, Linear]]:
    """Everything that makes up the finished weight, by name."""
    stages = known.course.stages
    named = [(_standing(known), STANDING)]
    named += [(stages[place].name, term) for place, term in terms(known)]
    missing = left_out(known)
    if missing is not None:
        named.append(("shot that may not go in", missing))
    return named + drift(known)


def _standing(known: KnownWeight) -> str:
    return known.course.stages[known.passed[-1].place].name if known.passed else "blank"


def _covariance(term: Linear, fresh: Mapping[str, float], crossed: Sequence[float]) -> float:
    """Covariance of a term with the whole, of which the fresh scatter and the rest are given."""
    carried = sum(weight * crossed[place] for place, weight in term.known.items())
    return carried + sum(weight * fresh.get(key, 0.0) for key, weight in term.fresh.items())


def _contribution(
    known: KnownWeight,
    name: str,
    term: Linear,
    whole: Linear,
    crossed: Sequence[float],
    variance: float,
) -> Contribution:
    g = known.gauss.expect(term.known) + term.constant
    own = known.gauss.variance(term.known) + sum(w * w for w in term.fresh.values())
    share = _covariance(term, whole.fresh, crossed) / variance if variance > 0.0 else 0.0
    return Contribution(name, g, math.sqrt(own), share)


def _shared(known: KnownWeight, whole: Linear, crossed: Sequence[float]) -> dict[str, float]:
    """Causes common to pieces: fresh ones that aren't this piece's own, and the shot's packing."""
    own = f"{known.course.key}/"
    found = {key: g for key, g in whole.fresh.items() if not key.startswith(own) and g}
    spread = known.gauss.cov[SHOT][SHOT]
    if known.fill is not None and spread > 0.0:
        found[f"shot {known.fill.shot}"] = crossed[SHOT] / math.sqrt(spread)
    return found
