"""What a scale knows: a net weight and how sure it is.

Source: the Guide to the expression of uncertainty in measurement (GUM, JCGM 100): rounding of a
digital reading F.2.2.1, combination 5.1.2 and 5.2.2, effective degrees of freedom G.4.1,
expanded uncertainty G.3.2. The degrees of freedom are used as they come out, not cut to a whole
number.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from benchmate.reckon.weight.student import coverage_factor


@dataclass(frozen=True, slots=True)
class Scale:
    """What is known of a scale, in g.

    `division_g` is the smallest step it shows. `repeatability_g` is the standard deviation of one
    reading, found from `repeatability_n` weighings of the same load; without that number it is
    taken as known for certain. `linearity_g` is the bound (plus or minus) on the error of a net
    weight, counted once. None means unknown, and an unknown term is left out.
    """

    division_g: float
    repeatability_g: float | None = None
    repeatability_n: int | None = None
    linearity_g: float | None = None

    def __post_init__(self) -> None:
        if not 0.0 < self.division_g < math.inf:
            raise ValueError(
                f"The scale's division is {self.division_g:g} g; it must be above zero."
            )
        _check_not_negative("repeatability", self.repeatability_g)
        _check_not_negative("linearity", self.linearity_g)
        if self.repeatability_n is not None and self.repeatability_n < 2:
            raise ValueError(
                f"A repeatability from {self.repeatability_n} weighing(s) says nothing; "
                "weigh the same load at least twice, better ten times."
            )

    @property
    def rounding_g(self) -> float:
        """Standard uncertainty of one reading from rounding to the division alone."""
        return self.division_g / (2.0 * math.sqrt(3.0))

    @property
    def repeatability_dof(self) -> float:
        """Degrees of freedom behind the repeatability."""
        return math.inf if self.repeatability_n is None else self.repeatability_n - 1.0

    def reading_variance_g2(self, readings: int) -> float:
        """Variance of the mean of `readings` of one load: rounding and repeatability.

        Rounding isn't lessened by repeating, since the same load is rounded the same way.
        """
        repeat_g = self.repeatability_g or 0.0
        return self.rounding_g**2 + repeat_g**2 / readings


@dataclass(frozen=True, slots=True)
class Term:
    """One source of uncertainty: its standard uncertainty, how far it counts, and how well known.

    The share in the result is `sensitivity` times `u`; `dof` is infinite for a bound that is
    simply known.
    """

    name: str
    u: float
    dof: float = math.inf
    sensitivity: float = 1.0

    @property
    def share(self) -> float:
        """What this term alone would make the result's standard uncertainty."""
        return abs(self.sensitivity) * self.u


@dataclass(frozen=True, slots=True)
class Combined:
    """A combined standard uncertainty and its effective degrees of freedom."""

    u: float
    dof: float

    def expanded(self, p: float = 0.9545) -> tuple[float, float]:
        """The coverage factor k and the expanded uncertainty U = k u that covers a share `p`."""
        k = coverage_factor(p, self.dof)
        return k, k * self.u


@dataclass(frozen=True, slots=True)
class Net:
    """A net weight with its standard (`u_g`) and expanded (`U_g` = `k` times `u_g`) uncertainty."""

    net_g: float
    u_g: float
    k: float
    U_g: float
    dof: float
    terms: tuple[Term, ...] = ()


def half_width(bound: float) -> float:
    """Standard uncertainty of a value known only to lie within plus or minus `bound`, evenly."""
    return bound / math.sqrt(3.0)


def combine(terms: Sequence[Term]) -> Combined:
    """Root sum of squares of independent terms, with Welch-Satterthwaite degrees of freedom.

    Source: GUM 5.1.2 and G.4.1. Nothing uncertain gives u = 0 with infinite degrees of freedom.
    """
    u = math.hypot(*(term.share for term in terms))
    if u == 0.0:
        return Combined(0.0, math.inf)
    doubt = math.fsum((term.share / u) ** 4 / term.dof for term in terms)
    return Combined(u, 1.0 / doubt if doubt > 0.0 else math.inf)


def net_terms(scale: Scale, gross_n: int, tare_n: int) -> tuple[Term, ...]:
    """The uncertainty budget of one net weight from `gross_n` and `tare_n` readings."""
    rounding = scale.rounding_g
    terms = [Term("rounding of gross", rounding), Term("rounding of tare", rounding)]
    if scale.repeatability_g is not None:
        u_g = scale.repeatability_g * math.sqrt(1.0 / gross_n + 1.0 / tare_n)
        terms.append(Term("repeatability", u_g, scale.repeatability_dof))
    if scale.linearity_g is not None:
        terms.append(Term("linearity", half_width(scale.linearity_g)))
    return tuple(terms)


def net_weight(
    gross: Sequence[float], tare: Sequence[float], scale: Scale, p: float = 0.9545
) -> Net:
    """The net weight of a load from one or more readings of gross and of tare, all in g.

    A zeroed scale is a tare reading of zero, and that reading is rounded like any other. Raises
    ValueError when there is no reading, or one that isn't a finite number.
    """
    _check_readings("gross", gross)
    _check_readings("tare", tare)
    terms = net_terms(scale, len(gross), len(tare))
    combined = combine(terms)
    k, expanded = combined.expanded(p)
    net_g = fmean(gross) - fmean(tare)
    return Net(net_g, combined.u, k, expanded, combined.dof, terms)


def shared_reading_covariance(scale: Scale, readings: int = 1, *, opposite: bool = False) -> float:
    """Covariance in g² of two net weights that use the same reading (GUM F.1.2.3).

    Two nets with one common tare err together, so their sum is worse and their difference better
    known than separate weighings would make it. With `opposite` the reading is the gross of one
    net and the tare of the other (one layer's end, the next layer's beginning), and they err
    against each other. Linearity is left out: as a bound on each net it isn't shared by a reading.
    """
    if readings < 1:
        raise ValueError("Two net weights can't share a load that was never read.")
    variance = scale.reading_variance_g2(readings)
    return -variance if opposite else variance


def _check_not_negative(what: str, value: float | None) -> None:
    if value is not None and not 0.0 <= value < math.inf:
        raise ValueError(f"The scale's {what} is {value:g} g; it can't be negative or endless.")


def _check_readings(what: str, readings: Sequence[float]) -> None:
    if not readings:
        raise ValueError(f"There is no {what} reading; give at least one.")
    for reading in readings:
        if not math.isfinite(reading):
            raise ValueError(f"A {what} reading is {reading}; it must be a number.")
