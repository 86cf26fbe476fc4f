"""One quantity as typed → a number in the unit used inside.

Every refusal is a `QuantityError` with one sentence; nothing else is raised for any text.
"""

from itertools import pairwise
from math import isfinite

from benchmate.quantities.errors import QuantityError, quote
from benchmate.quantities.numbers import Number, Term, clean, split_terms
from benchmate.quantities.units import (
    DURATION,
    KINDS,
    LENGTH,
    MASS,
    TEMPERATURE,
    ZERO_C_K,
    Kind,
    kinds_of,
    unit_key,
)

_NO_NUMBER = {"nan", "inf", "infinity", "+inf", "-inf", "none", "null"}
_OVER_RANGE = {"ol", "o.l", "0l", "o.l.", "err", "error", "e", "eeee", "----", "---", "lo", "hi"}


def parse(kind: str, text: str, bare: str | None = None, *, signed: bool = False) -> float:
    """Return `text` in the inside unit of `kind` (a key of `KINDS`).

    A number without a unit is refused, unless `bare` names the unit it is then in. Below zero is
    refused unless `signed` or the kind is signed by nature (temperatures).
    """
    if kind == "duration":
        from benchmate.quantities.durations import parse_duration_s

        return parse_duration_s(text, bare)
    return parse_kind(KINDS[kind], text, bare, signed=signed)


def parse_kind(kind: Kind, text: str, bare: str | None = None, *, signed: bool = False) -> float:
    """Do what `parse` does for a kind at hand."""
    sign, terms = terms_of(kind, text)
    value = sign * _sum_of(kind, terms, text, bare)
    if kind is TEMPERATURE:
        value = _temperature_c(value, terms[-1].unit or bare or "")
    return check_size(kind, value, text, signed=signed)


def terms_of(kind: Kind, text: str) -> tuple[int, list[Term]]:
    """Return the sign and the numbers with their units; raises QuantityError if there are none."""
    plain = clean(text)
    found = split_terms(plain, text) if plain else None
    if found is None:
        raise QuantityError(_not_a(kind, text, plain))
    return found


def check_size(kind: Kind, value: float, text: str, *, signed: bool = False) -> float:
    """Return the value when it can be meant, else raise QuantityError."""
    if not isfinite(value) or abs(value) > kind.limit:
        raise QuantityError(
            f"{quote(text)} is too large to be {kind.article} {kind.name}; check number and unit"
        )
    if kind is TEMPERATURE and value < -ZERO_C_K:
        raise QuantityError(f"{quote(text)} is below absolute zero; write one like {kind.example}")
    if value < 0 and not (signed or kind.signed):
        raise QuantityError(f"{quote(text)} is below zero, and {kind.article} {kind.name} can't be")
    # 0.75 in x 25.4 is 19.049999999999997 in binary: a maker should read 19.05.
    return float(f"{value:.13g}")


def factor_of(kind: Kind, unit: str, text: str) -> float:
    """Return the factor of a typed unit, or raise QuantityError that says what was expected."""
    factor = kind.units.get(unit_key(unit))
    if factor is not None:
        return factor
    others = kinds_of(unit)
    if others:
        raise QuantityError(
            f"{quote(text)} is {others[0].article} {others[0].name}; expected {kind.wanted}"
        )
    raise QuantityError(
        f"{quote(text)} has an unknown unit {quote(unit)}; {kind.article} {kind.name} is in "
        f"{', '.join(kind.named[:-1])}{' or ' if len(kind.named) > 1 else ''}{kind.named[-1]}"
    )


def unit_of(kind: Kind, term: Term, text: str, bare: str | None) -> str:
    """Return the unit of a term, or `bare` where it has none; raises QuantityError without both."""
    unit = term.unit or bare
    if unit is None:
        raise QuantityError(f"{quote(text)} has no unit; write {kind.wanted}")
    return unit


def _sum_of(kind: Kind, terms: list[Term], text: str, bare: str | None) -> float:
    if len(terms) > 1 and not all(term.unit for term in terms):
        raise QuantityError(
            f"{quote(text)} has two numbers where one was expected; write {kind.wanted}"
        )
    factors = [factor_of(kind, unit_of(kind, term, text, bare), text) for term in terms]
    check_falling(kind, factors, text)
    return sum(term.number.value * factor for term, factor in zip(terms, factors, strict=True))


def check_falling(kind: Kind, factors: list[float], text: str) -> None:
    """Refuse terms whose units don't fall ("4 oz 1 lb") or whose kind is never added up."""
    falling = all(a > b for a, b in pairwise(factors))
    adds_up = kind in (MASS, LENGTH, DURATION)
    if len(factors) > 1 and not (falling and adds_up):
        raise QuantityError(f"{quote(text)} has more than one amount; write {kind.wanted}")


def _temperature_c(step_c: float, unit: str) -> float:
    if unit_key(unit) in ("k", "kelvin"):
        return step_c - ZERO_C_K
    if "f" in unit_key(unit):
        return step_c - 32.0 * 5.0 / 9.0
    return step_c


def _not_a(kind: Kind, text: str, plain: str) -> str:
    if not plain:
        return f"nothing was typed; write {kind.wanted}"
    if kind is MASS and plain.casefold() in _OVER_RANGE:
        return (
            f"{quote(text)} is what a scale shows when it has no weight to give (overloaded, "
            "or not settled); take the load off, zero it and weigh again"
        )
    if plain.casefold() in _NO_NUMBER:
        return f"{quote(text)} is not a number; write {kind.wanted}"
    return f"{quote(text)} is not {kind.article} {kind.name}; write one such as {kind.example}"


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
