"""Quantities of several parts: with a tolerance, at a temperature, as a size, as limits."""

import re
from typing import NamedTuple

from benchmate.quantities.durations import parse_duration_s
from benchmate.quantities.errors import QuantityError, quote
from benchmate.quantities.numbers import clean, split_terms
from benchmate.quantities.parse import parse_kind, parse_temperature_c
from benchmate.quantities.units import DURATION, KINDS, LENGTH, PERCENT, Kind, unit_key

# Kept as text: `re` compiles and caches them at first use, which keeps the import quick.
_SIGNED_TOLERANCE = r"\s*(?:±|\+\s*/?\s*-)\s*"
_AT = r"(?i)\s*(?:\bat\b|@)\s*"
_TIMES = r"(?i)\s*(?:[x×*]|\bby\b)\s*"
_LEAST = r"(?i)^(?:at least|no less than|minimum|min\.|>=|≥|from)\s*"
_MOST = r"(?i)^(?:at most|no more than|up to|maximum|max\.|<=|≤)\s*"
# "1-1/2" is one number, "1/2-3/4" is two.
_FRACTION_DASH = r"(?<![/0-9.])([0-9]+)\s*-\s*(?=[0-9]+\s*/)"
_RANGE = r"(?i)\s*(?:-|\bto\b)\s*"


class Toleranced(NamedTuple):
    """A value with its tolerance to either side; None when none was given (zero is exact)."""

    value: float
    tolerance: float | None


class TimedAt(NamedTuple):
    """A duration that holds at a temperature; None when none was given.

    `least_s`: the lower end where a range was given, whose upper end `duration_s` is. `second`: a
    second point, so long at another temperature. `energy_j_mol`: the activation energy.
    """

    duration_s: float
    temperature_c: float | None
    least_s: float | None = None
    second: tuple[float, float] | None = None
    energy_j_mol: float | None = None


class Limits(NamedTuple):
    """What may be: least and most, either of them None when open."""

    least: float | None
    most: float | None


def _parse(kind: Kind, text: str, bare: str | None) -> float:
    return parse_duration_s(text, bare) if kind is DURATION else parse_kind(kind, text, bare)


def _last_unit(plain: str, whole: str) -> str | None:
    found = split_terms(plain, whole)
    return (found[1][-1].unit or None) if found else None


def parse_toleranced(kind: str, text: str, bare: str | None = None) -> Toleranced:
    """Return "850 g ± 8 g", "850 ± 8 g", "850 g +/- 1 %" or plain "850 g" in the inside unit."""
    wanted = KINDS[kind]
    parts = re.split(_SIGNED_TOLERANCE, clean(text))
    if len(parts) == 1:
        return Toleranced(_parse(wanted, parts[0], bare), None)
    if len(parts) > 2:
        raise QuantityError(
            f"{quote(text)} has two tolerances; write it like {_toleranced_example(wanted)}"
        )
    value_text, tolerance_text = parts
    tolerance_unit = _last_unit(tolerance_text, text)
    relative = tolerance_unit is not None and unit_key(tolerance_unit) in PERCENT.units
    if relative and wanted is not PERCENT:
        value = _parse(wanted, value_text, bare)
        return Toleranced(value, abs(value) * parse_kind(PERCENT, tolerance_text) / 100.0)
    value = _parse(wanted, value_text, tolerance_unit or bare)
    step = KINDS["temperature_step"] if kind == "temperature" else wanted
    tolerance = _parse(step, tolerance_text, _last_unit(value_text, text) or bare)
    return Toleranced(value, tolerance)


def _toleranced_example(kind: Kind) -> str:
    return "850 g ± 8 g" if kind.name == "weight" else f"{kind.example.split(' or ')[0]} ± 1"


_ENERGY = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*kj\s*/\s*mol\s*", re.IGNORECASE)
ENERGIES_KJ_MOL = (20.0, 200.0)
"""What a cure's activation energy may be; outside it is a slip (published ones: 40 to 110)."""
_TWO_TIMES = re.compile(r"\s*(\d[^-–]*?)\s*(-|–|to)\s*(\d.*)")


def parse_timed(text: str, bare: str | None = None) -> TimedAt:
    """Return "45 min at 21 °C" (or plain "45 min") as a duration and its temperature.

    A label may give a range ("8-10 min at 70 °F"), or a second point after a semicolon
    ("30 min at 25 °C; 60 min at 15 °C"), or there its data sheet's activation energy
    ("24 h at 21 °C; 60 kJ/mol").
    """
    first, semicolon, more = clean(text).partition(";")
    if semicolon and (energy := _ENERGY.fullmatch(more)) is not None:
        kj_mol = float(energy[1].replace(",", "."))
        if not ENERGIES_KJ_MOL[0] <= kj_mol <= ENERGIES_KJ_MOL[1]:
            raise QuantityError(f"{quote(more.strip())} is no cure's activation energy; look again")
        return parse_timed(first, bare)._replace(energy_j_mol=kj_mol * 1000.0)
    if semicolon:
        one, two = (parse_timed(part, bare) for part in (first, more))
        if one.temperature_c is None or two.temperature_c is None or two.least_s is not None:
            raise QuantityError(
                f"{quote(text)} needs a temperature at both; write it like 30 min at 25 °C; "
                "60 min at 15 °C"
            )
        return one._replace(second=(two.duration_s, two.temperature_c))
    parts = re.split(_AT, clean(text))
    if len(parts) > 2:
        raise QuantityError(f"{quote(text)} has two temperatures; write it like 45 min at 21 °C")
    temperature_c = parse_temperature_c(parts[1]) if len(parts) == 2 else None
    ends = _TWO_TIMES.fullmatch(parts[0])
    if ends is None:
        return TimedAt(parse_duration_s(parts[0], bare), temperature_c)
    least, _, most = ends.groups()
    unit = most.strip().lstrip("0123456789., ")
    least_s = parse_duration_s(least if any(c.isalpha() for c in least) else least + unit, bare)
    most_s = parse_duration_s(most, bare)
    if least_s >= most_s:
        raise QuantityError(f"{quote(text)} is no range; write the shorter time first")
    return TimedAt(most_s, temperature_c, least_s)


def parse_size_mm(text: str, count: int | None = 3, bare: str | None = None) -> tuple[float, ...]:
    """Return "120 x 90 x 60 mm" as lengths in mm; a unit at the end serves the parts without one.

    `count` is how many lengths are expected, None for any number from one on.
    """
    parts = re.split(_TIMES, clean(text))
    if count is not None and len(parts) != count:
        example = " x ".join(("120", "90", "60", "30", "15")[:count]) + " mm"
        raise QuantityError(
            f"{quote(text)} has {len(parts)} of the {count} lengths; write it like {example}"
        )
    last = _size_unit(parts, text) or bare
    return tuple(parse_kind(LENGTH, part, last) for part in parts)


def _size_unit(parts: list[str], text: str) -> str | None:
    """The unit at the end; a last part that can't be read is to blame, not the first one."""
    read = [split_terms(part, text) for part in parts]
    if read[-1] is None:
        raise QuantityError(f"{quote(parts[-1])} is not a length; write it like 120 x 90 x 60 mm")
    if len(parts) == 1 and len(read[0][1]) > 1 if read[0] else False:
        raise QuantityError(
            f"{quote(text)} has no x between its lengths; write it like 120 x 90 x 60 mm"
        )
    unit = read[-1][1][-1].unit
    if not unit and not any(found and found[1][-1].unit for found in read):
        raise QuantityError(
            f"{quote(text)} has no unit; write it once, at the end: "
            f"{' x '.join(part.strip() for part in parts)} mm"
        )
    return unit or None


def parse_limits(kind: str, text: str, bare: str | None = None) -> Limits:
    """Return "at least 4 mm", "at most 30 °C", "20–30 min" or one exact value as limits."""
    wanted, plain = KINDS[kind], clean(text)
    for pattern, is_least in ((_LEAST, True), (_MOST, False)):
        if re.match(pattern, plain):
            value = _parse(wanted, re.sub(pattern, "", plain), bare)
            return Limits(value, None) if is_least else Limits(None, value)
    low_text, high_text = _range_parts(plain)
    if high_text is None:
        value = _parse(wanted, plain, bare)
        return Limits(value, value)
    high = _parse(wanted, high_text, bare)
    low = _parse(wanted, low_text, _last_unit(high_text, text) or bare)
    if low > high:
        raise QuantityError(f"{quote(text)} runs from more to less; write the smaller one first")
    return Limits(low, high)


def _range_parts(plain: str) -> tuple[str, str | None]:
    whole = re.sub(_FRACTION_DASH, r"\1 ", plain)
    parts = re.split(_RANGE, whole[1:])
    if len(parts) != 2:
        return plain, None
    return whole[0] + parts[0], parts[1]
