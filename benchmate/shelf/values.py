"""Single values of a label: how each is asked for and shown; `fields.label` reads it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from benchmate.fields.label import MONTH_D
from benchmate.quantities import (
    show_density,
    show_duration,
    show_length,
    show_mass,
    show_number,
    show_percent,
    show_temperature,
)
from benchmate.quantities.show import Units


@dataclass(frozen=True)
class LabelValue:
    """A value that a label gives as one number: what to ask, and how it is shown."""

    ask: str
    show: Callable[[Any, Units], str]


def show_keeps(days: float) -> str:
    """ "12 months" where it is as many, else "90 d"."""
    months = round(days / MONTH_D)
    if months and abs(days - months * MONTH_D) < 0.5:
        return f"{months} month{'' if months == 1 else 's'}"
    return show_duration(days * 86400.0)


FIELDS: dict[str, LabelValue] = {
    "label_mass_g": LabelValue("Pot life is for what batch size?", show_mass),
    "largest_mix_g": LabelValue("Largest batch?", show_mass),
    "lowest_c": LabelValue("Lowest temperature?", show_temperature),
    "heat_j_g": LabelValue(
        "Heat of cure, if the sheet gives it?",
        lambda v, _: f"{show_number(v, 0)} J/g",
    ),
    "specific_heat_j_gk": LabelValue(
        "Specific heat, if the sheet gives it?",
        lambda v, _: f"{show_number(v, 2)} J/gK",
    ),
    "density_g_cm3": LabelValue("Density?", show_density),
    "density_a_g_cm3": LabelValue("Density of part A?", show_density),
    "density_b_g_cm3": LabelValue("Density of part B?", show_density),
    "size_mm": LabelValue("Diameter?", show_length),
    "spread_g_m2": LabelValue(
        "Spread, for one face or one coat?",
        lambda v, _: f"{show_number(v, 1)} g/m²",
    ),
    "stays": LabelValue("Solids (what's left when dry)?", lambda v, _: show_percent(v * 100)),
}
