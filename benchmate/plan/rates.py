"""How fast a window's time runs in the shop's air, family by family.

`Rule` is stored in plans as JSON (all fields have defaults; `Rule()` is a plain timer):

    family                "constant" | "arrhenius" | "waterborne" | "evaporation" | "moisture cure"
    ref_c                 the label's temperature; None where the label says none (20 °C assumed)
    ref_humidity_pct      the label's humidity; None: 50 % assumed
    activation_j_mol      for "arrhenius", with its spread in activation_low/high_j_mol
    lowest_c              lowest working temperature of air, glue and wood; None where none is known
    label_mass_g, mass_g  the mass that a pot life was stated for, and the mass in this cup
    carrier               what leaves in "evaporation": "solvent" or "water"
    spread                factor by which the label may be out, either way; None: FAMILY_SPREAD
    band_c                the time holds from so far below `ref_c` to so far above it

A **rate** is label seconds per second: 1 at the label's air, 0.5 where everything takes twice as
long. Each rate has a low and a high beside it, for the doubt.

- constant: always 1; a maker's own rule ("I leave it 24 h") is this.
- arrhenius: by activation energy; this one is worth integrating. Cold mostly pauses it.
- waterborne, evaporation, moisture cure: a *range*. Its ends are the label's time and the time by
  what drives the family (air that takes up water; solvent's vapour pressure; moisture in the
  air), each widened by the spread; the middle lies between the two and only marks the middle.
- below `lowest_c` a waterborne joint or film is *spoiled, not late*: the rate says nothing about
  that, `is_spoiled_by` does.

Spreads, drives and the cup's shortening are cautious assumptions (common practice, no source);
a material's data may say otherwise.
"""

import math
from typing import Literal, NamedTuple

import msgspec

from benchmate.reckon.heat.careful import LABEL_SPREAD, cure_rates, with_doubts
from benchmate.reckon.heat.kinetics import (
    EPOXY_ACTIVATION_HIGH_J_MOL,
    EPOXY_ACTIVATION_J_MOL,
    EPOXY_ACTIVATION_LOW_J_MOL,
    rate_ratio,
)
from benchmate.reckon.wood.vapour import saturation_pa, thirst_pa

Family = Literal["constant", "arrhenius", "waterborne", "evaporation", "moisture cure"]

ASSUMED_LABEL_C = 20.0
ORDINARY_C, ORDINARY_BAND_C = 20.0, 2.0
"""The shop that common practice speaks of: from 18 to 22 °C, in any usual damp, its times hold as
they stand."""
ASSUMED_LABEL_HUMIDITY_PCT = 50.0
FAMILY_SPREAD: dict[Family, float] = {
    "constant": 1.0,
    "arrhenius": LABEL_SPREAD,
    "waterborne": 1.25,
    "evaporation": 1.5,
    "moisture cure": 1.3,
}
SOLVENT_VAPORISATION_J_MOL = 35_000.0
"""Heat of vaporisation of a light solvent, for the pull of its vapour (from memory; 30 to 38 for
the common ones)."""
UNKNOWN_HUMIDITY_PCT = (35.0, 70.0)
"""What a shop's humidity may be where nobody has read it."""
DRIVE_LIMITS = (0.1, 4.0)
"""Saturated air never dries a film, and a hot one never in no time: outside these the drive is
no longer what decides."""
RATED_C = (-30.0, 60.0)
CUP_MIDDLE, CUP_QUICKEST = 1 / 3, 2 / 3
"""Exponents of the cup's mass against the label's: heat leaves by the surface, so that its loss per
gram falls with the cube root of the mass. Twice the cube root is the cautious end."""


class Rule(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Which rule a window's time follows, with what a label says about it. See the module."""

    family: Family = "constant"
    ref_c: float | None = None
    ref_humidity_pct: float | None = None
    activation_j_mol: float = EPOXY_ACTIVATION_J_MOL
    activation_low_j_mol: float = EPOXY_ACTIVATION_LOW_J_MOL
    activation_high_j_mol: float = EPOXY_ACTIVATION_HIGH_J_MOL
    lowest_c: float | None = None
    label_mass_g: float | None = None
    mass_g: float | None = None
    carrier: Literal["solvent", "water"] = "solvent"
    spread: float | None = None
    band_c: float = 0.0


class Rates(NamedTuple):
    """Label seconds per second: at its slowest, in the middle and at its quickest."""

    low: float
    mid: float
    high: float


STILL = Rates(1.0, 1.0, 1.0)


def label_c(rule: Rule) -> float:
    """The temperature at which the label's time holds."""
    return ASSUMED_LABEL_C if rule.ref_c is None else rule.ref_c


def ordinary(rule: Rule, *, waits: bool) -> Rule:
    """The rule of a time that is common practice: said of a range of shops, and where something
    `waits` for it careful as it stands."""
    spread = 1.0 if waits else rule.spread
    return msgspec.structs.replace(rule, ref_c=ORDINARY_C, band_c=ORDINARY_BAND_C, spread=spread)


def nearest_label_c(rule: Rule, temperature_c: float) -> float:
    """Of the temperatures that the time holds at, the one nearest to the air's."""
    return min(max(temperature_c, label_c(rule) - rule.band_c), label_c(rule) + rule.band_c)


def is_range(rule: Rule) -> bool:
    """Whether only a range may be shown: no end time that pretends to be worked out."""
    return rule.family in ("waterborne", "evaporation", "moisture cure")


def asks_touch(rule: Rule) -> bool:
    """Whether a touch test decides, whatever the clock says."""
    return rule.family == "evaporation"


def is_spoiled_by(rule: Rule, temperature_c: float) -> bool:
    """Whether air, glue or wood this cold spoils the joint or the film instead of delaying it."""
    too_cold = rule.lowest_c is not None and temperature_c < rule.lowest_c
    return too_cold and rule.family == "waterborne"


def is_too_cold(rule: Rule, temperature_c: float) -> bool:
    """Whether this is below the label's lowest working temperature, for any family: a caution."""
    return rule.lowest_c is not None and temperature_c < rule.lowest_c


def rates_at(
    rule: Rule, temperature_c: float, humidity_pct: float | None = None, doubt_c: float = 0.0
) -> Rates:
    """The rates in air of this temperature, known to ± `doubt_c`; humidity None: not known.

    Temperatures are taken inside RATED_C: beyond it nobody works, and a thermometer errs.
    """
    if rule.family == "constant":
        return cup_rates(rule)
    low, mid, high = _air_rates(rule, _rated(temperature_c), humidity_pct)
    if doubt_c:
        cold = _air_rates(rule, _rated(temperature_c - doubt_c), humidity_pct)
        warm = _air_rates(rule, _rated(temperature_c + doubt_c), humidity_pct)
        if rule.family == "arrhenius":
            colder, warmer = cold.mid, warm.mid
        else:  # their middle only marks the middle: the ends follow the air
            colder, warmer = mid * cold.low / low, mid * warm.high / high
        low, high = with_doubts(mid, low, colder), with_doubts(mid, high, warmer, slow=False)
    return _times(Rates(low, mid, high), cup_rates(rule))


def cup_rates(rule: Rule) -> Rates:
    """How much a mix in its cup hurries because of its mass; all that is known without any air.

    A cup larger than the label's is warmer and gels sooner; the label's own time stays the slow
    end. A smaller one is given no credit, nor is spreading the mix out or pouring it onto shot.
    """
    if not rule.mass_g or not rule.label_mass_g or rule.mass_g <= rule.label_mass_g:
        return STILL
    share = rule.mass_g / rule.label_mass_g
    return Rates(1.0, share**CUP_MIDDLE, share**CUP_QUICKEST)


def _rated(temperature_c: float) -> float:
    return min(max(temperature_c, RATED_C[0]), RATED_C[1])


def _times(a: Rates, b: Rates) -> Rates:
    return Rates(a.low * b.low, a.mid * b.mid, a.high * b.high)


def _air_rates(rule: Rule, temperature_c: float, humidity_pct: float | None) -> Rates:
    if rule.band_c:
        rule, humidity_pct = _at_nearest(rule, temperature_c, humidity_pct)
    spread = FAMILY_SPREAD[rule.family] if rule.spread is None else rule.spread
    if rule.family == "arrhenius":
        low, high = rule.activation_low_j_mol, rule.activation_high_j_mol
        energies = (low, rule.activation_j_mol, high)
        return Rates(*cure_rates(temperature_c, label_c(rule), energies, spread))
    drives = _drives(rule, temperature_c, humidity_pct)
    middle = math.sqrt(drives.mid)
    return Rates(min(1.0, drives.low) / spread, middle, max(1.0, drives.high) * spread)


def _drives(rule: Rule, temperature_c: float, humidity_pct: float | None) -> Rates:
    """What drives a range family, against the label's air; bounds where humidity is unknown."""
    if rule.family == "evaporation" and rule.carrier == "solvent":
        pull = _bounded(rate_ratio(temperature_c, label_c(rule), SOLVENT_VAPORISATION_J_MOL))
        return Rates(pull, pull, pull)
    at_label = rule.ref_humidity_pct
    at_label = ASSUMED_LABEL_HUMIDITY_PCT if at_label is None else at_label
    if humidity_pct is None:
        dry, damp = UNKNOWN_HUMIDITY_PCT
        tries = [_drive(rule, temperature_c, h, at_label) for h in (dry, at_label, damp)]
        return Rates(min(tries), tries[1], max(tries))
    drive = _drive(rule, temperature_c, humidity_pct, at_label)
    return Rates(drive, drive, drive)


def _drive(rule: Rule, temperature_c: float, humidity_pct: float, label_pct: float) -> float:
    if rule.family == "moisture cure":
        here = saturation_pa(temperature_c) * max(humidity_pct, 1.0)
        return _bounded(here / (saturation_pa(label_c(rule)) * max(label_pct, 1.0)))
    here = thirst_pa(temperature_c, min(humidity_pct, 99.0))
    return _bounded(here / thirst_pa(label_c(rule), min(label_pct, 99.0)))


def _at_nearest(rule: Rule, temperature_c: float, humidity_pct: float | None) -> tuple[Rule, float]:
    """Of all the air that a common practice holds for the nearest, and the humidity to go by."""
    dry, damp = UNKNOWN_HUMIDITY_PCT
    at_c = nearest_label_c(rule, temperature_c)
    here = ASSUMED_LABEL_HUMIDITY_PCT if humidity_pct is None else humidity_pct
    at_pct = min(max(here, dry), damp)
    return msgspec.structs.replace(rule, ref_c=at_c, ref_humidity_pct=at_pct, band_c=0.0), here


def _bounded(drive: float) -> float:
    return min(max(drive, DRIVE_LIMITS[0]), DRIVE_LIMITS[1])
