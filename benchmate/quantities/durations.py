"""Durations: "45 min", "1 h 30", "2 d", "90 s"."""

from benchmate.quantities.errors import QuantityError, quote
from benchmate.quantities.numbers import Term, clean
from benchmate.quantities.terms import check_falling, check_size, factor_of, terms_of, unit_of
from benchmate.quantities.units import DURATION, S_PER_H, S_PER_MIN

# After hours a bare number can only be minutes, after minutes only seconds.
_NEXT_BELOW = {S_PER_H: "min", S_PER_MIN: "s"}


def parse_duration_s(text: str, bare: str | None = None) -> float:
    """Return a duration in s.

    "1 h 30" is an hour and a half; a clock-like "1:30" is refused, for it may be hours or minutes.
    """
    _refuse_clock(clean(text), text)
    sign, terms = terms_of(DURATION, text)
    factors: list[float] = []
    for index, term in enumerate(terms):
        below = _NEXT_BELOW.get(factors[-1]) if factors else None
        is_last = index == len(terms) - 1
        unit = unit_of(DURATION, term, text, (below if factors else bare) if is_last else None)
        factors.append(factor_of(DURATION, unit, text))
    check_falling(DURATION, factors, text)
    return check_size(DURATION, sign * _total_s(terms, factors), text)


def _total_s(terms: list[Term], factors: list[float]) -> float:
    return sum(term.number.value * factor for term, factor in zip(terms, factors, strict=True))


def _refuse_clock(plain: str, text: str) -> None:
    first, colon, second = plain.partition(":")
    if colon and first.isdigit() and second.replace(":", "").isdigit():
        second = second.partition(":")[0]
        raise QuantityError(
            f"{quote(text)} may be hours or minutes; "
            f"write {int(first)} h {int(second)} or {int(first)} min {int(second)}"
        )
