"""One quantity as typed → a number in the unit used inside.

Every refusal is a `QuantityError` with one sentence; nothing else is raised for any text.
"""

from math import isfinite

from benchmate.quantities.durations import parse_duration_s
from benchmate.quantities.errors import QuantityError, quote
from benchmate.quantities.numbers import Number, Term, clean, split_terms
from benchmate.quantities.terms import check_falling, check_size, factor_of, terms_of, unit_of
from benchmate.quantities.units import KINDS, TEMPERATURE, ZERO_C_K, Kind, unit_key


def parse(kind: str, text: str, bare: str | None = None, *, signed: bool = False) -> float:
    """Return `text` in the inside unit of `kind` (a key of `KINDS`).

    A number without a unit is refused, unless `bare` names the unit it is then in. Below zero is
    refused unless `signed` or the kind is signed by nature (temperatures).
    """
    if kind == "duration":
        return parse_duration_s(text, bare)
    return parse_kind(KINDS[kind], text, bare, signed=signed)


def parse_kind(kind: Kind, text: str, bare: str | None = None, *, signed: bool = False) -> float:
    """Do what `parse` does for a kind at hand."""
    sign, terms = terms_of(kind, text)
    value = sign * _sum_of(kind, terms, text, bare)
    if kind is TEMPERATURE:
        value = _temperature_c(value, terms[-1].unit or bare or "")
    return check_size(kind, value, text, signed=signed)


def _sum_of(kind: Kind, terms: list[Term], text: str, bare: str | None) -> float:
    if len(terms) > 1 and not all(term.unit for term in terms):
        raise QuantityError(
            f"{quote(text)} has two numbers where one was expected; write {kind.wanted}"
        )
    factors = [factor_of(kind, unit_of(kind, term, text, bare), text) for term in terms]
    check_falling(kind, factors, text)
    return sum(term.number.value * factor for term, factor in zip(terms, factors, strict=True))


def _temperature_c(step_c: float, unit: str) -> float:
    if unit_key(unit) in ("k", "kelvin"):
        return step_c - ZERO_C_K
    if "f" in unit_key(unit):
        return step_c - 32.0 * 5.0 / 9.0
    return step_c


def parse_mass_g(text: str, bare: str | None = None, *, signed: bool = False) -> float:
    """Return a weight in g."""
    return parse("mass", text, bare, signed=signed)


def parse_length_mm(text: str, bare: str | None = None, *, signed: bool = False) -> float:
    """Return a length in mm; inches may be fractions: 3/4 in, 1-1/2"."""
    return parse("length", text, bare, signed=signed)


def parse_volume_ml(text: str, bare: str | None = None) -> float:
    """Return a volume in ml; fluid ounces, pints and gallons are the US ones."""
    return parse("volume", text, bare)


def parse_area_mm2(text: str, bare: str | None = None) -> float:
    """Return an area in mm²."""
    return parse("area", text, bare)


def parse_temperature_c(text: str, bare: str | None = None) -> float:
    """Return a temperature in °C."""
    return parse("temperature", text, bare)


def parse_percent(text: str, bare: str | None = None, *, signed: bool = False) -> float:
    """Return a percentage as per cent (12 for "12 %")."""
    return parse("percent", text, bare, signed=signed)


def parse_density_g_cm3(text: str, bare: str | None = None) -> float:
    """Return a density in g/cm³."""
    return parse("density", text, bare)


def parse_number(text: str) -> Number:
    """Return a plain number without a unit, with its digits; raises QuantityError."""
    plain = clean(text)
    found = split_terms(plain, text) if plain else None
    if found is None or len(found[1]) != 1 or found[1][0].unit:
        raise QuantityError(
            f"{quote(text) if plain else 'nothing'} is not a plain number; write one like 12.5"
        )
    sign, (term,) = found
    check = sign * term.number.value
    if not isfinite(check) or abs(check) > 1e15:
        raise QuantityError(f"{quote(text)} is too large to be meant")
    return Number(check, term.number.digits, term.number.decimals)
