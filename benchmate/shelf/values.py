"""Single values of a label: how each is asked for, read and shown."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from benchmate.quantities import (
    QuantityError,
    parse_density_g_cm3,
    parse_duration_s,
    parse_length_mm,
    parse_mass_g,
    parse_number,
    parse_percent,
    parse_temperature_c,
    quote,
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
    """A value that a label gives as one number: what to ask, how it is read and shown."""

    ask: str
    example: str
    read: Callable[[str], Any]
    show: Callable[[Any, Units], str]


def _spread(text: str) -> float:
    number = re.sub(r"\s*g\s*/\s*m(?:²|2|\^2)\s*$", "", text.strip())
    return parse_number(number).value


def _per(unit: str) -> Callable[[str], float]:
    """Reads a number that may carry this unit, however it is spaced."""

    def read(text: str) -> float:
        plain = re.sub(r"[\s()·*]", "", text)
        end = len(unit) if plain.casefold().endswith(unit.casefold()) else 0
        return parse_number(plain[: len(plain) - end]).value

    return read


def read_day(text: str) -> str:
    """The day as YYYY-MM-DD. Raises QuantityError."""
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise QuantityError(f"{quote(text)} is not a day; write it like 2026-03-14") from None


_MONTHS = re.compile(r"(\d+(?:[.,]\d+)?)\s*(months?|mo|years?|yr?)", re.I)
_MONTH_D = 30.4375
"""Days of a mean month of the Gregorian calendar (365.25 / 12 within a day in a century)."""
_LONGEST_D = 50 * 366.0


def read_keeps(text: str) -> float:
    """Days of "12 months", "1 year", "90 d" or "6 weeks"."""
    found = _MONTHS.fullmatch(text.strip())
    if found is None:
        days = parse_duration_s(text) / 86400.0
    else:
        months = 12.0 if found[2].lower().startswith("y") else 1.0
        days = parse_number(found[1]).value * months * _MONTH_D
    if not 1.0 <= days <= _LONGEST_D:
        raise QuantityError(
            f"{quote(text)} is no time that a material keeps; write it like 12 months"
        )
    return days


def show_keeps(days: float) -> str:
    """ "12 months" where it is as many, else "90 d"."""
    months = round(days / _MONTH_D)
    if months and abs(days - months * _MONTH_D) < 0.5:
        return f"{months} month{'' if months == 1 else 's'}"
    return show_duration(days * 86400.0)


def _share(text: str) -> float:
    percent = parse_percent(text)
    if percent > 100.0:
        raise QuantityError(f"{quote(text)} is more than all of it; write one such as 45 %")
    return percent / 100.0


FIELDS: dict[str, LabelValue] = {
    "label_mass_g": LabelValue(
        "For which mass in the cup is the pot life?", "100 g", parse_mass_g, show_mass
    ),
    "largest_mix_g": LabelValue("Largest mix at once?", "300 g", parse_mass_g, show_mass),
    "lowest_c": LabelValue("Lowest temperature?", "10 °C", parse_temperature_c, show_temperature),
    "heat_j_g": LabelValue(
        "Heat of cure, if the sheet gives it?",
        "400 J/g",
        _per("J/g"),
        lambda v, _: f"{show_number(v, 0)} J/g",
    ),
    "specific_heat_j_gk": LabelValue(
        "Specific heat, if the sheet gives it?",
        "1.8 J/gK",
        _per("J/gK"),
        lambda v, _: f"{show_number(v, 2)} J/gK",
    ),
    "density_g_cm3": LabelValue("Density?", "1.1 g/cm³", parse_density_g_cm3, show_density),
    "density_a_g_cm3": LabelValue(
        "Density of part A?", "1.13 g/cm³", parse_density_g_cm3, show_density
    ),
    "density_b_g_cm3": LabelValue(
        "Density of part B?", "1 g/cm³", parse_density_g_cm3, show_density
    ),
    "size_mm": LabelValue("Diameter?", "2 mm", parse_length_mm, show_length),
    "spread_g_m2": LabelValue(
        "Spread, for one face or one coat?",
        "180 g/m²",
        _spread,
        lambda v, _: f"{show_number(v, 1)} g/m²",
    ),
    "stays": LabelValue(
        "How much of it stays when it is dry?", "45 %", _share, lambda v, _: show_percent(v * 100)
    ),
}
