"""The four verdicts of a weighing, first form: the reading against the plan, nothing else.

It is all that can be said of a scale of which only the division is known. Where more is known,
`likely.judge` takes its place, and agrees with it as the doubt goes to nothing.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from benchmate.landing.words import Say, grams, light_or_heavy

NEAR_FRACTION = 2.0 / 3.0
"""Beyond two thirds of the tolerance a piece is still good, but one more slip of the same size
loses it: common practice, no source."""

TOUCH = 1e-9
"""Share of the numbers' size within which a value counts as lying on a limit; decimal limits
such as 850.3 − 0.6 aren't exact in binary."""


class Verdict(StrEnum):
    """What a weighing says of the plan."""

    ON_PLAN = "on plan"
    NEAR_THE_EDGE = "just inside"
    OFF_PLAN = "off plan"
    CANT_TELL = "too close to call"


@dataclass(frozen=True, slots=True)
class Judgement:
    """A verdict that explains itself.

    `difference_g` is the reading less the plan. `probability` of lying inside the tolerance is
    None in the first form. `lines` are the two lines shown on asking why; `settle` is what would
    settle a doubtful verdict, empty when nothing is in doubt.
    """

    verdict: Verdict
    difference_g: float
    tolerance_g: float
    lines: tuple[str, str]
    probability: float | None = None
    settle: str = ""
    step_g: float = 0.1

    def said(self, say: Say = grams) -> str:
        """The verdict as the screen says it: "8.6 g light", else the bare word."""
        if self.verdict is Verdict.OFF_PLAN:
            return light_or_heavy(self.difference_g, self.step_g, say)
        return self.verdict.value


def beyond(value_g: float, limit_g: float) -> bool:
    """Whether a difference lies beyond a limit; on the limit itself it doesn't."""
    return abs(value_g) > limit_g + TOUCH * max(abs(value_g), limit_g, 1e-9)


def check_plan(plan_g: float, tolerance_g: float) -> None:
    """Refuse, with ValueError, a plan that no weighing could be judged against."""
    if not math.isfinite(plan_g):
        raise ValueError(f"The planned weight is {plan_g}; it must be a number.")
    if not 0.0 <= tolerance_g < math.inf:
        raise ValueError(f"The tolerance is {tolerance_g:g} g; it can't be negative or endless.")


def simple_verdict(
    value_g: float,
    plan_g: float,
    tolerance_g: float,
    division_g: float,
    near_fraction: float = NEAR_FRACTION,
    say: Say = grams,
) -> Judgement:
    """Judge a reading by the plan's tolerance and the scale's division alone.

    A net weight is two rounded readings and may be a whole division out. So a scale whose
    division is wider than the tolerance can't tell, unless the reading is out by more than both
    together. Raises ValueError for a plan or tolerance that isn't a finite number.
    """
    check_plan(plan_g, tolerance_g)
    difference = value_g - plan_g
    verdict = _by_reading(difference, tolerance_g, division_g, near_fraction)
    advice = ""
    if verdict is Verdict.CANT_TELL:
        advice = _instead(tolerance_g, division_g, say)
    first = (
        f"{say(value_g, division_g)} against {say(plan_g, division_g)} "
        f"± {say(tolerance_g, min(division_g, 0.1))}: "
        f"{light_or_heavy(difference, division_g, say)}."
    )
    second = advice or f"Judged by the reading alone, in steps of {say(division_g, division_g)}."
    return Judgement(verdict, difference, tolerance_g, (first, second), None, advice, division_g)


def _by_reading(
    difference_g: float, tolerance_g: float, division_g: float, near_fraction: float
) -> Verdict:
    if beyond(division_g, tolerance_g):
        surely_out = beyond(difference_g, tolerance_g + division_g)
        return Verdict.OFF_PLAN if surely_out else Verdict.CANT_TELL
    if beyond(difference_g, tolerance_g):
        return Verdict.OFF_PLAN
    if beyond(difference_g, near_fraction * tolerance_g):
        return Verdict.NEAR_THE_EDGE
    return Verdict.ON_PLAN


def _instead(tolerance_g: float, division_g: float, say: Say) -> str:
    wider = f"widen the tolerance to ± {say(division_g, division_g)}"
    if tolerance_g <= 0.0:
        return f"No scale can show a tolerance of nothing: {wider}."
    finest = _common_division(tolerance_g)
    return (
        f"The scale's steps of {say(division_g, division_g)} are too coarse for "
        f"± {say(tolerance_g, 0.1)}: use one that shows {say(finest, finest)}, or {wider}."
    )


def _common_division(tolerance_g: float) -> float:
    """The coarsest usual division (1, 2, 5 and their tenfolds) not above a third of it."""
    wanted = tolerance_g / 3.0
    decade = 10.0 ** math.floor(math.log10(wanted) + TOUCH)
    return max(step * decade for step in (1.0, 2.0, 5.0) if step * decade <= wanted * (1 + TOUCH))
