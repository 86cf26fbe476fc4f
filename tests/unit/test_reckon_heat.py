"""The heat of a mix: properties, what JSON is taken, and the advice before a pour."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmate.quantities.worded import in_units
from benchmate.reckon import Refused, answer
from benchmate.reckon.heat.exotherm import kinetics_from, loss_from
from benchmate.reckon.heat.heat import (
    EPOXY_SHAPE,
    LIVELY_SHAPE,
    CupLoss,
    Loss,
    Lump,
    course,
    loss_of,
    scaled_to_pot_life,
    still_air_w_m2k,
)
from benchmate.reckon.heat.kinetics import Kinetics
from benchmate.reckon.heat.pour_heat import CupOfMix, LayerInVoid, cup_heat, pour_heat
from benchmate.reckon.heat.pour_lumps import cup_course, pourable_min, void_course

few = settings(max_examples=15)
masses = st.floats(5, 500)


@few
@given(masses, st.floats(5, 35), st.floats(20, 300), st.floats(0, 20))
def test_nothing_exceeds_the_adiabatic_rise_and_loss_only_cools(
    mass_g: float, start_c: float, area_cm2: float, w_m2k: float
) -> None:
    law, lump = scaled_to_pot_life(40, 25, 100), Lump(mass_g, start_c)
    free = course(lump, law.rate)
    lossy = course(lump, law.rate, loss_of(area_cm2, start_c, w_m2k))
    assert lossy.peak_c <= free.peak_c + 1e-3
    assert free.peak_c <= start_c + lump.adiabatic_rise_c + 1e-3
    assert free.end_c - start_c == pytest.approx(free.end_alpha * lump.adiabatic_rise_c, rel=1e-4)


@few
@given(masses, st.floats(10, 2000), st.floats(1.1, 3))
def test_more_shot_means_less_heat(resin_g: float, shot_g: float, more: float) -> None:
    some = Lump(resin_g, 20, shot_g, 0.4495)
    assert replace(some, shot_g=shot_g * more).adiabatic_rise_c < some.adiabatic_rise_c


@few
@given(st.floats(20, 600), st.floats(1.05, 4))
def test_a_larger_cup_is_never_cooler_and_never_pourable_for_longer(
    mass_g: float, more: float
) -> None:
    law = scaled_to_pot_life(40, 25, 100)
    small = CupOfMix(mass_g=mass_g, start_c=22, pot_life_min=40)
    large = replace(small, mass_g=mass_g * more)
    assert cup_course(large, law).peak_c >= cup_course(small, law).peak_c - 1e-3
    assert pourable_min(large, law) <= pourable_min(small, law) + 1e-3


@pytest.mark.parametrize("pot_life_min", [10, 30, 120, 600])
@pytest.mark.parametrize("mass_g", [150, 300, 1000])
def test_the_clocks_cautious_shortening_covers_the_lumped_reckoning(
    pot_life_min: float, mass_g: float
) -> None:
    """The clock's quick end is never later than the lump's own shortening, its middle (cube root of
    the mass) hardly."""
    law = scaled_to_pot_life(pot_life_min, 25, 100)
    cup = CupOfMix(mass_g=mass_g, start_c=25, pot_life_min=pot_life_min)
    share = pourable_min(cup, law) / pot_life_min
    assert share >= (100 / mass_g) ** (2 / 3)
    assert share >= 0.95 * (100 / mass_g) ** (1 / 3)


KINETICS = {"pot_life_min": 40, "label_c": 25, "label_mass_g": 100}


@pytest.mark.parametrize(
    ("data", "k1", "k2"),
    [
        pytest.param({"k1_per_min": 0.01}, 0.01, 0.0, id="one rate"),
        pytest.param({"K1_per_min": 0.01, "k2_per_min": 0.2, "E1_kJ_mol": 60}, 0.01, 0.2, id="two"),
        pytest.param({"A_per_min": 6e7, "Ea_J_mol": 55000, "order": 1}, 0.01388, 0, id="factor"),
        pytest.param({"a_per_min": 6e7, "ea_kj_mol": 55, "at_c": 20}, 0.009511, 0, id="at 20 °C"),
    ],
)
def test_kinetics_are_read_as_they_are_meant(data: dict[str, object], k1: float, k2: float) -> None:
    law = kinetics_from(data)
    assert law.k1_per_min == pytest.approx(k1, rel=1e-3)
    assert law.k2_per_min == pytest.approx(k2)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ({}, "kinetics needs pot_life_min"),
        ({"k2_per_min": 1}, "the cure never begins"),
        ({"k1_per_min": -1}, "at least 0"),
        ({"speed": 1}, "no field “speed”"),
        ("quick", "must be an object"),
        ({"pot_life_min": 0}, "above 0"),
    ],
)
def test_kinetics_that_are_none_are_refused(data: object, says: str) -> None:
    with pytest.raises(Refused) as refused:
        kinetics_from(data)
    assert says in str(refused.value)


def test_loss_is_read_by_area_or_as_a_cup() -> None:
    lump = Lump(120, 21)
    assert loss_from({"area_m2": 0.0125}, lump) == loss_of(125, 21)
    assert loss_from({"area_cm2": 125, "h_W_m2K": 5, "ambient_C": 10}, lump) == loss_of(125, 10, 5)
    assert loss_from({"cup": True}, lump) == CupLoss(120, 21)
    assert loss_from({"cup": True, "ambient_c": 12}, lump) == CupLoss(120, 12)
    assert loss_from({"h_w_m2k": 0}, lump) == Loss(0.0, 21)
    with pytest.raises(Refused, match="area_cm2"):
        loss_from({}, lump)


def test_rough_values_are_called_rough_and_the_worst_case_so() -> None:
    notes = " ".join(answer("exotherm", {"resin_g": 100}).notes)
    assert notes.count("Rough:") == 2
    assert "Worst case" in notes
    given_all = {"resin_g": 50, "heat_j_g": 380, "specific_heat_j_gk": 1.7, "kinetics": KINETICS}
    assert answer("exotherm", {**given_all, "loss": {"cup": True}}).notes == ()


def test_shot_without_its_metal_is_refused() -> None:
    with pytest.raises(Refused, match="shot=steel"):
        answer("exotherm", {"resin_g": 50, "shot_g": 10})


def test_a_cure_too_slow_to_follow_is_said_to_be() -> None:
    found = answer("exotherm", {"resin_g": 50, "kinetics": {"k1_per_min": 1e-9}})
    assert any("After 60 days" in note for note in found.notes)


BOOKEND = LayerInVoid(
    resin_g=22,
    shot_g=236,
    shot_density_g_cm3=7.8,
    shot_specific_heat_j_gk=0.4495,
    width_mm=40,
    wall_mm=12,
    shop_c=18,
)
SLOW = CupOfMix(mass_g=45, start_c=18, pot_life_min=300)


def test_a_small_slow_mix_on_much_shot_needs_no_advice() -> None:
    found = pour_heat(SLOW, BOOKEND)
    assert found.cautions == ()
    assert found.advice == ()
    assert found.void.peak_c < 30
    assert any("rough" in line for line in found.rough)


def test_a_quick_warm_pour_of_little_shot_is_cautioned_with_new_numbers() -> None:
    quick = CupOfMix(mass_g=150, start_c=24, pot_life_min=25, heat_j_g=420)
    found = pour_heat(quick, replace(BOOKEND, resin_g=40, shot_g=120, shop_c=24))
    assert len(found.cautions) == 2
    assert all("rough" in caution for caution in found.cautions)
    starts = [line.split(":")[0] for line in found.advice]
    assert "More shot first" in starts
    assert "A cooler start" in starts
    assert found.void.peak_c < found.void_adiabatic_c
    warm = pour_heat(replace(quick, start_c=27), BOOKEND)
    assert warm.pourable_min < found.pourable_min < 25


def numbers_in(line: str) -> list[float]:
    words = line.replace(",", " ").replace(":", " ").split()
    return [float(word) for word in words if word.replace(".", "").isdigit()]


def test_the_advice_keeps_what_it_promises() -> None:
    cup = CupOfMix(mass_g=60, start_c=22, pot_life_min=30)
    layer = replace(BOOKEND, resin_g=28, shot_g=180, shop_c=22)
    found = pour_heat(cup, layer)
    law = scaled_to_pot_life(30, 25, 100, LIVELY_SHAPE)
    line = next(a for a in found.advice if a.startswith("Shallower"))
    layers, shot_g, resin_g, promised_c = numbers_in(line)
    thin = replace(layer, shot_g=shot_g, resin_g=resin_g)
    assert layers * shot_g == pytest.approx(layer.shot_g, rel=0.02)
    assert void_course(cup, thin, law).peak_c == pytest.approx(promised_c, abs=1.5)
    assert promised_c <= layer.bears_c
    line = next(a for a in found.advice if a.startswith("A cooler start"))
    start_c = numbers_in(line)[0]
    cool = void_course(replace(cup, start_c=start_c), replace(layer, shop_c=start_c), law)
    assert cool.peak_c <= layer.bears_c + 1.5


def test_smaller_mixes_are_offered_where_they_help() -> None:
    cup = CupOfMix(mass_g=300, start_c=25, pot_life_min=120)
    found = pour_heat(cup, replace(BOOKEND, shop_c=25))
    line = next(a for a in found.advice if a.startswith("Smaller mixes"))
    mixes, each_g = numbers_in(line)[:2]
    assert mixes * each_g == pytest.approx(300, abs=mixes)
    law = scaled_to_pot_life(120, 25, 100, LIVELY_SHAPE)
    assert cup_course(replace(cup, mass_g=each_g), law).peak_c <= cup.bears_c + 1


# Small cups and thin films ------------------------------------------------------------------------


@few
@given(st.floats(15, 600), st.floats(50, 300), st.floats(1, 3000), st.floats(1.2, 5))
def test_a_cups_peak_grows_with_its_mass_between_the_air_and_the_adiabatic_rise(
    pot_life_min: float, label_mass_g: float, mass_g: float, more: float
) -> None:
    law = scaled_to_pot_life(pot_life_min, 22, label_mass_g)
    small = CupOfMix(mass_g=mass_g, start_c=22, pot_life_min=pot_life_min)
    peaks = [cup_course(replace(small, mass_g=m), law).peak_c for m in (mass_g, mass_g * more)]
    assert 22 <= peaks[0] <= peaks[1] + 1e-3
    assert peaks[1] <= 22 + Lump(mass_g, 22).adiabatic_rise_c


@pytest.mark.parametrize("shape", [EPOXY_SHAPE, LIVELY_SHAPE], ids=["usual", "lively"])
@pytest.mark.parametrize(("pot_life_min", "label_mass_g"), [(30, 100), (45, 150), (120, 100)])
def test_a_large_mass_is_nearly_adiabatic_and_a_spoonful_hardly_warm(
    pot_life_min: float, label_mass_g: float, shape: Kinetics
) -> None:
    law = scaled_to_pot_life(pot_life_min, 21, label_mass_g, shape)

    def peak_c(mass_g: float) -> float:
        return cup_course(CupOfMix(mass_g=mass_g, start_c=21, pot_life_min=45), law).peak_c

    assert peak_c(3) < 26
    assert peak_c(1e6) > 21 + 0.97 * Lump(1, 21).adiabatic_rise_c


def test_54_grams_of_a_slow_epoxy_stay_far_cooler_than_500() -> None:
    cup = CupOfMix(mass_g=54, start_c=21, pot_life_min=45, label_c=21, label_mass_g=150)
    small, large = cup_heat(cup), cup_heat(replace(cup, mass_g=500))
    assert small.course.peak_c < 80
    assert large.course.peak_c > 200
    assert small.lively_c < large.lively_c - 40
    (said,) = small.cautions
    assert said.startswith("Left in its cup this mix may reach about 60 °C, or 170 °C if the resin")
    assert in_units(said, "inch").startswith(
        "Left in its cup this mix may reach about 140 °F, or 338 °F if the resin"
    )


@pytest.mark.parametrize("thickness_mm", [1.0, 2.0, 3.0])
def test_what_is_spread_thin_stays_as_warm_as_the_shop(thickness_mm: float) -> None:
    law = scaled_to_pot_life(45, 21, 150)
    area_cm2 = 100 / 1.1 / thickness_mm * 10
    found = course(Lump(100, 21), law.rate, loss_of(area_cm2, 21))
    assert found.peak_c - 21 < 4 * thickness_mm


def test_a_warmer_cup_loses_more_to_each_degree() -> None:
    assert still_air_w_m2k(30, 20, 0.05) < still_air_w_m2k(60, 20, 0.05)
