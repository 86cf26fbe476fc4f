"""Two ways of doing a thing compared fairly: two glues, two shots, two hands.

With few results each way the honest answer is most often "too few to say".

Source: Welch's t interval for the difference of two means with unequal spreads; checked against a
general scientific library.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import ceil, hypot, inf, sqrt

from benchmate.charts.chart import LARGEST_VALUE
from benchmate.charts.summary import mean, standard_deviation
from benchmate.reckon.weight.student import coverage_factor, normal_quantile, student_quantile

FEWEST = 3
"""Results each way below which nothing is said: two give no idea of the spread."""
CONFIDENCE = 0.95
POWER = 0.8
"""How often so many results should show a difference that is there."""
_MOST_ASKED = 200
"""Nobody makes more pieces than this to settle a question, so no larger number is named."""


class Outcome(StrEnum):
    """What can be said of two ways."""

    DIFFER = "differ"
    ALIKE = "alike"
    TOO_FEW = "too few to say"


@dataclass(frozen=True, slots=True)
class Comparison:
    """The second way less the first, with its 95 % interval.

    `lower`, `upper` and `dof` are None where no interval can be given. `needed` is how many results
    each way would settle the question, None where that isn't open or would take too many.
    """

    n_a: int
    n_b: int
    mean_a: float | None
    mean_b: float | None
    difference: float | None
    lower: float | None
    upper: float | None
    dof: float | None
    outcome: Outcome
    needed: int | None
    sentence: str


@dataclass(frozen=True, slots=True)
class Words:
    """How the sentence names the two ways and the unit: ("fine shot", "coarse shot", "g")."""

    a: str = "the first way"
    b: str = "the second way"
    unit: str = ""


def compare(
    a_values: Sequence[float],
    b_values: Sequence[float],
    *,
    matters: float | None = None,
    words: Words = Words(),
) -> Comparison:
    """Compare results of two ways; one result a job, or what one job repeats counts too much.

    `matters` is the smallest difference that would change what the maker does; None takes the
    ordinary spread from one result to the next. The ways differ when the interval leaves out zero,
    are alike when it lies within `matters` of zero, and otherwise there are too few to say. A
    difference that lies within a given `matters` doesn't count, however sure it is. Raises
    ValueError for a result that isn't finite or a `matters` not above zero.
    """
    if not all(abs(value) <= LARGEST_VALUE for value in (*a_values, *b_values)):
        raise ValueError("Two ways can't be compared by a result that isn't finite.")
    if matters is not None and not 0.0 < matters <= LARGEST_VALUE:
        raise ValueError(f"The difference that matters is {matters:g}; it must be above zero.")
    if min(len(a_values), len(b_values)) < FEWEST:
        return _without_interval(a_values, b_values, _short_sentence(a_values, b_values, words))
    spread_a, spread_b = standard_deviation(a_values), standard_deviation(b_values)
    if spread_a == 0.0 and spread_b == 0.0:
        return _without_interval(
            a_values,
            b_values,
            f"Too few to say: neither the results of {words.a} nor those of {words.b} vary, "
            "so their spread isn't known.",
        )
    return _with_interval(a_values, b_values, (spread_a, spread_b), matters, words)


def _with_interval(
    a_values: Sequence[float],
    b_values: Sequence[float],
    spreads: tuple[float, float],
    matters: float | None,
    words: Words,
) -> Comparison:
    # Every square is of a ratio to the larger spread, so that none under- or overflows.
    top = max(spreads)
    part_a = (spreads[0] / top) ** 2 / len(a_values)
    part_b = (spreads[1] / top) ** 2 / len(b_values)
    error = top * sqrt(part_a + part_b)
    share_a, share_b = part_a / (part_a + part_b), part_b / (part_a + part_b)
    dof = 1.0 / (share_a**2 / (len(a_values) - 1) + share_b**2 / (len(b_values) - 1))
    reach = coverage_factor(CONFIDENCE, dof) * error
    difference = mean(b_values) - mean(a_values)
    lower, upper = difference - reach, difference + reach
    limit = matters or hypot(*spreads) / sqrt(2.0)
    outcome = _outcome(lower, upper, limit, is_given=matters is not None)
    needed = _needed(spreads, limit) if outcome is Outcome.TOO_FEW else None
    return Comparison(
        n_a=len(a_values),
        n_b=len(b_values),
        mean_a=mean(a_values),
        mean_b=mean(b_values),
        difference=difference,
        lower=lower,
        upper=upper,
        dof=dof,
        outcome=outcome,
        needed=needed,
        sentence=_sentence(outcome, difference, (lower, upper), limit, needed, words),
    )


def _outcome(lower: float, upper: float, limit: float, *, is_given: bool) -> Outcome:
    """A difference too small for a limit that the maker gave is none, however sure it is."""
    leaves_out_zero = lower > 0.0 or upper < 0.0
    is_small = -limit <= lower and upper <= limit
    if leaves_out_zero and not (is_small and is_given):
        return Outcome.DIFFER
    return Outcome.ALIKE if is_small else Outcome.TOO_FEW


def _needed(spreads: tuple[float, float], limit: float) -> int | None:
    """Results each way that show a difference of `limit` four times in five, spreads as they are.

    An interval just as wide as the difference would show it only every second time. Source: the
    usual sample size for two means, the quantile of the confidence and that of the power added;
    checked against the noncentral t. The normal quantiles give a number that is never too large,
    from which few steps are left.
    """
    ratio = hypot(*spreads) / limit
    if ratio > _MOST_ASKED:
        return None
    start = ((coverage_factor(CONFIDENCE, inf) + normal_quantile(POWER)) * ratio) ** 2
    for count in range(max(FEWEST, ceil(start)), _MOST_ASKED + 1):
        dof = 2.0 * (count - 1)
        sure = coverage_factor(CONFIDENCE, dof) + student_quantile(POWER, dof)
        if (sure * ratio) ** 2 <= count:
            return count
    return None


def _without_interval(
    a_values: Sequence[float], b_values: Sequence[float], sentence: str
) -> Comparison:
    mean_a = mean(a_values) if a_values else None
    mean_b = mean(b_values) if b_values else None
    difference = None if mean_a is None or mean_b is None else mean_b - mean_a
    return Comparison(
        len(a_values),
        len(b_values),
        mean_a,
        mean_b,
        difference,
        None,
        None,
        None,
        Outcome.TOO_FEW,
        None,
        sentence,
    )


def _short_sentence(a_values: Sequence[float], b_values: Sequence[float], words: Words) -> str:
    return (
        f"Too few to say: {len(a_values)} of {words.a} and {len(b_values)} of {words.b}; "
        f"at least {FEWEST} of each are needed."
    )


def _sentence(
    outcome: Outcome,
    difference: float,
    interval: tuple[float, float],
    limit: float,
    needed: int | None,
    words: Words,
) -> str:
    unit = f" {words.unit}" if words.unit else ""
    between = f"between {interval[0]:+.3g} and {interval[1]:+.3g}{unit}"
    if outcome is Outcome.DIFFER:
        more = "more" if difference > 0.0 else "less"
        return (
            f"{_capital(words.b)} gives {abs(difference):.3g}{unit} {more} than {words.a} "
            f"(with 95 % confidence {between})."
        )
    if outcome is Outcome.ALIKE:
        return f"No difference that matters: {words.b} against {words.a} is {between}."
    start = f"Too few to say: {words.b} against {words.a} may be anywhere {between}"
    if needed is None:
        return f"{start}."
    what = f"a difference of {limit:.3g}{unit}"
    return f"{start}; about {needed} of each would most likely show {what}."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
