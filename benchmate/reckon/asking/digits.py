"""How many digits of a result a woodworker can use: a tenth of a millimetre, a tenth of a gram.

A computer's fifth digit is no knowledge. The exact number stays in the JSON answer.
"""

from __future__ import annotations

from math import floor, log10

from benchmate.quantities import show_number

DECIMALS = {
    "mm": 1,
    "µm": 0,
    "g": 1,
    "kg": 2,
    "ml": 1,
    "cm³": 1,
    "mm³": 0,
    "cm²": 1,
    "mm²": 0,
    "m²": 2,
    "°C": 1,
    "K": 1,
    "s": 0,
    "min": 0,
    "h": 1,
    "d": 1,
    "%": 1,
    "g/cm³": 3,
    "kg/m³": 0,
    "J/(g K)": 3,
    "J/g": 0,
    "kJ/mol": 1,
    "°": 1,
    "rpm": 0,
    "N": 0,
    "g (gravity)": 0,
    "m²/l": 1,
    "m/s": 1,
    "m/min": 0,
}
"""Decimals by unit as shown; a small value keeps two digits all the same."""
_FIXED = ("°C", "K")
"""No small values here: a hundredth of a degree is nothing, however small the rest."""
MOST_DIGITS = 5
MOST_DECIMALS = 6


def digits_text(
    value: float, unit: str, u: float | None = None, decimals: int | None = None
) -> str:
    """A result as people read it; with its standard uncertainty to two digits of that."""
    if u:
        places = _between(1 - _power(u))
        spread = show_number(u, places, keep=True)
        return f"{show_number(value, places, keep=True)} ± {spread}"
    if decimals is not None:
        return show_number(value, decimals)
    if not value or abs(value) >= 1e9:
        return f"{value:.5g}" if value else "0"
    if unit in _FIXED:
        return show_number(value, DECIMALS[unit])
    power = _power(value)
    places = DECIMALS.get(unit, 3 if power < 1 else 1)
    places = max(places, min(1 - power, 1 if power >= 0 else MOST_DECIMALS))
    text = show_number(value, _between(min(places, MOST_DIGITS - 1 - power)))
    return text if float(text) else f"{value:.2g}"


def share_text(value: float) -> str:
    """A probability: nothing that is weighed is ever quite sure."""
    if value > 0.999:
        return "more than 0.999"
    return "less than 0.001" if value < 0.001 else show_number(value, 3)


def _power(value: float) -> int:
    return floor(log10(abs(value)))


def _between(places: int) -> int:
    return max(0, min(places, MOST_DECIMALS))
