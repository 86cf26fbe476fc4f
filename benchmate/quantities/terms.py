"""What every quantity is parsed with: terms, their units, and whether the sum can be meant."""

from itertools import pairwise
from math import isfinite

from benchmate.quantities.errors import QuantityError, quote
from benchmate.quantities.numbers import Term, clean, split_terms
from benchmate.quantities.units import (
    DURATION,
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


def check_falling(kind: Kind, factors: list[float], text: str) -> None:
    """Refuse terms whose units don't fall ("4 oz 1 lb") or whose kind is never added up."""
    falling = all(a > b for a, b in pairwise(factors))
    adds_up = kind in (MASS, LENGTH, DURATION)
    if len(factors) > 1 and not (falling and adds_up):
        raise QuantityError(f"{quote(text)} has more than one amount; write {kind.wanted}")


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
