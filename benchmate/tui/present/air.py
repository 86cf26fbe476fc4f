"""The air as it is typed in one line: a temperature, and the humidity where it is known."""

from __future__ import annotations

import re

from benchmate.quantities import QuantityError, parse_percent, parse_temperature_c

_BOTH = re.compile(r"^(.*?)[\s,;]+(\d+(?:[.,]\d+)?\s*%?)$")


def read_air(text: str, bare: str = "°C") -> tuple[float, float | None]:
    """ "17.5", "17,5 °C", "17.5 62", "64 °F 50 %": temperature in °C, humidity in % where it is
    given. A bare temperature is in `bare`. Raises QuantityError."""
    try:
        return parse_temperature_c(text, bare), None
    except QuantityError:
        both = _BOTH.match(text.strip())
        if both is None:
            raise
    return parse_temperature_c(both.group(1), bare), parse_percent(both.group(2), "%")
