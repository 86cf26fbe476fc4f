"""A weight that looks like a slip: the question, and what was likely meant instead."""

from __future__ import annotations

from dataclasses import dataclass, replace

from benchmate.job.courses import Scales
from benchmate.job.plan import Step
from benchmate.job.questions import twins
from benchmate.job.refusal import Refused
from benchmate.job.state import JobState
from benchmate.landing.question import Question
from benchmate.landing.words import places_for
from benchmate.quantities import Reading


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

    def __init__(self, asked: Question, instead: Instead | None = None) -> None:
        super().__init__(asked.sentence)
        self.question, self.instead = asked, instead


@dataclass(frozen=True)
class Gross:
    """What was read: the readings, their mean, the net weight, and the scale's division."""

    readings: tuple[Reading, ...]
    mean_g: float
    net_g: float
    division_g: float


def instead_of(
    job: JobState, step: Step, asked: Question, typed: Typed, gross: Gross, scales: Scales
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
    swapped = _swapped(job, step, asked, scales) if asked.other else ""
    return Instead(replace(typed, weight=text), text, swapped, gross.net_g)


def _swapped(job: JobState, step: Step, asked: Question, scales: Scales) -> str:
    found = (a for a, twin in twins(job, step, scales) if twin.piece == asked.other)
    return next(found, "")


def _grams(value_g: float, division_g: float) -> str:
    return f"{value_g:.{places_for(division_g)}f} g"


def in_ounces(typed: Typed) -> bool:
    """Whether a weight was typed in ounces."""
    return typed.weight.strip().lower().endswith("oz")
