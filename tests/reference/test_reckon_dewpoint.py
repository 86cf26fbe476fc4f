"""Dew points and vapour pressures against a psychrometrics library."""

import psychrolib
import pytest

from benchmate.reckon import answer
from benchmate.reckon.wood.dewpoint import dew, dew_point_c
from benchmate.reckon.wood.vapour import saturation_pa, thirst_pa
from tests.reference.outside import check

PSYCHRO = "PsychroLib 2.5.0, ASHRAE Handbook of Fundamentals ch. 1"
RULE = f"{PSYCHRO}; 3 K rule as quoted by coating data sheets"
psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize(
    ("c", "humidity_pct", "dew_c"),
    [
        (20, 50, 9.2724),
        (20, 60, 12.007),
        (25, 60, 16.701),
        (15, 80, 11.582),
        (30, 40, 14.936),
        (25, 80, 21.309),
        (10, 90, 8.4372),
    ],
)
def test_a_dew_point_is_that_of_the_library(c: float, humidity_pct: float, dew_c: float) -> None:
    found = answer("dew-point", {"temperature_c": c, "humidity_pct": humidity_pct})
    check("dew-point", found.number("dew_point_c"), dew_c, abs=1e-3, source=PSYCHRO)


@pytest.mark.parametrize("humidity_pct", [5, 20, 40, 60, 85, 99])
def test_dew_points_from_frost_to_heat(humidity_pct: float) -> None:
    for c in (-15, -5, 0, 4, 12, 18, 27, 38):
        want = psychrolib.GetTDewPointFromRelHum(c, humidity_pct / 100)
        check("dew-point", dew_point_c(c, humidity_pct), want, abs=1e-3, source=PSYCHRO)


@pytest.mark.parametrize("c", [-30, -5, 0, 0.01, 0.02, 10, 20, 35, 80])
def test_saturation_is_that_of_the_library(c: float) -> None:
    check("vapour", saturation_pa(c), psychrolib.GetSatVapPres(c), rel=1e-9, source=PSYCHRO)
    want = psychrolib.GetSatVapPres(c) - psychrolib.GetVapPresFromRelHum(c, 0.7)
    check("vapour", thirst_pa(c, 70), want, rel=1e-9, source=PSYCHRO)


@pytest.mark.parametrize(
    ("air_c", "humidity_pct", "surface_c", "dew_c", "margin_k", "safe"),
    [(20, 70, 16.5, 14.367, 2.1329, False), (22, 65, 20.0, 15.124, 4.8762, True)],
)
def test_a_cold_piece_is_measured_against_the_dew_point(
    air_c: float,
    humidity_pct: float,
    surface_c: float,
    dew_c: float,
    margin_k: float,
    *,
    safe: bool,
) -> None:
    found = dew(air_c, humidity_pct, surface_c)
    check("dew-point", found.dew_point_c, dew_c, abs=1e-3, source=PSYCHRO)
    check("dew-point", found.margin_c, margin_k, abs=1e-3, source=RULE)
    check("dew-point", found.is_safe, safe, source=RULE)
