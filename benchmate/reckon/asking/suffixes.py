"""The suffix of a key is its unit: what it means, how a typed value is brought to it."""

from functools import lru_cache
from math import isfinite
from typing import NamedTuple

from benchmate.quantities import KINDS, QuantityError, parse, parse_duration_s, parse_number, quote
from benchmate.reckon.asking.inches import IN_INCHES


class Unit(NamedTuple):
    """A unit of inputs and results: the quantity's kind in `quantities`, if it has one there."""

    shown: str
    kind: str | None = None
    typed: str = ""
    """How the unit is typed, for a bare number; also accepted behind a number of no kind."""


SUFFIXES: dict[str, Unit] = {
    "_j_gk": Unit("J/(g K)", None, "j/gk"),
    "_j_cm3k": Unit("J/(cm³ K)", None, "j/cm3k"),
    "_j_mol": Unit("J/mol", None, "j/mol"),
    "_kj_mol": Unit("kJ/mol", None, "kj/mol"),
    "_w_m2k": Unit("W/(m² K)", None, "w/m2k"),
    "_g_cm3": Unit("g/cm³", "density", "g/cm3"),
    "_kg_m3": Unit("kg/m³", "density", "kg/m3"),
    "_g_per_min": Unit("g/min", None, "g/min"),
    "_per_min": Unit("1/min", None, "/min"),
    "_g_m2": Unit("g/m²", None, "g/m2"),
    "_m2_l": Unit("m²/l", None, "m2/l"),
    "_g_mm2": Unit("g mm²", None, "gmm2"),
    "_m_s": Unit("m/s", None, "m/s"),
    "_m_min": Unit("m/min", None, "m/min"),
    "_gn": Unit("g (gravity)", None, "gn"),
    "_j_g": Unit("J/g", None, "j/g"),
    "_j_k": Unit("J/K", None, "j/k"),
    "_fraction": Unit("", "fraction"),
    "_share": Unit("", "fraction"),
    "_inside": Unit("", "fraction"),
    "_mm2": Unit("mm²", "area", "mm2"),
    "_cm2": Unit("cm²", "area", "cm2"),
    "_m2": Unit("m²", "area", "m2"),
    "_mm3": Unit("mm³", "volume", "mm3"),
    "_cm3": Unit("cm³", "volume", "cm3"),
    "_ml": Unit("ml", "volume", "ml"),
    "_pct": Unit("%", "percent", "%"),
    "_mpa": Unit("MPa", "pressure", "MPa"),
    "_kn": Unit("kN", "force", "kN"),
    "_min": Unit("min", "duration", "min"),
    "_deg": Unit("°", "angle", "°"),
    "_rpm": Unit("rpm", None, "rpm"),
    "_mm": Unit("mm", "length", "mm"),
    "_um": Unit("µm", "length", "um"),
    "_kg": Unit("kg", "mass", "kg"),
    "_g": Unit("g", "mass", "g"),
    "_s": Unit("s", "duration", "s"),
    "_h": Unit("h", "duration", "h"),
    "_d": Unit("d", "duration", "d"),
    "_c": Unit("°C", "temperature", "°C"),
    "_k": Unit("K", "temperature_step", "K"),
    "_n": Unit("N", "force", "N"),
}
NO_UNIT = Unit("")


@lru_cache(maxsize=1024)
def unit_of(key: str, named: str | None = None) -> Unit:
    """Return the unit of a key: the one named (as a suffix, "g_cm3"), else its longest suffix."""
    if named is not None:
        return SUFFIXES["_" + named] if named else NO_UNIT
    fitting = [suffix for suffix in SUFFIXES if f"_{key}".endswith(suffix)]
    return SUFFIXES[max(fitting, key=len)] if fitting else NO_UNIT


def read_in(unit: Unit, text: str) -> float:
    """Return a typed text as a number in `unit`; raises QuantityError."""
    if unit.kind == "fraction":
        return parse("percent", text) / 100.0 if "%" in text else parse_number(text).value
    if unit.kind == "duration":
        value = parse_duration_s(text, unit.typed)
    elif unit.kind is not None:
        value = parse(unit.kind, text, unit.typed, signed=True)
    else:
        return _of_no_kind(unit, text)
    if unit.kind == "temperature":
        return value
    return float(f"{value / KINDS[unit.kind].units[unit.typed.casefold()]:.13g}")


def _of_no_kind(unit: Unit, text: str) -> float:
    """A number in a unit of no kind, or in its inch counterpart: "400 ft²/gal"."""
    factor, other, _ = IN_INCHES.get(unit.shown, (1.0, "", 0))
    inches = _without(_bare(other), text)
    if inches != text:
        return parse_number(inches).value * factor
    return parse_number(_without(unit.typed, text)).value


def _bare(unit: str) -> str:
    plain = unit.casefold().translate(str.maketrans("²³", "23"))
    return "".join(c for c in plain if c not in " ()")


def _without(typed: str, text: str) -> str:
    for start in range(len(text) if typed and len(text) < 80 else 0):
        if _bare(text[start:]) == typed:
            return text[:start]
    return text


def checked(value: object) -> float:
    """Return a value that came as a number; raises QuantityError for anything else."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise QuantityError(f"{quote(str(value)[:80])} is not a number")
    try:
        number = float(value)
    except OverflowError:
        number = float("inf")
    if not isfinite(number):
        # Not quoted from the value: an integer of thousands of digits can't even be written out.
        raise QuantityError(f"{number} is not a number that can be used")
    return number


def number_in(unit: Unit, value: object) -> float:
    """Return a value, typed text or number, as a number in `unit`; raises QuantityError."""
    return read_in(unit, value) if isinstance(value, str) else checked(value)
