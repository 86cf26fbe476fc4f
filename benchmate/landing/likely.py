"""Verdicts from what a scale really knows: the probability of lying inside the tolerance."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from benchmate.landing.verdict import NEAR_FRACTION, Judgement, Verdict, beyond, check_plan
from benchmate.landing.words import Say, capital, grams, light_or_heavy, percent, plainly, step_for
from benchmate.reckon.weight.conformity import probability_inside
from benchmate.reckon.weight.student import coverage_factor
from benchmate.reckon.weight.weighing import Scale, combine, net_terms


@dataclass(frozen=True, slots=True)
class Thresholds:
    """When a probability becomes a verdict.

    `inside` 0.95 and `outside` 0.05: a piece is called good, or off, when at most one such call
    in twenty would be wrong at the limit itself (the customary 95 % of JCGM 106, 8.3); a stricter
    pair makes a shop scale undecided too often, a laxer one sends out pieces that don't match.
    `near_fraction`: see `verdict.NEAR_FRACTION`.
    """

    inside: float = 0.95
    outside: float = 0.05
    near_fraction: float = NEAR_FRACTION

    def __post_init__(self) -> None:
        if not 0.0 < self.outside < self.inside < 1.0:
            raise ValueError(
                f"A verdict's thresholds are {self.outside:g} and {self.inside:g}; "
                "they must be shares, the first below the second."
            )


@dataclass(frozen=True, slots=True)
class Remedy:
    """Something that would weigh better, in words, and the standard uncertainty it would give."""

    words: str
    u_g: float
    dof: float = math.inf


@dataclass(frozen=True, slots=True)
class Sight:
    """What a scale can make of a tolerance.

    Below `smallest_g` no reading of it can prove a piece good. `offered_g` is a tolerance it can
    see well: the middle half of it is proven by one weighing. `sentence` is empty when the
    tolerance asked about can be seen.
    """

    seen: bool
    smallest_g: float
    offered_g: float
    sentence: str = ""


def judge(
    value_g: float,
    u_g: float,
    plan_g: float,
    tolerance_g: float,
    dof: float = math.inf,
    thresholds: Thresholds = Thresholds(),
    remedies: Sequence[Remedy] = (),
    say: Say = grams,
) -> Judgement:
    """Judge a weighing by the probability that the true weight is inside the tolerance.

    `u_g` and `dof` are those of the net weight. A reading inside the limits that isn't surely
    inside is *near the edge* where the scale can see the tolerance at all; what is left, a reading
    barely outside or a scale too coarse, is *can't tell*. With `u_g` = 0 it is `simple_verdict`
    with a division of nothing. `remedies` are tried in order for what would settle it. Raises
    ValueError for a plan, tolerance or uncertainty that isn't a finite number.
    """
    check_plan(plan_g, tolerance_g)
    difference = value_g - plan_g
    probability = _probability(difference, u_g, tolerance_g, dof)
    in_doubt = _decided(difference, u_g, tolerance_g, dof, thresholds) is None
    verdict = _verdict(difference, u_g, tolerance_g, dof, thresholds)
    settle = _settle(difference, tolerance_g, thresholds, remedies, say) if in_doubt else ""
    step = step_for(u_g)
    lines = (
        f"{say(value_g, step)} ± {say(coverage_factor(0.9545, dof) * u_g, step)} against "
        f"{say(plan_g, step)} ± {say(tolerance_g, step)}: "
        f"{light_or_heavy(difference, step, say)}.",
        f"{capital(percent(probability))} sure it is within tolerance."
        + (f" {settle}" if settle else ""),
    )
    return Judgement(verdict, difference, tolerance_g, lines, probability, settle, step)


def tolerance_seen_by(
    scale: Scale,
    tolerance_g: float | None = None,
    readings: int = 1,
    thresholds: Thresholds = Thresholds(),
    say: Say = grams,
) -> Sight:
    """Whether a net weight from this scale can ever prove a piece inside the tolerance.

    Said once, when a job starts: afterwards its verdicts are judged against the offered tolerance
    (see `judged_tolerance`) rather than saying "too close to call" all day. Without a
    tolerance to ask about, `seen` is True and only the numbers matter.
    """
    budget = combine(net_terms(scale, readings, readings))
    smallest = coverage_factor(thresholds.inside, budget.dof) * budget.u
    offered = math.ceil(2.0 * smallest / scale.division_g - 1e-9) * scale.division_g
    if tolerance_g is None or tolerance_g >= smallest:
        return Sight(True, smallest, offered)
    step = scale.division_g
    sentence = (
        f"This scale can never show that a piece is within ± {say(tolerance_g, 0.1)}: a net "
        f"weight on it is only sure to ± {say(smallest, 0.1)}. It can see "
        f"± {say(offered, step)}; take that as the tolerance here, or use a finer scale."
    )
    return Sight(False, smallest, offered, sentence)


def remedies_for(scale: Scale, finer: Mapping[str, Scale] | None = None) -> tuple[Remedy, ...]:
    """What would weigh better than one reading: three of them, then each finer scale by name."""
    thrice = combine(net_terms(scale, 3, 3))
    found = [Remedy("Weighing three times", thrice.u, thrice.dof)]
    for name, other in (finer or {}).items():
        once = combine(net_terms(other, 1, 1))
        found.append(Remedy(f"The {name}", once.u, once.dof))
    return tuple(found)


def _probability(difference_g: float, u_g: float, tolerance_g: float, dof: float) -> float:
    """Probability of lying inside; on a limit itself nothing uncertain counts as inside."""
    if u_g == 0.0:
        return 0.0 if beyond(difference_g, tolerance_g) else 1.0
    return probability_inside(difference_g, u_g, -tolerance_g, tolerance_g, dof)


def _decided(
    difference_g: float, u_g: float, tolerance_g: float, dof: float, thresholds: Thresholds
) -> bool | None:
    """True: surely inside. False: surely out. None: in doubt.

    Out is asked of the nearer limit alone: with a scale far coarser than the tolerance the piece
    is unlikely to be inside whatever it reads, but that is the scale's doing, not the piece's.
    """
    if _probability(difference_g, u_g, tolerance_g, dof) >= thresholds.inside:
        return True
    if not beyond(difference_g, tolerance_g):
        return None
    short_of_limit = probability_inside(abs(difference_g), u_g, None, tolerance_g, dof)
    return False if short_of_limit <= thresholds.outside else None


def _verdict(
    difference_g: float, u_g: float, tolerance_g: float, dof: float, thresholds: Thresholds
) -> Verdict:
    decided = _decided(difference_g, u_g, tolerance_g, dof, thresholds)
    if decided:
        near = beyond(difference_g, thresholds.near_fraction * tolerance_g)
        return Verdict.NEAR_THE_EDGE if near else Verdict.ON_PLAN
    if decided is False:
        return Verdict.OFF_PLAN
    can_see = _probability(0.0, u_g, tolerance_g, dof) >= thresholds.inside
    reads_inside = not beyond(difference_g, tolerance_g)
    return Verdict.NEAR_THE_EDGE if can_see and reads_inside else Verdict.CANT_TELL


def _settle(
    difference_g: float,
    tolerance_g: float,
    thresholds: Thresholds,
    remedies: Sequence[Remedy],
    say: Say,
) -> str:
    """Which remedy would decide, should it read the same; the first one named is the cheapest."""
    for remedy in remedies:
        if _decided(difference_g, remedy.u_g, tolerance_g, remedy.dof, thresholds) is not None:
            return f"{remedy.words} would settle it."
    if not remedies:
        return ""
    finest = min(remedies, key=lambda remedy: remedy.u_g)
    if _probability(0.0, finest.u_g, tolerance_g, finest.dof) < thresholds.inside:
        return f"No scale here can see ± {plainly(tolerance_g, say)}: yours to decide."
    return "It lies too close to the limit for any scale here: yours to decide."
