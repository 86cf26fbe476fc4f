"""What a person is told of the air: the last reading, and always how old it is."""

from __future__ import annotations

from typing import NamedTuple

from benchmate.air.log import HOLD_S, AirLog
from benchmate.quantities.show import Units, show_duration, show_percent, show_temperature

FRESH_S = 60.0
UNKNOWN_AIR = "no shop temperature yet"


class AirNow(NamedTuple):
    """The last reading of a place, its age, and the two in words."""

    temperature_c: float
    humidity_pct: float | None
    age_s: float
    text: str


def air_now(log: AirLog, now_s: float, units: Units = "metric") -> AirNow | None:
    """The air as far as it is known; None where nobody has read it (then say UNKNOWN_AIR)."""
    reading, age_s = log.at(now_s), log.age_s(now_s)
    if reading is None or age_s is None:
        return None
    words = [f"air {show_temperature(reading.temperature_c, units)}"]
    if reading.humidity_pct is not None:
        words.append(show_percent(reading.humidity_pct, 0))
    words.append(_age_text(age_s))
    return AirNow(reading.temperature_c, reading.humidity_pct, age_s, ", ".join(words))


def _age_text(age_s: float) -> str:
    if age_s < FRESH_S:
        return "just now"
    old = f"{show_duration(age_s, rounding='down')} ago"
    return f"{old}: too old to use" if age_s >= HOLD_S else old
