"""Net weights and conformity: properties, refusals and what the reckoner says of them."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.reckon import Refused, answer
from benchmate.reckon.weight.conformity import (
    Verdict,
    guard_zones,
    largest_guard,
    probability_inside,
)
from benchmate.reckon.weight.weighing import (
    Scale,
    Term,
    combine,
    net_weight,
    shared_reading_covariance,
)

weights = st.floats(0.0, 5000.0)
divisions = st.sampled_from([0.01, 0.1, 0.5, 1.0, 5.0])
spreads = st.floats(0.001, 5.0)


@given(weights, weights, divisions, spreads, st.integers(2, 30), st.floats(0.0, 5.0))
def test_u_never_falls_below_rounding_nor_k_below_2(
    gross: float, tare: float, division: float, spread: float, n: int, linearity: float
) -> None:
    net = net_weight([gross], [tare], Scale(division, spread, n, linearity))
    assert net.net_g == pytest.approx(gross - tare)
    assert net.u_g >= division / math.sqrt(6) * (1 - 1e-12)
    assert net.k >= 2.0
    assert net.U_g == pytest.approx(net.k * net.u_g)
    assert net.dof >= (n - 1) * (1 - 1e-12)


@given(divisions, spreads, st.integers(1, 20))
def test_reading_again_lessens_repeatability_but_never_rounding(
    division: float, spread: float, readings: int
) -> None:
    scale = Scale(division, spread, 10)
    once = net_weight([1.0], [0.0], scale)
    often = net_weight([1.0] * readings, [0.0] * readings, scale)
    rounding = scale.division_g**2 / 6
    assert often.u_g**2 - rounding == pytest.approx((once.u_g**2 - rounding) / readings, rel=1e-6)


@given(st.lists(st.floats(1e-3, 1e3), min_size=1, max_size=8), st.floats(0.01, 100.0))
def test_terms_in_another_unit_give_the_same_degrees_of_freedom(
    sizes: list[float], factor: float
) -> None:
    here = combine([Term("", size, 5.0 + i) for i, size in enumerate(sizes)])
    there = combine([Term("", factor * size, 5.0 + i) for i, size in enumerate(sizes)])
    assert there.u == pytest.approx(factor * here.u)
    assert there.dof == pytest.approx(here.dof)


def test_nothing_uncertain_is_known_for_certain() -> None:
    found = combine([Term("none", 0.0, 3)])
    assert (found.u, found.dof) == (0.0, math.inf)


@given(divisions, spreads, st.integers(1, 9))
def test_the_share_of_a_common_tare_is_the_tares_own_variance(
    division: float, spread: float, readings: int
) -> None:
    scale = Scale(division, spread, 10)
    shared = shared_reading_covariance(scale, readings)
    assert 0.0 < shared < net_weight([1.0], [0.0] * readings, scale).u_g ** 2
    assert shared_reading_covariance(scale, readings, opposite=True) == -shared


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ((0.0,), "above zero"),
        ((-1.0,), "above zero"),
        ((math.inf,), "above zero"),
        ((1.0, -0.1), "negative"),
        ((1.0, 0.1, 1), "at least twice"),
        ((1.0, 0.1, 10, math.nan), "negative or endless"),
    ],
)
def test_an_impossible_scale_is_refused(values: tuple[Any, ...], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        Scale(*values)


@pytest.mark.parametrize(
    ("gross", "tare", "said"),
    [([], [1.0], "no gross"), ([1.0], [], "no tare"), ([math.nan], [1.0], "must be a number")],
)
def test_missing_readings_are_refused(gross: list[float], tare: list[float], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        net_weight(gross, tare, Scale(1.0))


limits = st.floats(-1000.0, 1000.0)


@given(limits, st.floats(0.01, 50.0), st.floats(0.0, 100.0), st.floats(-2000.0, 2000.0))
def test_inside_below_and_above_add_up_to_certainty(
    low: float, u: float, width: float, y: float
) -> None:
    high = low + width
    below = probability_inside(y, u, None, low)
    above = probability_inside(y, u, high, None)
    inside = probability_inside(y, u, low, high)
    assert below + inside + above == pytest.approx(1.0, abs=1e-9)
    assert 0.0 <= inside <= 1.0


@given(st.floats(0.01, 50.0), st.floats(3.0, 200.0))
def test_student_is_more_cautious_than_normal_about_a_good_result(u: float, dof: float) -> None:
    normal = probability_inside(0.0, u, -2.5 * u, 2.5 * u)
    assert probability_inside(0.0, u, -2.5 * u, 2.5 * u, dof) < normal


@given(limits, st.floats(0.1, 100.0), st.floats(0.0, 60.0), limits)
def test_zones_have_one_verdict_for_every_result(
    low: float, width: float, guard: float, y: float
) -> None:
    zones = guard_zones(low, low + width, guard)
    verdict = zones.verdict(y)
    if guard > width / 2 * (1 + 1e-6):
        assert verdict in (Verdict.NO_ACCEPTANCE_ZONE, Verdict.REJECT)
    if verdict is Verdict.ACCEPT:
        assert low - 1e-6 <= y <= low + width + 1e-6
    if verdict is Verdict.REJECT:
        assert not low <= y <= low + width


@pytest.mark.parametrize(
    ("y", "verdict"),
    [
        (850.3 - 0.6, Verdict.INCONCLUSIVE),
        (849.7 + 0.6, Verdict.ACCEPT),
        (849.7 - 0.6, Verdict.INCONCLUSIVE),
        (849.0, Verdict.REJECT),
        (850.9, Verdict.ACCEPT),
        (852.1, Verdict.INCONCLUSIVE),
        (852.2, Verdict.REJECT),
    ],
)
def test_a_value_on_a_zones_limit_is_accepted_and_not_rejected(y: float, verdict: Verdict) -> None:
    assert guard_zones(849.7, 851.5, 0.6).verdict(y) is verdict


def test_without_uncertainty_the_limits_themselves_are_inside() -> None:
    assert probability_inside(10.0, 0.0, 10.0, 20.0) == 1.0
    assert probability_inside(20.1, 0.0, 10.0, 20.0) == 0.0
    assert largest_guard(10.0, 20.0) == 5.0
    assert largest_guard(None, 20.0) == math.inf


def test_limits_and_uncertainties_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="above the upper"):
        probability_inside(1.0, 1.0, 3.0, 2.0)
    with pytest.raises(ValueError, match="negative"):
        probability_inside(1.0, -1.0, 1.0, 2.0)
    with pytest.raises(ValueError, match="negative"):
        guard_zones(1.0, 2.0, -0.1)


WEIGHING: dict[str, Any] = {
    "gross_g": [1012.4, 1012.6, 1012.5],
    "tare_g": 162.3,
    "division_g": 0.1,
    "repeatability_g": 0.1,
    "repeatability_n": 10,
    "linearity_g": 0.2,
    "target_g": 850,
    "tolerance_g": 8,
}


def test_a_list_of_readings_is_taken_as_its_mean() -> None:
    found = answer("weight", WEIGHING)
    assert found.number("net_g") == pytest.approx(850.2)
    assert found.results["net_g"].u == found.number("u_g")
    assert any("proved" in note for note in found.notes)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"target_g": 858.1}, "can't tell whether it is inside"),
        ({"target_g": 900}, "Outside"),
        ({"tolerance_g": 0.2}, "No reading of this scale can prove"),
        ({"repeatability_g": None, "repeatability_n": None}, "repeatability isn't known"),
        ({"linearity_g": None}, "linearity isn't known"),
        ({"gross_g": [1010.0, 1015.0]}, "spread much more"),
        ({"repeatability_n": 3, "repeatability_g": 2}, "Student"),
        ({"gross_g": 1.5, "tare_g": 0, "target_g": None, "tolerance_g": None}, "20 divisions"),
    ],
)
def test_the_reckoner_says_what_matters(changed: dict[str, Any], said: str) -> None:
    assert any(said in note for note in answer("weight", WEIGHING | changed).notes)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"tolerance_g": None}, "tolerance_g is missing"),
        ({"target_g": None}, "target_g is missing"),
        ({"repeatability_g": None}, "repeatability_n alone"),
        ({"gross_g": 100}, "exchanged"),
        ({"repeatability_n": 1}, "repeatability_n must be"),
    ],
)
def test_the_reckoner_refuses_what_cannot_be(changed: dict[str, Any], said: str) -> None:
    with pytest.raises(Refused, match=said):
        answer("weight", WEIGHING | changed)


def test_an_empty_dish_may_read_a_little_below_zero() -> None:
    found = answer("weight", {"gross_g": 162.2, "tare_g": 162.3, "division_g": 0.1})
    assert found.number("net_g") == pytest.approx(-0.1)
    assert found.results["dof"].value is None
