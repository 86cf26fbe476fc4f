"""What a label says, as it is typed: each answer's reader, with an example and its unit.

A label gives no file and no lines; its answers are read one by one, and what is wrong with one is a
`QuantityError`, a sentence.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any, Literal, NamedTuple

from benchmate.fields.types import DENSITY, LENGTH, MASS, TEMPERATURE, VOLUME, Reads, quantity
from benchmate.quantities import (
    QuantityError,
    parse_duration_s,
    parse_number,
    parse_percent,
    quote,
)

LONGEST_SHEET, LONGEST_GRIT = 200, 40
_RATIO = re.compile(r"([\d.]+)\s*(?::|to|/)\s*([\d.]+)\s*(?:by\s+)?(weight|volume|w|v)\w*", re.I)
_MONTHS = re.compile(r"(\d+(?:[.,]\d+)?)\s*(months?|mo|years?|yr?)", re.I)
MONTH_D = 30.4375
"""Days of a mean month of the Gregorian calendar (365.25 / 12 within a day in a century)."""
_LONGEST_D = 50 * 366.0


class Ratio(NamedTuple):
    """Parts of resin to parts of hardener."""

    parts: tuple[float, float]
    by: Literal["weight", "volume"]


class Content(NamedTuple):
    """How much there is of it."""

    value: float
    unit: Literal["g", "ml"]


def _words(most: int) -> Callable[[str], str]:
    return lambda text: " ".join(text.split())[:most]


def _per(unit: str) -> Callable[[str], float]:
    """Reads a number that may carry this unit, however it is spaced."""

    def read(text: str) -> float:
        plain = re.sub(r"[\s()·*]", "", text).replace("^2", "²")
        plain = re.sub(r"m2$", "m²", plain)
        end = len(unit) if plain.casefold().endswith(unit.casefold()) else 0
        return parse_number(plain[: len(plain) - end]).value

    return read


def _day(text: str) -> str:
    """As YYYY-MM-DD."""
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise QuantityError(f"{quote(text)} is not a day; write it like 2026-03-14") from None


def _keeps_d(text: str) -> float:
    """Days of "12 months", "1 year", "90 d" or "6 weeks"."""
    found = _MONTHS.fullmatch(text.strip())
    if found is None:
        days = parse_duration_s(text) / 86400.0
    else:
        months = 12.0 if found[2].lower().startswith("y") else 1.0
        days = parse_number(found[1]).value * months * MONTH_D
    if not 1.0 <= days <= _LONGEST_D:
        wrong = f"{quote(text)} is no time that a material keeps"
        raise QuantityError(f"{wrong}; write it like 12 months")
    return days


def _share(text: str) -> float:
    percent = parse_percent(text)
    if percent > 100.0:
        raise QuantityError(f"{quote(text)} is more than all of it; write one such as 45 %")
    return percent / 100.0


def _content(text: str) -> Content:
    try:
        return Content(MASS(text), "g")
    except QuantityError as error:
        try:
            return Content(VOLUME(text), "ml")
        except QuantityError:
            raise error from None


def _ratio(text: str) -> Ratio:
    found = _RATIO.fullmatch(text)
    numbers = [found[1], found[2]] if found else []
    plain = all(n.count(".") <= 1 and n != "." for n in numbers)
    parts = (float(numbers[0]), float(numbers[1])) if numbers and plain else (0.0, 0.0)
    if found is None or not all(0.0 < part < 1e6 for part in parts):
        raise QuantityError(f"{quote(text)} is no mix ratio; write it like 100:30 by weight")
    return Ratio(parts, "weight" if found[3].lower().startswith("w") else "volume")


LABEL: dict[str, Reads] = {
    "data_sheet": quantity(_words(LONGEST_SHEET), "maker's sheet, 2025-02"),
    "ratio": quantity(_ratio, "100:30 by weight"),
    "label_mass_g": replace(MASS, example="100 g"),
    "largest_mix_g": replace(MASS, example="300 g"),
    "lowest_c": replace(TEMPERATURE, example="10 °C"),
    "heat_j_g": quantity(_per("J/g"), "400 J/g"),
    "specific_heat_j_gk": quantity(_per("J/gK"), "1.8 J/gK"),
    "density_g_cm3": replace(DENSITY, example="1.1 g/cm³"),
    "density_a_g_cm3": replace(DENSITY, example="1.13 g/cm³"),
    "density_b_g_cm3": replace(DENSITY, example="1 g/cm³"),
    "size_mm": replace(LENGTH, example="2 mm"),
    "spread_g_m2": quantity(_per("g/m²"), "180 g/m²"),
    "stays": quantity(_share, "45 %"),
    "grit": quantity(_words(LONGEST_GRIT), "P240"),
    "amount": quantity(_content, "1 kg"),
    "opened_on": quantity(_day, "2026-03-14"),
    "keeps_d": quantity(_keeps_d, "12 months"),
}
"""Key of the material's record to how its answer is read."""


def read_answer(key: str, text: str) -> Any:
    """One answer as it is kept; raises QuantityError with a sentence."""
    return LABEL[key](text)
