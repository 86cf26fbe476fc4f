"""What may stand behind a key: quantities with their units, texts, counts, names and words.

Each is an `Annotated` type, so that a model's field says what it holds (`hands: Duration`) and the
numbers that come out are in the units used inside (g, mm, mm², ml, s, °C). `Reads` does the work:
pydantic calls it within a model; a form, a label or a quick command may call it alone, and then no
validating library is loaded. What can't be read is a `ValueError`, "what is wrong; what to write"
(without the second half, the example is shown).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from math import isfinite
from typing import TYPE_CHECKING, Annotated, Any

from benchmate.fields.wording import SHOWN, kind_of_value, shown
from benchmate.nearest import advice
from benchmate.quantities import (
    TimedAt,
    Toleranced,
    parse,
    parse_duration_s,
    parse_size_mm,
    parse_timed,
    parse_toleranced,
)

if TYPE_CHECKING:
    from pydantic_core import CoreSchema

EXAMPLE = "{example}"
"""In a reader's sentence: the example of the key that it reads, which only its caller knows."""
UNKNOWN = "…"
"""The example of a value that has none: then nothing is said of what to write."""


@dataclass(frozen=True, eq=False)
class Reads:
    """How a value is read: from what a file or a form holds to what is used inside."""

    convert: Callable[[Any], Any]
    example: Any
    unit: str = ""
    """As people read it, of a number with limits."""
    least: float | None = None
    most: float | None = None
    above: float | None = None
    """As `least`, but the number itself is too little."""

    def __call__(self, value: Any) -> Any:
        """The value as it is used inside; raises ValueError with a sentence."""
        read = self.convert(value)
        if self.above is not None and read <= self.above:
            raise ValueError(
                f"{shown(value)} is too little; write more than {self.above:g} {self.unit}".rstrip()
            )
        if self.least is not None and read < self.least:
            raise ValueError(self._beyond(read, "little", self.least, "more"))
        if self.most is not None and read > self.most:
            raise ValueError(self._beyond(read, "much", self.most, "less"))
        return read

    def _beyond(self, read: float, how: str, limit: float, way: str) -> str:
        def say(number: float) -> str:
            text = str(number) if isinstance(number, int) else f"{number:g}"
            return f"{text} {self.unit}".strip()

        return f"{shown(say(read))} is too {how}; write {say(limit)} or {way}"

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> CoreSchema:
        """What pydantic asks an annotation for."""
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(self)


# Texts, names, words -----------------------------------------------------------------------------


def text(*, least: int = 0, most: int | None = None) -> Reads:
    """A text of at least and at most so many characters."""

    def convert(value: Any) -> str:
        if not isinstance(value, str):
            plain = isinstance(value, (bool, int, float))
            what = shown(value) if plain else kind_of_value(value)
            raise ValueError(f"{what} is not a text in quotes")
        if least and not value.strip():
            raise ValueError("is empty")
        if most is not None and len(value) > most:
            raise ValueError(f"is {len(value)} characters long; write at most {most}")
        return value

    return Reads(convert, "black walnut")


def word(*choices: str) -> Reads:
    """One of some words."""

    def convert(value: Any) -> str:
        if not isinstance(value, str) or value not in choices:
            near = advice(value if isinstance(value, str) else "", [c for c in choices if c])
            raise ValueError(f"{shown(value)} is none of its words; {near}")
        return value

    return Reads(convert, choices[-1])


def _names(value: Any) -> tuple[str, ...]:
    several = [value] if isinstance(value, str) else value
    if not (isinstance(several, (list, tuple)) and all(isinstance(v, str) for v in several)):
        raise ValueError(
            f'{kind_of_value(value)}, not a name; write "one name" or ["one name", "another"]'
        )
    return tuple(v for v in several if v)


def _flag(value: Any) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"{shown(value)} is not true or false, without quotes")
    return value


def _whole(value: Any) -> int:
    if isinstance(value, str) and value.strip().isdecimal() and len(value) < 7:
        value = int(value)
    if isinstance(value, bool) or not isinstance(value, int):
        raise ValueError(f"{shown(value)} is not a whole number")
    return value


def pattern(regex: str, example: str) -> Reads:
    """A text that a regular expression matches as a whole."""

    def convert(value: Any) -> str:
        if not isinstance(value, str) or re.fullmatch(regex, value) is None:
            raise ValueError(f"{shown(value)} can't stand here")
        return value

    return Reads(convert, example)


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value):
        raise ValueError(f"{shown(value)} is not a number, without quotes")
    return float(value)


def ratio_to_one(example: float, above: float | None = None) -> Reads:
    """A plain number from 0 (or above it) to 1."""
    return Reads(_number, example, least=0.0, most=1.0, above=above)


def whole(least: int, most: int) -> Reads:
    """A whole number within limits."""
    return Reads(_whole, least + 1, least=least, most=most)


Text = Annotated[str, text()]
Names = Annotated[tuple[str, ...], Reads(_names, ["left", "right"])]
"""One name or a list of names; an empty one is none."""
Flag = Annotated[bool, Reads(_flag, True)]
Count = Annotated[int, whole(1, 1000)]


# Quantities --------------------------------------------------------------------------------------


def quantity(read: Callable[[str], Any], example: str, unit: str = "") -> Reads:
    """A quantity that stands in quotes with its unit."""

    def convert(value: Any) -> Any:
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            raise ValueError(f"{kind_of_value(value)} where a quantity was expected")
        if not isinstance(value, str):
            # Whoever knows the key says which example: "{example}" stands for it.
            raise ValueError(
                f"{str(value)[:SHOWN]} has no unit; write it with its unit and in quotes, like "
                f"{EXAMPLE}"
            )
        if not value.strip():
            raise ValueError("is empty")
        return read(value)

    return Reads(convert, example, unit)


def _kind(kind: str) -> Callable[[str], float]:
    return lambda text: parse(kind, text)


MASS = quantity(_kind("mass"), "850 g", "g")
LENGTH = quantity(_kind("length"), "6 mm", "mm")
AREA = quantity(_kind("area"), "45 cm²", "mm²")
VOLUME = quantity(_kind("volume"), "120 ml", "ml")
DENSITY = quantity(_kind("density"), "0.62 g/cm³", "g/cm³")
PERCENT = replace(quantity(_kind("percent"), "9 %", "%"), least=0.0, most=100.0)
TEMPERATURE = quantity(_kind("temperature"), "21 °C", "°C")
DURATION = quantity(parse_duration_s, "20 min", "s")

Mass = Annotated[float, MASS]
Length = Annotated[float, LENGTH]
Area = Annotated[float, AREA]
Volume = Annotated[float, VOLUME]
Density = Annotated[float, DENSITY]
Percent = Annotated[float, PERCENT]
Temperature = Annotated[float, TEMPERATURE]
Duration = Annotated[float, DURATION]
"""In s."""
TIMED = quantity(parse_timed, "45 min at 21 °C")
Timed = Annotated[TimedAt, TIMED]
"""A time, with the temperature it holds for."""
_WITH_TOLERANCE = quantity(lambda t: parse_toleranced("mass", t), "850 g ± 8 g")
MassWithTolerance = Annotated[Toleranced, _WITH_TOLERANCE]


def _some_weight(value: Any) -> Toleranced:
    weight: Toleranced = _WITH_TOLERANCE(value)
    if weight.value <= 0.0:
        raise ValueError(f"{shown(value)} is too little; write more than 0 g")
    return weight


SomeWeight = Annotated[Toleranced, Reads(_some_weight, "850 g ± 8 g")]
"""A weight with its tolerance, more than 0."""
LengthWithTolerance = Annotated[
    Toleranced, quantity(lambda t: parse_toleranced("length", t), "180 mm ± 5 mm")
]
SIZE = quantity(lambda t: parse_size_mm(t, count=None), "80 x 30 x 45 mm")
Size = Annotated[tuple[float, ...], SIZE]
"""Lengths with x between them, in mm."""


def within(reads: Reads, least: float | None = None, most: float | None = None) -> Reads:
    """The same reader, held to other limits (in the unit used inside)."""
    return replace(reads, least=least, most=most)
