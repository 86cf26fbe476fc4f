"""The plan values that jobs teach, and how each is shown."""

from dataclasses import dataclass
from enum import StrEnum

from benchmate.quantities import Units, show_duration, show_mass, show_number, show_percent


class Measure(StrEnum):
    """What kind of number a plan value is; the unit inside is named after the kind."""

    SHARE = "share"
    """A plain fraction, such as a packing of 0.60."""
    PERCENT = "percent"
    """A percentage, such as what stays in the cup."""
    MASS = "mass"
    """Grams."""
    SPREAD_RATE = "spread rate"
    """Grams a square metre, as glue labels give it."""
    DURATION = "duration"
    """Seconds."""
    FACTOR = "factor"
    """A plain number that others are multiplied by, such as the pace of a pair of hands."""


_GRAIN = {
    Measure.SHARE: 0.005,
    Measure.PERCENT: 0.5,
    Measure.MASS: 0.1,
    Measure.SPREAD_RATE: 5.0,
    Measure.DURATION: 60.0,
    Measure.FACTOR: 0.05,
}
"""The smallest change of each kind that a maker would act on (common practice, no source)."""


_OF_KEYS = {
    "resin": Measure.PERCENT,
    "loss": Measure.PERCENT,
    "spread": Measure.SPREAD_RATE,
    "hands/": Measure.DURATION,
    "hands": Measure.FACTOR,
    "takes": Measure.MASS,
    "adds": Measure.MASS,
    "rest": Measure.MASS,
}


def measure_of(key: str) -> Measure:
    """What a learned value's key counts in: "takes/outside" grams, "packing/block" a share."""
    start, slash, _ = key.partition("/")
    return _OF_KEYS.get(start + slash) or _OF_KEYS.get(start, Measure.SHARE)


@dataclass(frozen=True, slots=True)
class Driven:
    """An amount in the plan that grows in proportion to a plan value, such as a layer's shot."""

    name: str
    amount: float
    measure: Measure = Measure.MASS


@dataclass(frozen=True, slots=True)
class PlanValue:
    """A value the plan works with now, with its standard uncertainty `u` before any job.

    `name` is in words ("packing of steel shot 2 mm"). `driven` is an amount that follows it, for
    saying what a change would do. `within_sd` is the spread from job to job; None learns that too.
    `in_use` is the value in use where that isn't `value`: what was learned and taken over before.
    """

    key: str
    name: str
    value: float
    u: float
    measure: Measure
    driven: Driven | None = None
    within_sd: float | None = None
    in_use: float | None = None
    per_piece: float = 0.0
    """How often it counts in one piece's weight, below zero where it takes; 0: not by weight."""

    @property
    def now(self) -> float:
        """What the next plan would work with as things stand."""
        return self.value if self.in_use is None else self.in_use


@dataclass(frozen=True, slots=True)
class Observed:
    """What one job recorded for a plan value; a job may record several, such as one a layer."""

    key: str
    job: str
    value: float


def smallest_change(measure: Measure) -> float:
    """The step that learned values of this kind are rounded to."""
    return _GRAIN[measure]


def show_value(value: float, measure: Measure, units: Units = "metric") -> str:
    """The value as a maker reads it: "0.585", "12 g", "8 %", "180 g/m²", "25 min"."""
    if measure is Measure.MASS:
        return show_mass(value, units)
    if measure is Measure.DURATION:
        return show_duration(value)
    if measure is Measure.SPREAD_RATE:
        return f"{show_number(value, 0)} g/m²"
    if measure is Measure.FACTOR:
        return f"× {show_number(value, 2)}"
    if measure is Measure.PERCENT:
        return show_percent(value)
    return show_number(value, 3)
