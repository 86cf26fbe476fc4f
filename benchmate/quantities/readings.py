"""A weight read from a scale, with the digits that were read.

"12.50 g" says more than 12.5: the scale shows hundredths. A scale that counts in twos or fives
shows the same digits, so the division found here is the finest it can be, not the label's.
"""

from typing import NamedTuple

from benchmate.quantities.numbers import Number, clean, split_terms
from benchmate.quantities.parse import parse_kind
from benchmate.quantities.terms import factor_of, unit_of
from benchmate.quantities.units import MASS


class TypedReading(NamedTuple):
    """One reading: its weight, and the digits and unit as they stood on the display."""

    value_g: float
    digits: str
    unit: str
    division_g: float | None
    """One step of the last digit; None when the reading was typed as a fraction."""

    @property
    def text(self) -> str:
        """Return the reading as it was read."""
        return f"{self.digits} {self.unit}"


def parse_reading(text: str, bare: str | None = "g", *, signed: bool = True) -> TypedReading:
    """Return a scale's reading; a bare number is in `bare`. Raises QuantityError like `parse`."""
    value_g = parse_kind(MASS, text, bare, signed=signed)
    found = split_terms(clean(text), text)
    assert found is not None, "parse_kind has read it"
    sign, terms = found
    last = terms[-1]
    unit = unit_of(MASS, last, text, bare)
    digits = " ".join([*(f"{t.number.digits} {t.unit}" for t in terms[:-1]), last.number.digits])
    division_g = _division_g(last.number, factor_of(MASS, unit, text))
    return TypedReading(value_g, ("-" if sign < 0 else "") + digits, unit, division_g)


def _division_g(number: Number, factor_g: float) -> float | None:
    return None if number.decimals is None else factor_g * 10.0**-number.decimals
