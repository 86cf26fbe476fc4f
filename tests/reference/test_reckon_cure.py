"""Cures in the shop's air against Arrhenius' law by hand and a general quadrature."""

import math
from random import Random

import numpy as np
import pytest
from scipy.integrate import quad
from uncertainties import ufloat

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.plan.rates import Rule
from benchmate.reckon import answer
from benchmate.reckon.heat.careful import cure_rates
from benchmate.reckon.heat.equivalent_age import cure_along, equivalent_age_h
from benchmate.reckon.heat.kinetics import R_J_MOL_K, activation_between, rate_ratio
from tests.reference.outside import check

C1074 = "equivalent age in the form of ASTM C1074, Q = 5000 K, worked by hand"
ARRHENIUS = "Arrhenius' law worked by hand, R = 8.314462618"
QUAD = "scipy.integrate.quad of the rate"
FINE = "independent sum over steps of 1 s"
Q_J_MOL = 5000 * R_J_MOL_K
AT_20 = {"label_time_h": 24, "label_c": 20, "activation_energy_kj_mol": Q_J_MOL / 1000}


@pytest.mark.parametrize(
    ("log", "between", "age_h", "rel"),
    [
        pytest.param([[0, 20], [24, 20]], "held", 24.0, 1e-9, id="at the label's temperature"),
        pytest.param([[0, 10], [12, 30], [24, 30]], "held", 27.6335324, 1e-8, id="cold then warm"),
        pytest.param([[0, 5], [24, 5]], "held", 9.56639245, 1e-8, id="cold throughout"),
        pytest.param([[0, 10], [24, 30]], "linear", 25.2048186, 1e-6, id="a straight ramp"),
    ],
)
def test_a_log_is_worth_its_equivalent_age(
    log: list[list[float]], between: str, age_h: float, rel: float
) -> None:
    found = answer("cure", {**AT_20, "log": log, "between": between})
    source = QUAD if between == "linear" else C1074
    check("cure", found.number("equivalent_age_h"), age_h, rel=rel, source=source)


def test_a_shop_at_14_takes_34_hours_for_24() -> None:
    found = answer("cure", {**AT_20, "shop_c": 14})
    check("cure", found.number("time_h"), 34.2758625, rel=1e-8, source=C1074)


@pytest.mark.parametrize(("shop_c", "time_min"), [(15, 64.7911889), (30, 20.8063983), (25, 30.0)])
def test_a_time_moves_with_temperature(shop_c: float, time_min: float) -> None:
    typed = {"label_time_h": "30 min", "label_c": 25, "shop_c": shop_c}
    found = answer("cure", {**typed, "activation_energy_kj_mol": 55})
    check("cure", 60 * found.number("time_h"), time_min, rel=1e-8, source=ARRHENIUS)
    again = answer("cure", {**typed, "second_time_h": time_min / 60, "second_c": shop_c + 1e-9})
    check("cure", 60 * again.number("time_h"), time_min, rel=1e-6, source=ARRHENIUS)


def test_the_rule_of_thumb_of_ten_degrees() -> None:
    check("cure", rate_ratio(30, 20, 55_000), 2.10508655, rel=1e-8, source=ARRHENIUS)
    check("cure", activation_between(2, 20, 1, 30), 51216.1722, rel=1e-8, source=ARRHENIUS)


def random_log(chance: Random) -> list[tuple[float, float]]:
    t, points = 0.0, []
    for _ in range(chance.randint(2, 12)):
        points.append((t, chance.uniform(-5, 35)))
        t += chance.uniform(0.1, 20)
    return points


@pytest.mark.parametrize("seed", range(8))
def test_straight_lines_between_readings_meet_a_general_quadrature(seed: int) -> None:
    points = random_log(Random(seed))
    hours, celsius = zip(*points, strict=True)

    def rate(t: float) -> float:
        kelvin = float(np.interp(t, hours, celsius)) + 273.15
        return math.exp(-55_000 / R_J_MOL_K * (1 / kelvin - 1 / 293.15))

    want = quad(rate, 0, hours[-1], points=hours[1:-1] or None, epsabs=1e-12, limit=500)[0]
    got = equivalent_age_h(points, 20, 55_000, "linear")
    check("cure", got, want, rel=1e-8, source=QUAD)
    if want > 1.0:
        done = cure_along(points, want / 2, 20, 55_000, "linear").done_h
        half = quad(rate, 0, done, points=[h for h in hours if 0 < h < done] or None, limit=500)[0]
        check("cure", half, want / 2, rel=1e-7, source=QUAD)


COLD_NIGHT = [
    (0, 19.0),
    (2, 17.5),
    (4, 14.0),
    (6, 10.5),
    (9, 7.0),
    (13, 6.2),
    (15, 9.0),
    (17, 15.0),
    (19, 18.5),
    (28, 14.5),
    (30, 12.0),
]


@pytest.mark.parametrize("label_h", [3.0, 8.0, 16.0, 30.0])
def test_a_windows_end_over_a_cold_night_meets_a_fine_integration(label_h: float) -> None:
    """The clock's own sums against a plain loop that knows nothing of them."""
    log = AirLog([Reading(3600.0 * h, c) for h, c in COLD_NIGHT])
    begun_s = 1.3 * 3600
    got = log.reaches(Rule(family="arrhenius", ref_c=20), begun_s, label_h * 3600).t
    t, done, step = begun_s, 0.0, 1.0
    while done < label_h * 3600:
        celsius = [c for h, c in COLD_NIGHT if 3600 * h <= t][-1]
        kelvin = celsius + 273.15
        done += step * math.exp(55_000 / 8.314462618 * (1 / 293.15 - 1 / kelvin))
        t += step
    check("window under a log", got - begun_s, t - begun_s, rel=1e-3, source=FINE)


@pytest.mark.parametrize("seed", range(8))
def test_a_windows_progress_meets_a_general_quadrature(seed: int) -> None:
    points = random_log(Random(f"held {seed}"))
    log = AirLog([Reading(3600.0 * h, c) for h, c in points])
    hours, celsius = zip(*points, strict=True)

    def rate(t: float) -> float:
        kelvin = celsius[int(np.searchsorted(hours, t, side="right")) - 1] + 273.15
        return math.exp(-55_000 / R_J_MOL_K * (1 / kelvin - 1 / 293.15))

    end = hours[-1] + 5
    want = sum(quad(rate, a, b)[0] for a, b in zip(hours, (*hours[1:], end), strict=True))
    got = log.progress(Rule(family="arrhenius", ref_c=20), 0.0, 3600 * end).mid / 3600
    check("window under a log", got, want, rel=1e-9, source=QUAD)


@pytest.mark.parametrize("shop_c", [5.0, 15.0, 19.0, 28.0])
def test_the_doubts_of_a_cure_add_up_as_the_uncertainties_library_adds_them(shop_c: float) -> None:
    energy, label = ufloat(55_000, 5_500), ufloat(0.0, math.log(1.1))
    inverse = 1 / 294.15 - 1 / (shop_c + 273.15)
    want = energy / R_J_MOL_K * inverse + label
    slow, mid, quick = cure_rates(shop_c, 21.0, (49_500.0, 55_000.0, 60_500.0))
    ends = [math.log(slow), math.log(mid), math.log(quick)]
    outside = [want.n - want.s, want.n, want.n + want.s]
    check("cure", ends, outside, rel=1e-9, source="uncertainties, linear propagation (JCGM 100)")
