"""A check weight on the scale: has it moved?"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from benchmate.landing.words import Say, grams
from benchmate.reckon.weight.student import coverage_factor
from benchmate.reckon.weight.weighing import Scale, Term, combine, half_width

SURE = 0.99
"""A sound scale is suspected once in a hundred checks; at the customary 95 % a weekly check would
cry wolf two or three times a year, and would soon not be believed."""


@dataclass(frozen=True, slots=True)
class ScaleCheck:
    """What a check weight showed, in g. `caution` is empty when the scale may be trusted.

    `error_g` is reading less nominal and may be up to `limit_g`; `moved_g` is the change since the
    last check, None without one, and may be up to `moved_limit_g`.
    """

    error_g: float
    limit_g: float
    moved_g: float | None
    moved_limit_g: float
    caution: str

    @property
    def sound(self) -> bool:
        """Whether nothing speaks against the scale."""
        return not self.caution


def check_weight(
    scale: Scale,
    nominal_g: float,
    readings: float | Sequence[float],
    last_g: float | None = None,
    weight_u_g: float = 0.0,
    say: Say = grams,
) -> ScaleCheck:
    """Compare a known weight with what the scale shows of it.

    The scale's whole budget and the weight's own uncertainty (`weight_u_g`) are allowed against
    the nominal value. Against the last check (`last_g`, its mean reading) only rounding and
    repeatability are, since the same load meets the same error of linearity. Raises ValueError
    without a reading.
    """
    shown = [readings] if isinstance(readings, int | float) else list(readings)
    if not shown or not all(math.isfinite(reading) for reading in shown):
        raise ValueError("A check needs at least one reading, and each must be a number.")
    error = fmean(shown) - nominal_g
    moved = None if last_g is None else fmean(shown) - last_g
    limit = _limit(_reading_terms(scale, len(shown)) + _standing_terms(scale, weight_u_g))
    moved_limit = _limit(_reading_terms(scale, len(shown)) + _reading_terms(scale, len(shown)))
    caution = _caution(scale, nominal_g, error, limit, moved, moved_limit, say)
    return ScaleCheck(error, limit, moved, moved_limit, caution)


LATE = 3
"""The last checks, held against all before them."""


def drifted(scale: Scale, nominal_g: float, readings: Sequence[float], say: Say = grams) -> str:
    """A drift that single checks are too coarse to show; empty where the scale has stood still.

    `readings`: what the checks of one known weight showed, oldest first. The work hides such a
    drift: it is steered to the scale that drifts, and every weighing agrees with the plan.
    """
    before, late = readings[:-LATE], readings[-LATE:]
    if len(before) < LATE:
        return ""
    moved = fmean(late) - fmean(before)
    each = _limit(_reading_terms(scale, 1))
    if abs(moved) <= each * math.sqrt(1.0 / len(late) + 1.0 / len(before)):
        return ""
    more, so = ("more", "light") if moved > 0.0 else ("less", "heavy")
    return (
        f"The scale drifts: the last {LATE} checks of {say(nominal_g, 1.0)} read "
        f"{say(abs(moved), 0.1)} {more} than the {len(before)} before. No weighing shows it, since "
        f"the work is steered to this scale: pieces of that weight come out so much {so}. Level "
        "it, let it warm up, or have it adjusted."
    )


def _reading_terms(scale: Scale, readings: int) -> list[Term]:
    terms = [Term("rounding", scale.rounding_g)]
    if scale.repeatability_g is not None:
        u_g = scale.repeatability_g / math.sqrt(readings)
        terms.append(Term("repeatability", u_g, scale.repeatability_dof))
    return terms


def _standing_terms(scale: Scale, weight_u_g: float) -> list[Term]:
    linearity = half_width(scale.linearity_g or 0.0)
    return [Term("linearity", linearity), Term("check weight", weight_u_g)]


def check_u_g(scale: Scale) -> float:
    """Standard uncertainty of what a scale shows once of a known weight."""
    return combine(_reading_terms(scale, 1) + _standing_terms(scale, 0.0)).u


def _limit(terms: list[Term]) -> float:
    budget = combine(terms)
    return coverage_factor(SURE, budget.dof) * budget.u


def _caution(
    scale: Scale,
    nominal_g: float,
    error_g: float,
    limit_g: float,
    moved_g: float | None,
    moved_limit_g: float,
    say: Say,
) -> str:
    step = scale.division_g
    if abs(error_g) > limit_g:
        return (
            f"The scale shows {say(nominal_g + error_g, step)} for a weight of "
            f"{say(nominal_g, step)}; at most {say(limit_g, 0.1)} off was to be expected. "
            "Level it, let it warm up, and check again before you trust it."
        )
    if moved_g is not None and abs(moved_g) > moved_limit_g:
        return (
            f"The check weight reads {say(abs(moved_g), step)} "
            f"{'more' if moved_g > 0.0 else 'less'} than last time: the scale has moved. "
            "Weigh again what has to match."
        )
    return ""
