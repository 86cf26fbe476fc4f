"""What the day sheet has to know of the shop beside its hours."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date, timedelta
from typing import Annotated, Any

from msgspec import Struct

from benchmate.fields.types import DURATION, Reads, whole
from benchmate.fields.wording import kind_of_value, shown
from benchmate.quantities import QuantityError, parse_temperature_c
from benchmate.settings.spans import Span

_OF = re.compile(r"(\d{1,4}) +(\S.*)")
_CURVE = re.compile(r"(\d{1,2})[:.](\d{2}) +(\S.*)")
_LONGEST_D = 400


def _checked(read: Callable[[Sequence[str]], object], example: list[str]) -> Reads:
    """A list of texts that can be read; the texts themselves are what is kept."""

    def convert(value: Any) -> tuple[str, ...]:
        if not isinstance(value, (list, tuple)) or not all(isinstance(v, str) for v in value):
            raise ValueError(f"{kind_of_value(value)} is no list of texts in quotes")
        read(value)
        return tuple(value)

    return Reads(convert, example)


def counts_of(texts: Sequence[str]) -> dict[str, int]:
    """["6 clamp", "4 drying box"] by name. Raises ValueError."""
    counts = {}
    for text in texts:
        found = _OF.fullmatch(text.strip())
        if found is None:
            raise ValueError(f"{shown(text)} is no number and thing, such as '6 clamp'")
        counts[found[2].strip()] = int(found[1])
    return counts


def days_of(texts: Sequence[str]) -> frozenset[str]:
    """["2026-12-24 to 2027-01-02"] as all the dates in it. Raises ValueError."""
    days: list[str] = []
    for text in texts:
        ends = text.split(" to ")
        try:
            first, last = date.fromisoformat(ends[0].strip()), date.fromisoformat(ends[-1].strip())
        except ValueError:
            raise ValueError(f"{shown(text)} is no date such as 2026-12-24") from None
        if len(ends) > 2 or not 0 <= (last - first).days <= _LONGEST_D:
            raise ValueError(f"{shown(text)} is no stretch of days")
        days += [str(first + timedelta(days=n)) for n in range((last - first).days + 1)]
    return frozenset(days)


def curve_of(texts: Sequence[str]) -> list[tuple[float, float]]:
    """["6:00 12 °C", "15:00 19 °C"] as hours and °C, in order. Raises ValueError."""
    points: dict[float, float] = {}
    for text in texts:
        found = _CURVE.fullmatch(text.strip())
        try:
            if found is None or int(found[1]) > 23 or int(found[2]) > 59:
                raise ValueError
            celsius = parse_temperature_c(found[3], "°C")
        except (ValueError, QuantityError):
            raise ValueError(f"{shown(text)} is no hour and temperature: '6:00 12 °C'") from None
        points[int(found[1]) + int(found[2]) / 60] = celsius
    return sorted(points.items())


def _quiet(value: Any) -> str:
    try:
        Span.read(value)
    except (ValueError, TypeError, AttributeError):
        raise ValueError(f"{shown(value)} is no span of time") from None
    return str(value)


def _minutes(value: Any) -> str:
    DURATION(value)
    return str(value)


Texts = tuple[str, ...]
_HAS, _OFF, _AIR = ["6 clamp", "4 drying box"], ["2026-12-24 to 2027-01-02"], ["6:00 12 °C"]


class ShopSettings(Struct, frozen=True):
    """Hands, things that can be counted, days off, quiet hours, and the air to be expected."""

    hands: Annotated[int, whole(1, 20)] = 1
    has: Annotated[Texts, _checked(counts_of, _HAS)] = ()
    """How many there are of what steps hold. What isn't named isn't counted."""
    days_off: Annotated[Texts, _checked(days_of, _OFF)] = ()
    quiet: Annotated[str, Reads(_quiet, "21:00-08:00")] = "22:00-07:00"
    """When no noise is made."""
    set_up: Annotated[str, Reads(_minutes, "10 min")] = "5 min"
    """Of each visit: before its first work, and after its last."""
    clean_up: Annotated[str, Reads(_minutes, "10 min")] = "5 min"
    temperature: Annotated[Texts, _checked(curve_of, _AIR)] = ()
    """The shop through a day, rather too cold than too warm; empty: as it was read last."""


NO_SHOP = ShopSettings()
"""Nothing was said of the shop."""
