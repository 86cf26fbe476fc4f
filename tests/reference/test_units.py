"""Unit factors against pint, a general units library; exact by international definition."""

import pint
import pytest

from benchmate.quantities.units import KINDS
from tests.reference.outside import check

UNITS = pint.UnitRegistry()
SOURCE = f"pint {pint.__version__}"
INSIDE = {
    "mass": "g",
    "length": "mm",
    "volume": "ml",
    "area": "mm**2",
    "duration": "s",
    "density": "g/cm**3",
    "pressure": "MPa",
    "force": "N",
    "percent": "percent",
    "temperature_step": "delta_degC",
}
SPELLED = {
    ("mass", "oz"): "ounce",
    ("mass", "lb"): "pound",
    ("mass", "mg"): "mg",
    ("mass", "kg"): "kg",
    ("length", "in"): "inch",
    ("length", "ft"): "foot",
    ("length", "mil"): "thou",
    ("length", "um"): "micrometer",
    ("length", "cm"): "cm",
    ("length", "m"): "m",
    ("volume", "floz"): "US_fluid_ounce",
    ("volume", "cup"): "cup",
    ("volume", "pt"): "pint",
    ("volume", "qt"): "quart",
    ("volume", "gal"): "gallon",
    ("volume", "in3"): "inch**3",
    ("volume", "l"): "liter",
    ("volume", "cl"): "cl",
    ("volume", "mm3"): "mm**3",
    ("area", "in2"): "inch**2",
    ("area", "ft2"): "foot**2",
    ("area", "cm2"): "cm**2",
    ("area", "m2"): "m**2",
    ("duration", "min"): "minute",
    ("duration", "h"): "hour",
    ("duration", "d"): "day",
    ("duration", "week"): "week",
    ("density", "lb/ft3"): "pound/foot**3",
    ("density", "kg/m3"): "kg/m**3",
    ("pressure", "psi"): "psi",
    ("pressure", "kpa"): "kPa",
    ("pressure", "bar"): "bar",
    ("pressure", "pa"): "Pa",
    ("force", "lbf"): "force_pound",
    ("force", "kn"): "kN",
    ("percent", "‰"): "permille",
    ("temperature_step", "f"): "delta_degF",
}


@pytest.mark.parametrize(("kind", "unit"), SPELLED)
def test_a_unit_has_the_factor_of_the_units_library(kind: str, unit: str) -> None:
    want = UNITS.Quantity(1.0, SPELLED[kind, unit]).to(INSIDE[kind]).magnitude
    check("units", KINDS[kind].units[unit], want, rel=1e-12, source=SOURCE)


@pytest.mark.parametrize("degrees_f", [-40.0, 0.0, 32.0, 64.0, 212.0])
def test_a_temperature_in_fahrenheit_is_the_librarys(degrees_f: float) -> None:
    from benchmate.quantities import parse_temperature_c

    want = UNITS.Quantity(degrees_f, "degF").to("degC").magnitude
    got = parse_temperature_c(f"{degrees_f} °F")
    check("units", got, want, rel=1e-12, abs=1e-9, source=SOURCE)
