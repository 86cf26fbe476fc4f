"""A weight that looks like a slip: the question, and what was likely meant instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchmate.job.deciding.weights import split_of
from benchmate.job.state.state import JobState, Running
from benchmate.job.weights.courses import Scales
from benchmate.landing.question import WeightQuestion
from benchmate.landing.words import Say, places_for
from benchmate.plan.plan import Step
from benchmate.quantities import TypedReading
from benchmate.refusal import Refused

AGAIN = "Weigh again, or confirm it."
FAR_WHOLE, FAR_GAIN = 2.0, 4.0
"""A piece half or twice as heavy as planned isn't that piece: no wood's density lies so far from
its table. A gain may be, where little is poured; four times is something else (no source)."""
FAR_TOLERANCES = 3.0


@dataclass(frozen=True)
class Typed:
    """What the maker typed: a weight, and with it perhaps a tare, a scale, what was added."""

    weight: str
    tare: str = ""
    scale: str = ""
    adding: str = ""
    piece: str = ""
    what: str = ""


@dataclass(frozen=True)
class Instead:
    """What was likely meant. `swapped` is the weigh point that got this one's reading, if any,
    and `swapped_g` what was read here, which belongs there."""

    typed: Typed
    said: str
    swapped: str = ""
    swapped_g: float = 0.0


class Doubtful(Refused):
    """A weight that looks like a slip. Recorded all the same when the maker says it stands."""

    def __init__(self, asked: WeightQuestion, instead: Instead | None = None) -> None:
        super().__init__(asked.sentence)
        self.question, self.instead = asked, instead


@dataclass(frozen=True)
class Gross:
    """What was read: the readings, their mean, the net weight, and the scale's division."""

    readings: tuple[TypedReading, ...]
    mean_g: float
    net_g: float
    division_g: float


def instead_of(
    job: JobState, step: Step, asked: WeightQuestion, typed: Typed, gross: Gross, scales: Scales
) -> Instead | None:
    """What to record in a slip's place; None where the question names none.

    The digits that were read are kept wherever they can be: another unit, a tare taken off.
    """
    if asked.suggested_g is None:
        return None
    if asked.slip in ("ounces for grams", "grams for ounces"):
        unit = "oz" if asked.slip.startswith("ounces") else "g"
        text = "; ".join(f"{reading.digits} {unit}" for reading in gross.readings)
        return Instead(replace(typed, weight=text), text)
    if asked.slip == "tare forgotten":
        tare = _grams(gross.net_g - asked.suggested_g, gross.division_g)
        return Instead(replace(typed, tare=tare), f"{typed.weight.strip()} less {tare}")
    shift_g = gross.mean_g - gross.net_g
    text = _grams(asked.suggested_g + shift_g, gross.division_g)
    return Instead(replace(typed, weight=text), text, asked.other, gross.net_g)


def _grams(value_g: float, division_g: float) -> str:
    return f"{value_g:.{places_for(division_g)}f} g"


def far_from_plan(step: Step, net_g: float, say: Say) -> WeightQuestion | None:
    """A weight that no wood and no pour explains, whatever the doubt of what was expected."""
    point = step.weigh
    if point is None or not point.plan_g or point.plan_g <= 0.0:
        return None
    most = FAR_WHOLE if point.kind == "whole" else FAR_GAIN
    off_g = abs(net_g - point.plan_g)
    inside = point.plan_g / most <= net_g <= point.plan_g * most
    if inside or off_g <= FAR_TOLERANCES * (point.tolerance_g or 0.0):
        return None
    more = "more" if net_g > point.plan_g else "less"
    said = f"{say(net_g, 1.0)} is far {more} than the plan's {say(point.plan_g, 1.0)}. {AGAIN}"
    return WeightQuestion(said, "unknown", None, impossible=False)


def wrong_material(
    step: Step, running: Sequence[Running], reading_g: float, typed: Typed, say: Say
) -> Doubtful | None:
    """A running reading that makes one material far more than planned: the other went in."""
    planned = {a.what: a.amount for a in step.amounts if a.unit == "g"}
    plan_g = planned.pop(typed.adding, 0.0)
    if not running or plan_g <= 0.0:
        return None
    gain_g, split = reading_g - running[-1].reading_g, split_of(tuple(running))
    so_far_g = split.get(typed.adding, 0.0) + gain_g
    if so_far_g <= FAR_GAIN * plan_g:
        return None
    said = f"That makes {say(so_far_g, 1.0)} {typed.adding}, where {say(plan_g, 1.0)} is planned."
    fits = (w for w, g in planned.items() if split.get(w, 0.0) + gain_g <= g * FAR_WHOLE)
    other = next(fits, "")
    found = WeightQuestion(
        f"{said} {f'Was it {other}?' if other else AGAIN}", "unknown", None, False
    )
    return Doubtful(
        found, Instead(replace(typed, adding=other), f"it as {other}") if other else None
    )


def finer_than_scale(typed: Typed, gross: Gross, scale: str, say: Say) -> Doubtful | None:
    """Digits that the scale doesn't show: it wasn't this scale, or it wasn't read."""
    step = gross.division_g
    odd = [r for r in gross.readings if not in_ounces(typed) and _between(r.value_g, step)]
    if not scale or not odd or step <= 0.0:
        return None
    said = f"{odd[0].text} shows more than {scale} can: it counts in steps of {say(step, step)}."
    found = WeightQuestion(f"{said} {AGAIN}", "unknown", None, impossible=False)
    if len(gross.readings) > 1:
        return Doubtful(found)
    near = _grams(round(odd[0].value_g / step) * step, step)
    return Doubtful(found, Instead(replace(typed, weight=near), near))


def _between(value_g: float, step_g: float) -> bool:
    """Whether a value lies between two steps of a display."""
    steps = value_g / step_g if step_g > 0.0 else 0.0
    return abs(steps - round(steps)) > 1e-6


def in_ounces(typed: Typed) -> bool:
    """Whether a weight was typed in ounces."""
    return typed.weight.strip().lower().endswith("oz")
