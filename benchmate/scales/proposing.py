"""Proposes the form of a scale's lines from three looks: empty, something on, taken off again.

A scale may write several numbers. The weight is the one that goes away from empty and comes back.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from statistics import median
from typing import NamedTuple

from benchmate.refusal import Refused
from benchmate.scales.lines import UNITS

CALM = 3
"""So many lines at the end of each look are taken for a scale that stands still."""
_NUMBER = re.compile(r"([+-]?) *(\d+(?:[.,]\d+)?)")
_UNIT = re.compile(rf"^( *)({'|'.join(sorted(UNITS, key=len, reverse=True))})\b", re.IGNORECASE)
BEYOND = r"[^0-9]*(?:over|-{3,}|OL|Err)[^0-9]*"
"""Usual ways to say that it is out of range; none of the three looks shows the scale's own."""
PADDED = 5
"""An empty scale that writes so many digits fills up with noughts, and hides where its point is."""
NO_POINT = (
    "These lines have no decimal point. Write [scale] line, unit and divide by hand: "
    "docs/scales.md."
)
NOT_FOUND = (
    "No number in these lines goes away from empty and comes back. Put on more, wait until it "
    "stands still; or write [scale] line by hand: docs/scales.md."
)


class Seen(NamedTuple):
    """A number in a line, and what stands around it without spaces and sign."""

    before: str
    after: str
    value: float
    decimals: int
    comma: bool
    digits: int


class Proposal(NamedTuple):
    """Expression and settings; `unit` is True where the lines name it."""

    line: str
    has_unit: bool
    comma: bool


def propose(empty: Sequence[str], on: Sequence[str], off: Sequence[str]) -> Proposal:
    """The form. Raises Refused with a sentence where none can be told."""
    looks = [[seen for one in look for seen in _seen(one)] for look in (empty, on, off)]
    names = sorted({_name(seen) for look in looks for seen in look})
    weights = [name for name in names if _comes_back([_of(look, name) for look in looks])]
    if len(weights) != 1:
        raise Refused(NOT_FOUND)
    if any(s.decimals == 0 and s.digits >= PADDED for s in _of(looks[0], weights[0])):
        raise Refused(NO_POINT)
    ours = [_of(look, weights[0]) for look in looks]
    calm = {_around(seen) for look in ours for seen in look[-CALM:]}
    moving = {_around(seen) for look in ours for seen in look} - calm
    every = [seen for look in ours for seen in look]
    number = _number(every)
    mark = "(?P<stable>)" if moving else ""
    ways = [mark + _expression(around, number) for around in sorted(calm)]
    ways += [_expression(around, number) for around in sorted(moving)]
    has_unit = all(_UNIT.match(after) for _, after in calm)
    return Proposal("|".join([*ways, BEYOND]), has_unit, any(s.comma for s in every))


def _seen(line: str) -> list[Seen]:
    found = []
    for match in _NUMBER.finditer(line):
        number = match[2]
        before, after = line[: match.start()].strip(), line[match.end() :].strip()
        decimals = len(re.split("[.,]", number)[1]) if not number.isdigit() else 0
        sign = -1.0 if match[1] == "-" else 1.0
        value = sign * float(number.replace(",", "."))
        found.append(Seen(before, after, value, decimals, "," in number, len(number)))
    return found


def _name(seen: Seen) -> str:
    """By what a number is known through all looks: the kind of its line, and its place there."""
    head = re.sub(r"[^A-Za-z]", "", seen.before[:1])
    places = len(_NUMBER.findall(seen.before))
    return f"{head}/{places}/{seen.decimals}"


def _of(look: Sequence[Seen], name: str) -> list[Seen]:
    return [seen for seen in look if _name(seen) == name]


def _around(seen: Seen) -> tuple[str, str]:
    return seen.before, seen.after


def _comes_back(looks: Sequence[Sequence[Seen]]) -> bool:
    if any(len(look) < CALM for look in looks):
        return False
    empty, on, off = (median(seen.value for seen in look[-CALM:]) for look in looks)
    return abs(on - empty) > 0.0 and abs(off - empty) <= 0.1 * abs(on - empty)


def _number(every: Sequence[Seen]) -> str:
    """Always with as many decimals as were seen: a line cut short has fewer."""
    decimals, comma = every[0].decimals, any(seen.comma for seen in every)
    tail = rf"{',' if comma else '[.]'}\d{{{decimals}}}" if decimals else ""
    return rf"(?P<sign>[+-]?) *(?P<weight>\d{{1,7}}{tail})"


def _expression(around: tuple[str, str], number: str) -> str:
    before, after = around
    unit = _UNIT.match(after)
    tail = after[unit.end() :] if unit else after
    named = f" *(?P<unit>{'|'.join(UNITS)})" if unit else ""
    return f" *{_spaced(before)}{number}{named}{_spaced(tail)} *"


def _spaced(text: str) -> str:
    parts = [re.escape(part) for part in text.split()]
    return " *" + " *".join(parts) + " *" if parts else ""
