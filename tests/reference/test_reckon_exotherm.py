"""The heat of a mix against closed forms, identities and a general quadrature."""

import math

import chemicals
import pytest
from chemicals.heat_capacity import CRC_standard_data
from scipy.integrate import quad

from benchmate.reckon import answer
from benchmate.reckon.heat.heat import (
    EPOXY_SHAPE,
    LIVELY_SHAPE,
    CupLoss,
    Lump,
    course,
    loss_of,
    scaled_to_pot_life,
    still_air_w_m2k,
)
from benchmate.reckon.heat.kinetics import Kinetics
from benchmate.reckon.heat.pour_lumps import wood_w_mk
from tests.reference.outside import check

CLOSED = "closed form of the rate law, by hand"
LLS = (
    "Lee-Loos-Springer law for 3501-6, constants per minute as in a public finite-element script,"
    " scipy quad"
)
ENERGY = "conservation of energy, by hand"
QUAD = "scipy quad of d alpha/rate along the adiabatic line"
R = 8.314462618
EPOXY = {"heat_j_g": 400, "specific_heat_j_gk": 1.8}
COOL = Lump(100.0, 20.0, heat_j_g=0.0)


def time_to(alpha: float, law: Kinetics) -> float:
    return course(COOL, law.rate, None, alpha).end_min


@pytest.mark.parametrize(
    ("order", "k1", "k2", "t_min", "alpha"),
    [
        (1.0, 0.02, 0.0, 60, 0.698805788),
        (2.0, 0.02, 0.0, 60, 0.545454545),
        (1.0, 0.002, 0.05, 60, 0.454313209),
        (1.0, 0.002, 0.05, 100, 0.873952987),
    ],
)
def test_the_solver_agrees_with_the_closed_forms(
    order: float, k1: float, k2: float, t_min: float, alpha: float
) -> None:
    solved = Kinetics(k1_per_min=k1, k2_per_min=k2, ref_c=20.0, n=order)
    check("cure kinetics", time_to(alpha, solved), t_min, rel=1e-5, source=CLOSED)


def lee_loos_springer(alpha: float, celsius: float) -> float:
    """A hot-cure prepreg's law, to try the solver on; it says nothing of a shop's pour."""
    rt = R * (celsius + 273.15)
    if alpha <= 0.3:
        k1 = 2.101e9 * math.exp(-8.07e4 / rt)
        k2 = -2.014e9 * math.exp(-7.78e4 / rt)
        return (k1 + k2 * alpha) * (1 - alpha) * (0.47 - alpha)
    return 1.960e5 * math.exp(-5.66e4 / rt) * (1 - alpha)


@pytest.mark.parametrize(
    ("kelvin", "alpha", "t_min"),
    [
        (400, 0.30, 39.4717153),
        (400, 0.50, 81.714293),
        (400, 0.90, 283.771992),
        (450, 0.30, 2.41753828),
        (450, 0.50, 8.79314953),
        (450, 0.90, 39.2894263),
    ],
)
def test_the_solver_follows_a_law_with_a_jump(kelvin: float, alpha: float, t_min: float) -> None:
    lump = Lump(100.0, kelvin - 273.15, heat_j_g=0.0)
    got = course(lump, lee_loos_springer, None, alpha).end_min
    check("cure kinetics", got, t_min, rel=0.002, source=LLS)


@pytest.mark.parametrize(
    ("typed", "rise"),
    [
        pytest.param({"resin_g": 100}, 222.222222, id="resin alone"),
        pytest.param({"resin_g": 44, "shot_g": 681, "shot": "lead"}, 106.050034, id="lead"),
        pytest.param({"resin_g": 44, "shot_g": 472.44, "shot": "iron"}, 60.3645649, id="iron"),
    ],
)
def test_shot_takes_up_heat(typed: dict[str, object], rise: float) -> None:
    found = answer("exotherm", {**typed, **EPOXY, "start_c": 21})
    source = f"{ENERGY}; specific heats from chemicals {chemicals.__version__} (CRC)"
    check("exotherm", found.number("adiabatic_rise_c"), rise, rel=1e-8, source=source)
    check("exotherm", found.number("peak_c"), 21 + rise, rel=1e-8, source=source)


def test_the_metals_heat_is_the_crc_tables() -> None:
    cas = chemicals.CAS_from_any("lead")
    heat = CRC_standard_data.loc[cas, "Cps"] / chemicals.MW(cas)
    want = 44 * 400 / (44 * 1.8 + 681 * heat)
    found = answer("exotherm", {"resin_g": 44, "shot_g": 681, "shot": "lead", **EPOXY})
    check("exotherm", found.number("adiabatic_rise_c"), want, rel=5e-4, source=ENERGY)


RUNAWAY = {"a_per_min": 6e7, "ea_j_mol": 55_000, "order": 1}


@pytest.mark.parametrize(
    ("rise", "t_min", "kelvin"),
    [(222.2222, 7.32038072, 404.2611), (106.0, 15.8382667, 346.15), (0.0, 72.8790896, 293.15)],
)
def test_a_mix_that_keeps_its_heat_runs_away(rise: float, t_min: float, kelvin: float) -> None:
    at_25 = 6e7 * math.exp(-55_000 / (R * 298.15))
    law = Kinetics(k1_per_min=at_25)
    lump = Lump(100.0, 20.0, heat_j_g=rise * 1.8, specific_heat_j_gk=1.8)
    found = course(lump, law.rate, None, 0.5)
    check("exotherm", found.end_min, t_min, rel=1e-5, source=QUAD)
    check("exotherm", found.end_c + 273.15, kelvin, rel=1e-6, source=QUAD)


@pytest.mark.parametrize("rise", [40.0, 106.0, 222.2])
def test_the_peaks_time_without_loss_is_that_of_99_per_cent(rise: float) -> None:
    def slowness(alpha: float) -> float:
        return 1 / (6e7 * math.exp(-55_000 / (R * (293.15 + alpha * rise))) * (1 - alpha))

    want = quad(slowness, 0, 0.99, epsabs=1e-10, limit=200)[0]
    typed = {"resin_g": 50, "heat_j_g": rise * 1.8, "specific_heat_j_gk": 1.8, "start_c": 20}
    found = answer("exotherm", {**typed, "kinetics": RUNAWAY})
    check("exotherm", found.number("peak_time_min"), want, rel=1e-5, source=QUAD)


def test_without_reaction_it_cools_as_newton_says() -> None:
    lump = Lump(166 / 1.8, 60.0, heat_j_g=0.0, specific_heat_j_gk=1.8)
    # A reaction without heat, used as a stopwatch: 1 - 1/e of it at 1328 s.
    stopwatch = Kinetics(k1_per_min=60 / 1328, activation_1_j_mol=0.0)
    found = course(lump, stopwatch.rate, loss_of(125.0, 20.0, 10.0), -math.expm1(-1))
    source = "Newton's law of cooling, closed form"
    check("exotherm", found.end_min * 60, 1328, rel=1e-6, source=source)
    check("exotherm", found.end_c, 34.7151776, rel=1e-5, source=source)


def test_a_peak_with_loss_stands_where_gain_and_loss_are_even() -> None:
    """At the top the heat made equals the heat lost; the solver is asked for both."""
    law, loss = scaled_to_pot_life(40, 25, 100), loss_of(130.0, 20.0, 6.0)
    lump = Lump(44.0, 20.0, 472.0, 0.4495)
    peak = course(lump, law.rate, loss)
    low, high = 0.0, 0.99
    for _ in range(40):
        middle = (low + high) / 2
        early = course(lump, law.rate, loss, middle).end_min < peak.peak_time_min
        low, high = (middle, high) if early else (low, middle)
    at_top = course(lump, law.rate, loss, low)
    made = lump.resin_g * lump.heat_j_g * law.rate(at_top.end_alpha, at_top.end_c)
    lost = loss.conductance_j_min_k * (at_top.end_c - 20.0)
    check("exotherm", made, lost, rel=1e-3, source=ENERGY)
    check("exotherm", peak.peak_c, at_top.end_c, abs=1e-3, source=ENERGY)


@pytest.mark.parametrize(("pot_life_min", "label_mass_g"), [(12, 100), (45, 150), (300, 300)])
def test_a_scaled_law_keeps_its_labels_pot_life(pot_life_min: float, label_mass_g: float) -> None:
    law = scaled_to_pot_life(pot_life_min, 25, label_mass_g)
    lump, loss = Lump(label_mass_g, 25.0), CupLoss(label_mass_g, 25.0)
    got = course(lump, law.rate, loss, 0.3).end_min
    check("exotherm", got, pot_life_min, rel=1e-3, source="the label's own statement")


def test_wood_conducts_as_the_handbook_says() -> None:
    source = "Wood Handbook ch. 4, linear formula, from memory: G 0.5 at 12 % gives 0.14 W/(m K)"
    check("exotherm", wood_w_mk(0.5, 12), 0.14, abs=0.005, source=source)


HOLMAN = (
    "Holman, Heat Transfer: simplified relation for an upright wall, 1.42 (dT/L)^(1/4), by hand"
)


@pytest.mark.parametrize(
    ("surface_c", "air_c", "height_m", "convection", "radiation"),
    [
        (40, 20, 0.05, 6.3504, 5.6870),
        (120, 20, 0.04, 10.0409, 8.2483),
        (25, 20, 0.1, 3.7760, 5.2753),
    ],
)
def test_still_air_takes_heat_as_the_handbook_says(
    surface_c: float, air_c: float, height_m: float, convection: float, radiation: float
) -> None:
    source = f"{HOLMAN}; radiation 4 x 0.9 x 5.670374e-8 T^3 (CODATA 2018)"
    got = still_air_w_m2k(surface_c, air_c, height_m)
    check("exotherm", got, convection + radiation, rel=2e-5, source=source)


@pytest.mark.parametrize(
    ("pot_life_min", "label_mass_g", "soonest_h", "latest_h"),
    [pytest.param(15, 100, 1.5, 4, id="quick"), pytest.param(45, 150, 4, 12, id="slow")],
)
def test_a_thin_film_of_both_shapes_gels_when_such_labels_call_it_tacky(
    pot_life_min: float, label_mass_g: float, soonest_h: float, latest_h: float
) -> None:
    """Tack times of casting epoxies: common ranges of labels, from memory."""
    for shape in (EPOXY_SHAPE, LIVELY_SHAPE):
        law = scaled_to_pot_life(pot_life_min, 21, label_mass_g, shape)
        gel_h = course(Lump(10, 21, heat_j_g=0), law.rate, None, 0.58).end_min / 60
        assert soonest_h <= gel_h <= latest_h


@pytest.mark.parametrize("mass_g", [20.0, 54.0, 100.0, 500.0])
def test_a_cups_balance_agrees_with_a_plain_march_in_small_steps(mass_g: float) -> None:
    """Euler's steps of 1/400 min beside the solver: the same peak."""
    law, loss = scaled_to_pot_life(45, 21, 150), CupLoss(mass_g, 21)
    alpha, celsius, peak, step = 0.0, 21.0, 21.0, 1 / 400
    for _ in range(400 * 240):
        rate = law.rate(alpha, celsius)
        lost = loss.flow_j_min(celsius) / (mass_g * 1.8)
        alpha, celsius = alpha + step * rate, celsius + step * (400 / 1.8 * rate - lost)
        peak = max(peak, celsius)
    got = course(Lump(mass_g, 21), law.rate, loss).peak_c
    check("exotherm", got, peak, abs=0.5, source="Euler's method, by hand")
