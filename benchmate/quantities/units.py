"""The units people type, by kind of quantity, with their exact factors to the units inside.

Inside the program: g, mm, ml, mm², s, °C, g/cm³, per cent. A unit is looked up without spaces and
dots and regardless of case, so that "fl. oz", "FL OZ" and "floz" are one.

Sources of the factors: the international yard and pound (exact by definition since 1959), the US
gallon of 231 cubic inches; checked in the tests against a units library.
"""

from typing import NamedTuple

MM_PER_IN = 25.4
MM_PER_FT = 304.8
G_PER_LB = 453.59237
G_PER_OZ = 28.349523125
ML_PER_FL_OZ = 29.5735295625
ML_PER_CU_IN = 16.387064
MM2_PER_SQ_IN = 645.16
MPA_PER_PSI = 0.006894757293168361
N_PER_LBF = 4.4482216152605
ZERO_C_K = 273.15

S_PER_MIN = 60.0
S_PER_H = 3600.0
S_PER_D = 86400.0


class Kind(NamedTuple):
    """One kind of quantity: how it is called, what may be typed, and how large it can be."""

    name: str
    article: str
    example: str
    units: dict[str, float]
    named: tuple[str, ...]
    """The units to name in a refusal, as people write them."""
    limit: float
    """Largest size, in the unit inside, that is still taken for meant."""
    signed: bool = False

    @property
    def wanted(self) -> str:
        """Return what to write instead, for the end of a refusal."""
        return f"{self.article} {self.name} such as {self.example}"


def _spell(*groups: tuple[float, str]) -> dict[str, float]:
    return {alias: factor for factor, aliases in groups for alias in aliases.split()}


MASS = Kind(
    "weight",
    "a",
    "850 g or 1 lb 4 oz",
    _spell(
        (0.001, "mg milligram milligrams"),
        (1.0, "g gram grams gramme grammes"),
        (1000.0, "kg kilo kilos kilogram kilograms"),
        (G_PER_OZ, "oz ounce ounces"),
        (G_PER_LB, "lb lbs pound pounds"),
    ),
    ("g", "kg", "mg", "oz", "lb"),
    limit=1e7,
)
LENGTH = Kind(
    "length",
    "a",
    "12.5 mm or 1 1/2 in",
    _spell(
        (0.001, "um μm micron microns micrometre micrometres"),
        (1.0, "mm millimetre millimetres millimeter millimeters"),
        (10.0, "cm centimetre centimetres centimeter centimeters"),
        (1000.0, "m metre metres meter meters"),
        (MM_PER_IN, 'in inch inches "'),
        (MM_PER_IN / 1000.0, "thou mil mils"),
        (MM_PER_FT, "ft foot feet '"),
    ),
    ("mm", "cm", "m", "in", "ft"),
    limit=1e6,
)
VOLUME = Kind(
    "volume",
    "a",
    "120 ml or 4 fl oz",
    _spell(
        (0.001, "mm3 cumm"),
        (1.0, "ml cm3 cc millilitre millilitres milliliter milliliters cucm"),
        (10.0, "cl centilitre centilitres"),
        (1000.0, "l litre litres liter liters dm3"),
        (ML_PER_FL_OZ, "floz usfloz fluidounce fluidounces"),
        (ML_PER_FL_OZ * 8, "cup cups"),
        (ML_PER_FL_OZ * 16, "pt pint pints"),
        (ML_PER_FL_OZ * 32, "qt quart quarts"),
        (ML_PER_FL_OZ * 128, "gal gallon gallons"),
        (ML_PER_CU_IN, "in3 cuin cubicinch cubicinches"),
    ),
    ("ml", "l", "cm³", "fl oz (US)", "in³"),
    limit=1e7,
)
AREA = Kind(
    "area",
    "an",
    "45 cm² or 7 in²",
    _spell(
        (1.0, "mm2 sqmm"),
        (100.0, "cm2 sqcm"),
        (1e6, "m2 sqm"),
        (MM2_PER_SQ_IN, "in2 sqin squareinch squareinches"),
        (MM_PER_FT**2, "ft2 sqft squarefoot squarefeet"),
    ),
    ("mm²", "cm²", "m²", "in²", "ft²"),
    limit=1e10,
)
TEMPERATURE = Kind(
    "temperature",
    "a",
    "17.5 °C or 64 °F",
    # Factors are steps; the zero points are added in `temperature_c`.
    _spell(
        (1.0, "°c c degc celsius degreescelsius k kelvin"),
        (5.0 / 9.0, "°f f degf fahrenheit degreesfahrenheit"),
    ),
    ("°C", "°F"),
    limit=2000.0,
    signed=True,
)
TEMPERATURE_STEP = Kind(
    "temperature difference",
    "a",
    "3 °C or 5 °F",
    TEMPERATURE.units,
    ("°C", "K", "°F"),
    limit=2000.0,
    signed=True,
)
DURATION = Kind(
    "time",
    "a",
    "45 min, 1 h 30 or 2 d",
    _spell(
        (1.0, "s sec secs second seconds"),
        (S_PER_MIN, "min mins minute minutes m"),
        (S_PER_H, "h hr hrs hour hours"),
        (S_PER_D, "d day days"),
        (S_PER_D * 7, "w wk wks week weeks"),
    ),
    ("s", "min", "h", "d", "weeks"),
    limit=S_PER_D * 3660,
)
PERCENT = Kind(
    "percentage",
    "a",
    "12 %",
    _spell((1.0, "% pct percent percents"), (0.1, "‰")),
    ("%",),
    limit=1e6,
)
DENSITY = Kind(
    "density",
    "a",
    "0.62 g/cm³ or 39 lb/ft³",
    _spell(
        (1.0, "g/cm3 g/cc g/ml kg/l kg/dm3"),
        (0.001, "kg/m3 g/l"),
        (G_PER_LB / (MM_PER_FT / 10.0) ** 3, "lb/ft3 lbs/ft3 pcf"),
    ),
    ("g/cm³", "kg/m³", "lb/ft³"),
    limit=100.0,
)
PRESSURE = Kind(
    "pressure",
    "a",
    "1 MPa or 150 psi",
    _spell((1.0, "mpa n/mm2"), (0.001, "kpa"), (0.1, "bar"), (1e-6, "pa"), (MPA_PER_PSI, "psi")),
    ("MPa", "kPa", "bar", "psi"),
    limit=1e4,
)
FORCE = Kind(
    "force",
    "a",
    "2 kN or 450 lbf",
    _spell((1.0, "n newton newtons"), (1000.0, "kn"), (N_PER_LBF, "lbf")),
    ("N", "kN", "lbf"),
    limit=1e7,
)
ANGLE = Kind(
    "angle",
    "an",
    "118 °",
    _spell((1.0, "° deg degree degrees")),
    ("°",),
    limit=360.0,
    signed=True,
)

KINDS: dict[str, Kind] = {
    "mass": MASS,
    "length": LENGTH,
    "volume": VOLUME,
    "area": AREA,
    "temperature": TEMPERATURE,
    "temperature_step": TEMPERATURE_STEP,
    "duration": DURATION,
    "percent": PERCENT,
    "density": DENSITY,
    "pressure": PRESSURE,
    "force": FORCE,
    "angle": ANGLE,
}


def unit_key(unit: str) -> str:
    """Return the form under which a typed unit is looked up."""
    return unit.replace(" ", "").replace(".", "").replace("^", "").casefold()


def kinds_of(unit: str) -> list[Kind]:
    """Return every kind that has this unit, for telling someone what they typed instead."""
    return [kind for kind in KINDS.values() if unit_key(unit) in kind.units]
