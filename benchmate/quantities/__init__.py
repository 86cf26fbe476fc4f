"""What people type and read: "12.5 g", "3/4 in", "1 h 30", "18 °C" ⇄ g, mm, ml, s, °C.

Parsers take text and raise `QuantityError` (one sentence that quotes what was typed) for anything
they can't read; a bare number is refused unless `bare` names its unit. `show_…` is the way back.

`parse_mass_g` and its like read one quantity; `parse(kind, text, bare)` any kind in `KINDS`;
`parse_reading` keeps a scale's digits; `parse_toleranced`, `parse_timed`, `parse_size_mm` and
`parse_limits` read quantities of several parts.
"""

from benchmate.quantities.compound import (
    Limits,
    TimedAt,
    Toleranced,
    parse_limits,
    parse_size_mm,
    parse_timed,
    parse_toleranced,
)
from benchmate.quantities.durations import parse_duration_s
from benchmate.quantities.errors import QuantityError, quote
from benchmate.quantities.numbers import Number
from benchmate.quantities.parse import (
    parse,
    parse_area_mm2,
    parse_density_g_cm3,
    parse_length_mm,
    parse_mass_g,
    parse_number,
    parse_percent,
    parse_temperature_c,
    parse_volume_ml,
)
from benchmate.quantities.readings import TypedReading, parse_reading
from benchmate.quantities.show import (
    Rounding,
    Units,
    show_area,
    show_countdown,
    show_density,
    show_duration,
    show_fraction,
    show_length,
    show_mass,
    show_number,
    show_percent,
    show_size,
    show_temperature,
    show_temperature_step,
    show_volume,
)
from benchmate.quantities.units import KINDS, Kind

__all__ = [
    "KINDS",
    "Kind",
    "Limits",
    "Number",
    "QuantityError",
    "Rounding",
    "TimedAt",
    "Toleranced",
    "TypedReading",
    "Units",
    "parse",
    "parse_area_mm2",
    "parse_density_g_cm3",
    "parse_duration_s",
    "parse_length_mm",
    "parse_limits",
    "parse_mass_g",
    "parse_number",
    "parse_percent",
    "parse_reading",
    "parse_size_mm",
    "parse_temperature_c",
    "parse_timed",
    "parse_toleranced",
    "parse_volume_ml",
    "quote",
    "show_area",
    "show_countdown",
    "show_density",
    "show_duration",
    "show_fraction",
    "show_length",
    "show_mass",
    "show_number",
    "show_percent",
    "show_size",
    "show_temperature",
    "show_temperature_step",
    "show_volume",
]
