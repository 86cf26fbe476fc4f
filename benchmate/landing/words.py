"""How weights are said in sentences.

Every sentence in this package takes a `Say`, so that a shop that works in ounces hears ounces;
the numbers inside stay grams.
"""

import math
from collections.abc import Callable

from benchmate.quantities.show import Units, show_mass
from benchmate.quantities.units import G_PER_OZ

Say = Callable[[float, float], str]
"""Turns a weight in g, and the step worth showing in g, into words."""


def grams(value_g: float, step_g: float = 0.1) -> str:
    """ "118.4 g" for a step of 0.1 g, "118 g" for a step of 1 g or more.

    No digit is shown that the step doesn't carry.
    """
    return show_mass(value_g, decimals=places_for(step_g))


def places_for(step_g: float) -> int:
    """Decimals that show a step: 0 for 1 g and coarser, 1 for 0.1 to 0.5 g, and so on."""
    if step_g <= 0.0 or not math.isfinite(step_g):
        return 1
    return max(0, min(4, -math.floor(math.log10(step_g) + 1e-9)))


def step_for(u_g: float) -> float:
    """The step worth showing for a value known to `u_g`: tenths below 1.5 g, else whole grams."""
    if u_g >= 1.5:
        return 1.0
    return 0.1 if u_g >= 0.05 else 0.01


def light_or_heavy(difference_g: float, step_g: float, say: Say) -> str:
    """ "8.6 g light", "3 g heavy" or "spot on"."""
    if abs(difference_g) < step_g / 2.0:
        return "spot on"
    return f"{say(abs(difference_g), step_g)} {'heavy' if difference_g > 0.0 else 'light'}"


def plainly(value_g: float, say: Say) -> str:
    """A weight that was asked for: "850 g", and "951.6 g" only where it was given so."""
    return say(value_g, 1.0 if abs(value_g - round(value_g)) < 0.05 else 0.1)


def capital(text: str) -> str:
    """The text as the beginning of a sentence."""
    return text[:1].upper() + text[1:]


def percent(probability: float) -> str:
    """ "97 %", but never a false certainty: "under 1 %" and "over 99 %" at the ends."""
    if probability < 0.01:
        return "under 1 %"
    if probability > 0.99:
        return "over 99 %"
    return f"{100.0 * probability:.0f} %"


def say_in(units: Units) -> Say:
    """How weights are said in the maker's units; no digit that the step doesn't carry."""

    def ounces(value_g: float, step_g: float = 0.1) -> str:
        return show_mass(value_g, "inch", decimals=places_for(step_g / G_PER_OZ))

    return ounces if units == "inch" else grams
