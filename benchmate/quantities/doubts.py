"""Slips of scale that everybody makes: a fraction for per cent, °F read or typed as °C.

One place for the screens, the commands, a thermometer's file and the reckoners, so that all of
them ask about the same numbers. Bounds are common practice, no source.
"""

from __future__ import annotations

DRIEST_PCT = 1.0
"""No air that wood or people are in is drier; a number up to here is a fraction of one."""
SHOP_C = (5.0, 32.0)
"""What a shop that is worked in usually has, in °C."""


def fraction_meant(humidity_pct: float | None) -> float | None:
    """The per cent that were meant by a humidity that looks like a fraction: 62 for 0.62."""
    if humidity_pct is None or not 0.0 < humidity_pct <= DRIEST_PCT:
        return None
    return humidity_pct * 100.0


def celsius_meant(temperature_c: float) -> float | None:
    """The °C that were meant where they seem to have been taken for °F: 17.5 for -8.1 °C.

    Only below freezing, where the same number in °F is a shop's usual temperature in °C, and where
    it was read in whole tenths of a °F: -5 °C is what was typed.
    """
    as_number = temperature_c * 1.8 + 32.0
    is_likely = temperature_c < 0.0 and SHOP_C[0] <= as_number <= SHOP_C[1]
    is_of_f = _is_tenths(as_number) and not _is_tenths(temperature_c)
    return round(as_number, 1) if is_likely and is_of_f else None


def _is_tenths(value: float) -> bool:
    return abs(value * 10.0 - round(value * 10.0)) < 1e-6


def humidity_question(humidity_pct: float) -> str:
    """What to ask where `fraction_meant` has an answer; empty elsewhere."""
    meant = fraction_meant(humidity_pct)
    if meant is None:
        return ""
    return f"A humidity of {humidity_pct:g} % can't be; as a fraction it is {meant:g} %."
