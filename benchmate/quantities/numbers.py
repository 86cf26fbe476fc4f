"""Numbers as people type them: decimal point or comma, fractions, and the digits that were read.

A comma is a decimal mark only where it can't be a thousands mark: "12,5" is twelve and a half,
"1,234" is refused because it may mean either.
"""

import re
import unicodedata
from typing import NamedTuple

from benchmate.quantities.errors import QuantityError, quote

LONGEST_TEXT = 120

_VULGAR = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_LOOKALIKES = str.maketrans(
    {
        "−": "-",
        "–": "-",
        "—": "-",
        "‐": "-",
        "‑": "-",
        "º": "°",
        "˚": "°",
        "″": '"',
        "”": '"',
        "“": '"',
        "′": "'",
        "’": "'",
        "⁄": "/",
        "µ": "μ",
    }
)

_NUMBER = (
    r"[0-9]+(?:\s+|\s*-\s*)[0-9]+\s*/\s*[0-9]+"
    r"|[0-9]+\s*/\s*[0-9]+"
    r"|(?:[0-9][0-9.,]*|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,3}(?![0-9]))?"
)
# A 2 or 3 directly after a unit of length belongs to it: mm2, in3.
_UNIT = (
    r"(?:[^0-9.,+\-]|\.(?![0-9]))*"
    r"(?:(?:(?<=m)|(?<=in)|(?<=ft)|(?<=\^))[23](?![0-9.,/])(?:[^0-9.,+\-]|\.(?![0-9]))*)?"
)
_TERM = rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>{_UNIT})"


class Number(NamedTuple):
    """A number with the digits it was typed with; `decimals` is None for a fraction."""

    value: float
    digits: str
    decimals: int | None


class Term(NamedTuple):
    """One number with the unit typed behind it ("" when there was none)."""

    number: Number
    unit: str


def clean(text: str) -> str:
    """Return the text with look-alike signs made plain; raises QuantityError if it is too long."""
    if len(text) > LONGEST_TEXT:
        raise QuantityError(
            f"{quote(text)} is far too long for a quantity; type just the number and its unit"
        )
    if any(unicodedata.category(c) == "Cc" and c not in "\t\r\n" for c in text):
        raise QuantityError(f"{quote(text)} holds control characters; type it again by hand")
    for sign, fraction in _VULGAR.items():
        text = text.replace(sign, f" {fraction} ")
    plain = unicodedata.normalize("NFKC", text.translate(_LOOKALIKES)).translate(_LOOKALIKES)
    return " ".join(plain.replace("''", '"').split())


def _decimal(digits: str, whole: str) -> Number:
    mantissa, _, exponent = digits.lower().partition("e")
    if "," in mantissa:
        mantissa = _without_comma(mantissa, whole)
    if not re.fullmatch(r"[0-9]+\.?[0-9]*|\.[0-9]+", mantissa):
        raise QuantityError(f"{quote(whole)} has a number that can't be read; write it like 12.5")
    value = float(mantissa + (f"e{exponent}" if exponent else ""))
    if value in (float("inf"), float("-inf")):
        raise QuantityError(f"{quote(whole)} is too large to be meant")
    decimals = len(mantissa.partition(".")[2]) - int(exponent or 0)
    return Number(value, digits, decimals)


def _without_comma(mantissa: str, whole: str) -> str:
    before, _, after = mantissa.partition(",")
    if "," in after or "." in mantissa:
        raise QuantityError(
            f"{quote(whole)} has two marks in one number; "
            "write one decimal mark and no thousands marks"
        )
    could_be_thousands = len(after) == 3 and 1 <= len(before) <= 3 and not before.startswith("0")
    if could_be_thousands:
        raise QuantityError(
            f"{quote(whole)} could mean two numbers; write {before}.{after} or {before}{after}"
        )
    if not after:
        raise QuantityError(f"{quote(whole)} ends in a comma; write the number like 12.5")
    return f"{before or '0'}.{after}"


def read_number(digits: str, whole: str) -> Number:
    """Return the number in `digits`; `whole` is what was typed, for the sentence of a refusal."""
    if "/" not in digits:
        return _decimal(digits, whole)
    top, bottom = digits.rsplit("/", 1)
    parts = re.split(r"[\s-]+", top.strip())
    if int(bottom) == 0:
        raise QuantityError(f"{quote(whole)} divides by zero; write the fraction like 3/4")
    value = int(parts[-1]) / int(bottom) + (int(parts[0]) if len(parts) == 2 else 0)
    return Number(value, digits, None)


def split_terms(plain: str, whole: str) -> tuple[int, list[Term]] | None:
    """Split cleaned text into (sign, terms), or None when it doesn't begin with a number.

    "1 lb 4 oz" gives two terms; what is left over after the last one makes it None too.
    """
    sign = -1 if plain.startswith("-") else 1
    rest = plain[1:] if plain[:1] in ("-", "+") else plain
    terms: list[Term] = []
    position = 0
    while position < len(rest):
        found = re.match(_TERM, rest[position:])
        if found is None:
            return None
        unit = found["unit"].strip()
        terms.append(Term(read_number(found["number"].strip(), whole), unit))
        position += found.end()
    return (sign, terms) if terms else None
