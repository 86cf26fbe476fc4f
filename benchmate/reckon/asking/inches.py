"""Units that have an inch, pound or Fahrenheit counterpart, for refusals and results."""

from benchmate.quantities import show_number
from benchmate.quantities.units import (
    G_PER_LB,
    G_PER_OZ,
    ML_PER_FL_OZ,
    MM2_PER_SQ_IN,
    MM_PER_FT,
    MM_PER_IN,
    MPA_PER_PSI,
    N_PER_LBF,
)

_FT2_PER_M2 = 1e6 / MM_PER_FT**2
_GAL_ML = 128.0 * ML_PER_FL_OZ
IN_INCHES: dict[str, tuple[float, str, int]] = {
    "mm": (MM_PER_IN, "in", 3),
    "µm": (MM_PER_IN, "mil", 2),
    "g": (G_PER_OZ, "oz", 2),
    "ml": (ML_PER_FL_OZ, "fl oz", 2),
    "cm²": (MM2_PER_SQ_IN / 100.0, "in²", 1),
    "N": (N_PER_LBF, "lbf", 1),
    "MPa": (MPA_PER_PSI, "psi", 0),
    "m/s": (MM_PER_FT / 1000.0, "ft/s", 1),
    "m/min": (MM_PER_FT / 1000.0, "ft/min", 0),
    "m²/l": (1000.0 / (_FT2_PER_M2 * _GAL_ML), "ft²/gal", 0),
    "g/m²": (G_PER_LB * _FT2_PER_M2 / 1000.0, "lb/1000 ft²", 1),
    "g mm²": (G_PER_OZ * MM2_PER_SQ_IN, "oz in²", 2),
}
"""Metric unit as shown → (how much of it one of the other is, the other, its usual decimals)."""


def inch_text(value: float, unit: str) -> str | None:
    """Return a value in inches or pounds as a plain decimal, None where its unit stays."""
    if unit == "°C":
        return f"{show_number(value * 1.8 + 32.0, 1)} °F"
    if unit not in IN_INCHES:
        return None
    factor, other, decimals = IN_INCHES[unit]
    number = value / factor
    text = show_number(number, decimals)
    return f"{text if float(text) or not number else format(number, '.2g')} {other}"
