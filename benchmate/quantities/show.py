"""Quantities as people read them, in metric or inch.

What is shown can be read back by the parsers, but for the rounding.
"""

from typing import Literal

from benchmate.quantities.units import (
    G_PER_LB,
    G_PER_OZ,
    ML_PER_FL_OZ,
    MM2_PER_SQ_IN,
    MM_PER_FT,
    MM_PER_IN,
    S_PER_D,
    S_PER_H,
    S_PER_MIN,
)

Units = Literal["metric", "inch"]
Rounding = Literal["near", "down", "up"]


def show_number(value: float, decimals: int, *, keep: bool = False, sign: bool = False) -> str:
    """Return a number with at most `decimals`; `keep` keeps trailing zeros, `sign` shows a plus."""
    text = f"{value:.{decimals}f}"
    if not keep and "." in text:
        text = text.rstrip("0").rstrip(".")
    if float(text) == 0.0:
        text = text.lstrip("-")
    return f"+{text}" if sign and not text.startswith("-") else text


def show_mass(
    g: float, units: Units = "metric", *, decimals: int | None = None, sign: bool = False
) -> str:
    """Return a weight: "117 g", "0.35 g", "12.4 kg", "1 lb 14 oz".

    With `decimals` the unit is g (or oz) and the zeros stay, as a scale of that division shows it.
    """
    if units == "inch":
        return _show_ounces(g, decimals, sign=sign)
    if decimals is not None:
        return f"{show_number(g, decimals, keep=True, sign=sign)} g"
    if abs(g) >= 10_000:
        return f"{show_number(g / 1000, 2, sign=sign)} kg"
    return f"{show_number(g, 1 if abs(g) >= 1 else 2, sign=sign)} g"


def _show_ounces(g: float, decimals: int | None, *, sign: bool) -> str:
    if decimals is not None or abs(g) < G_PER_LB:
        places = 2 if decimals is None else decimals
        return f"{show_number(g / G_PER_OZ, places, keep=decimals is not None, sign=sign)} oz"
    tenths = round(abs(g) / G_PER_OZ * 10)
    pounds, ounces = divmod(tenths, 160)
    lead = "-" if g < 0 else "+" if sign else ""
    return f"{lead}{pounds} lb" + (f" {show_number(ounces / 10, 1)} oz" if ounces else "")


def show_length(
    mm: float, units: Units = "metric", *, decimals: int = 1, denominator: int = 16
) -> str:
    """Return a length: "12.5 mm", "1 1/2 in" (to the nearest 1/`denominator` inch)."""
    if units == "metric":
        return f"{show_number(mm, decimals)} mm"
    return f"{show_fraction(mm / MM_PER_IN, denominator)} in"


def show_fraction(value: float, denominator: int = 16) -> str:
    """Return a number as a whole and a fraction in lowest terms: "1 1/2", "3/16", "0"."""
    steps = round(abs(value) * denominator)
    whole, part = divmod(steps, denominator)
    while part and part % 2 == 0 and denominator % 2 == 0:
        part, denominator = part // 2, denominator // 2
    fraction = f"{part}/{denominator}" if part else ""
    text = " ".join(filter(None, [str(whole) if whole or not part else "", fraction]))
    return f"-{text}" if value < 0 and steps else text


def show_size(lengths_mm: tuple[float, ...], units: Units = "metric") -> str:
    """Return a size: "120 x 90 x 60 mm"."""
    shown = [show_length(mm, units).rsplit(" ", 1)[0] for mm in lengths_mm]
    return " x ".join(shown) + (" mm" if units == "metric" else " in")


def show_volume(ml: float, units: Units = "metric") -> str:
    """Return a volume: "42.5 ml", "1.25 l", "4.1 fl oz"."""
    if units == "inch":
        return f"{show_number(ml / ML_PER_FL_OZ, 2)} fl oz"
    if abs(ml) >= 1000:
        return f"{show_number(ml / 1000, 3)} l"
    return f"{show_number(ml, 1 if abs(ml) >= 1 else 2)} ml"


def show_area(mm2: float, units: Units = "metric") -> str:
    """Return an area: "45.2 cm²", "1.2 m²", "7 in²", "12.9 ft²"."""
    if units == "inch":
        if abs(mm2) >= MM_PER_FT**2 * 2:
            return f"{show_number(mm2 / MM_PER_FT**2, 2)} ft²"
        return f"{show_number(mm2 / MM2_PER_SQ_IN, 2)} in²"
    if abs(mm2) >= 1e6:
        return f"{show_number(mm2 / 1e6, 3)} m²"
    return f"{show_number(mm2 / 100, 2)} cm²"


def show_temperature(c: float, units: Units = "metric") -> str:
    """Return a temperature: "17.5 °C", "63.5 °F"."""
    return (
        f"{show_number(c, 1)} °C" if units == "metric" else f"{show_number(c * 9 / 5 + 32, 1)} °F"
    )


def show_temperature_step(k: float, units: Units = "metric") -> str:
    """Return a difference of temperature: "3 °C", "5.4 °F"."""
    return f"{show_number(k, 1)} °C" if units == "metric" else f"{show_number(k * 9 / 5, 1)} °F"


def show_percent(percent: float, decimals: int = 1) -> str:
    """Return a percentage: "12 %"."""
    return f"{show_number(percent, decimals)} %"


def show_density(g_cm3: float, units: Units = "metric") -> str:
    """Return a density: "0.62 g/cm³", "38.7 lb/ft³"."""
    if units == "metric":
        return f"{show_number(g_cm3, 3)} g/cm³"
    return f"{show_number(g_cm3 * (MM_PER_FT / 10) ** 3 / G_PER_LB, 1)} lb/ft³"


def _rounded(value: float, rounding: Rounding) -> int:
    # A hair of slack, so that 479.9999999 s is 8 min also when rounded down.
    if rounding == "down":
        return int((value + 1e-6) // 1)
    return -int((-value + 1e-6) // 1) if rounding == "up" else round(value)


def show_duration(s: float, *, rounding: Rounding = "near") -> str:
    """Return a duration in its two largest units: "45 s", "8 min", "3 h 20", "1 d 20 h"."""
    if s < 0:
        return f"-{show_duration(-s, rounding=rounding)}"
    if _rounded(s, rounding) < S_PER_MIN:
        return f"{_rounded(s, rounding)} s"
    minutes = _rounded(s / S_PER_MIN, rounding)
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 24 * 60:
        hours, rest = divmod(minutes, 60)
        return f"{hours} h {rest:02d}" if rest else f"{hours} h"
    days, hours = divmod(_rounded(s / S_PER_H, rounding), 24)
    return f"{days} d {hours} h" if hours else f"{days} d"


def show_countdown(s: float) -> str:
    """Return what is left, to the second: "8:41", "1:08:41", "1 d 20:05:00"."""
    whole = max(0, _rounded(s, "up"))
    days, rest = divmod(whole, int(S_PER_D))
    hours, rest = divmod(rest, int(S_PER_H))
    minutes, seconds = divmod(rest, int(S_PER_MIN))
    if days:
        return f"{days} d {hours}:{minutes:02d}:{seconds:02d}"
    return f"{hours}:{minutes:02d}:{seconds:02d}" if hours else f"{minutes}:{seconds:02d}"
