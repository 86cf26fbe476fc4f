"""Wood in the shop's air: the moisture it comes to, how it moves, and what it then weighs.

Moisture content is water as a share of the oven-dry wood, in %. It is where wood ends up, not
how fast: a thick blank lags by weeks.

Size and mass at another moisture are in `wood`.

Sources: Hailwood and Horrobin's sorption equation with two hydrates, Celsius coefficients as
cited from FPL-RN-0268, in keeping with the equilibrium table of the Wood Handbook (FPL-GTR-190,
chapter 4); size by the linear shrinkage model below 30 %, same chapter.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked
from benchmate.reckon.wood.wood import FIBRE_SATURATION_PCT, mass_at_moisture_g, size_change_mm

WETTEST_PCT = 98.0
"""Beyond this the equation still gives a number, but wood in near-saturated air is no longer in
any equilibrium that it describes."""
USUAL_PCT = 12.0
SETTLED_PCT = 1.0
"""Nearer than this no moisture meter of a small shop tells it from the equilibrium (common
practice, no source)."""


@dataclass(frozen=True, slots=True)
class Moisture:
    """The wood's equilibrium, the air it belongs to, and the change across the given width."""

    emc_pct: float
    humidity_pct: float
    change_mm: float | None


def emc_pct(temperature_c: float, humidity_pct: float) -> float:
    """Equilibrium moisture content of wood in this air; humidity is capped at WETTEST_PCT.

    Refused below 0 or above 100 % of humidity.
    """
    if not 0.0 <= humidity_pct <= 100.0:
        raise Refused(f"a humidity of {humidity_pct:g} % can't be; it runs from 0 to 100")
    t, h = temperature_c, min(humidity_pct, WETTEST_PCT) / 100.0
    w = 349.0 + 1.29 * t + 0.0135 * t * t
    k = 0.805 + 0.000736 * t - 0.00000273 * t * t
    k1 = 6.27 - 0.00938 * t - 0.000303 * t * t
    k2 = 1.91 + 0.0407 * t - 0.000293 * t * t
    kh = k * h
    hydrates = k1 * kh + k1 * k2 * kh * kh
    return 1800.0 / w * (kh / (1.0 - kh) + (hydrates + k1 * k2 * kh * kh) / (1.0 + hydrates))


def humidity_for(temperature_c: float, moisture_pct: float) -> float:
    """The humidity in % that keeps wood at this moisture; Refused where no air does."""
    top = emc_pct(temperature_c, WETTEST_PCT)
    if not 0.0 <= moisture_pct <= top:
        raise Refused(
            f"no air at {temperature_c:g} °C keeps wood at {moisture_pct:g} %; it can be from 0 to"
            f" {top:.1f} %"
        )
    low, high = 0.0, WETTEST_PCT
    for _ in range(60):
        middle = (low + high) / 2.0
        too_dry = emc_pct(temperature_c, middle) < moisture_pct
        low, high = (middle, high) if too_dry else (low, middle)
    return (low + high) / 2.0


def settling(blank_pct: float, temperature_c: float, humidity_pct: float) -> str | None:
    """What to say of a blank that isn't at home in this air yet; None within SETTLED_PCT.

    How long it takes nobody can say from the air alone: weigh it until it stays.
    """
    home_pct = emc_pct(temperature_c, humidity_pct)
    if abs(blank_pct - home_pct) <= SETTLED_PCT:
        return None
    loses = "lose" if blank_pct > home_pct else "take up"
    return (
        f"The blank is at {blank_pct:.1f} % and this air makes it {home_pct:.1f} %: it will"
        f" {loses} {abs(mass_at_moisture_g(100.0, blank_pct, home_pct) - 100.0):.1f} % of its"
        " weight. Let it come to the shop's air; a thick blank takes weeks. Weigh it until it"
        " stays."
    )


def moisture(
    temperature_c: float,
    *,
    humidity_pct: float | None = None,
    moisture_pct: float | None = None,
    width_mm: float | None = None,
    shrinkage_pct: float | None = None,
    from_pct: float = USUAL_PCT,
) -> Moisture:
    """The equilibrium from the air's humidity, or the humidity from the equilibrium.

    Refused unless exactly one of the two is given, and unless width and shrinkage come together.
    """
    if (humidity_pct is None) == (moisture_pct is None):
        raise Refused("give humidity_pct for the wood's moisture, or emc_pct for the air's: one")
    if (width_mm is None) != (shrinkage_pct is None):
        raise Refused("the wood's movement needs both width_mm and shrinkage_pct")
    if moisture_pct is None:
        assert humidity_pct is not None
        moisture_pct = emc_pct(temperature_c, humidity_pct)
    else:
        humidity_pct = humidity_for(temperature_c, moisture_pct)
    change = None
    if width_mm is not None and shrinkage_pct is not None:
        change = size_change_mm(width_mm, shrinkage_pct, from_pct, moisture_pct)
    assert humidity_pct is not None
    return Moisture(moisture_pct, humidity_pct, change)


def _work(given: Given) -> Worked:
    from_pct = given.number("from_emc_pct")
    found = moisture(
        given.number("temperature_c"),
        humidity_pct=given.maybe("humidity_pct"),
        moisture_pct=given.maybe("emc_pct"),
        width_mm=given.maybe("width_mm"),
        shrinkage_pct=given.maybe("shrinkage_pct"),
        from_pct=from_pct,
    )
    notes = []
    if found.humidity_pct > WETTEST_PCT:
        notes.append(f"Worked out at {WETTEST_PCT:g} %: nearer to saturation nothing is known.")
    if found.change_mm is not None:
        notes.append(f"The change is from {from_pct:g} % to {found.emc_pct:.1f} % of moisture.")
    if max(from_pct, found.emc_pct) > FIBRE_SATURATION_PCT:
        notes.append(f"Above {FIBRE_SATURATION_PCT:g} % wood gets heavier but no wider.")
    values = {
        "emc_pct": found.emc_pct,
        "humidity_pct": found.humidity_pct,
        "change_mm": found.change_mm,
    }
    return Worked(values, tuple(notes))


RECKONER = Reckoner(
    name="moisture",
    title="The moisture wood comes to in this air, and how far it moves",
    inputs=(
        Input(
            key="temperature_c",
            meaning="the air's temperature",
            low=-20,
            high=100,
            source_low=-1,
            source_high=55,
            beyond="the handbook's table ends there; take it as a guess",
        ),
        Input(
            key="humidity_pct",
            meaning="the air's relative humidity; or give emc_pct",
            needed=False,
            low=0,
            high=100,
            source_low=5,
            source_high=95,
            beyond="the handbook's table ends there; take it as a guess",
        ),
        Input(
            key="emc_pct",
            meaning="the wood's moisture, to find the air that keeps it there",
            needed=False,
            low=0,
            high=40,
        ),
        Input(
            key="width_mm",
            meaning="width across the grain, measured at from_emc_pct",
            needed=False,
            above=0,
            high=5000,
        ),
        Input(
            key="shrinkage_pct",
            meaning="the species' shrinkage in that direction, green to oven-dry",
            needed=False,
            low=0,
            high=25,
        ),
        Input(
            key="from_emc_pct",
            meaning="the wood's moisture when the width was measured",
            default=USUAL_PCT,
            low=0,
            high=200,
        ),
    ),
    results=(
        Result(key="emc_pct", meaning="moisture that wood comes to, % of oven-dry mass"),
        Result(key="humidity_pct", meaning="the air's humidity that goes with it"),
        Result(
            key="change_mm",
            meaning="what the width gains, or loses (negative); none unasked",
            if_none="not asked: give width_mm and shrinkage_pct",
        ),
    ),
    formula="EMC = 1800/W (K h/(1-K h) + (K1 K h + 2 K1 K2 K² h²)/(1 + K1 K h + K1 K2 K² h²));"
    " change = width (M2 - M1)/(3000/S - 30 + M1)",
    sources=(
        "Hailwood-Horrobin equation, two hydrates; coefficients as cited from FPL-RN-0268",
        "Wood Handbook FPL-GTR-190, chapter 4: equilibrium table and linear shrinkage below 30 %",
    ),
    limits=(
        "The fit is quoted as good to 0.13 % of moisture on average and 0.9 % at worst.",
        "It says where wood ends up, not how soon: a thick blank lags by weeks.",
        "Without from_emc_pct the change counts from 12 %, at which handbooks state wood.",
    ),
    example={
        "temperature_c": "20",
        "humidity_pct": "40",
        "width_mm": "100",
        "shrinkage_pct": "7.8",
        "from_emc_pct": "12",
    },
    work=_work,
    curve=("humidity_pct", "emc_pct"),
)
