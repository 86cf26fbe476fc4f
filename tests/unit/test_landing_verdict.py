"""Verdicts, first form: the reading, the plan and the scale's division."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.landing.verdict import Verdict, simple_verdict

ON, NEAR, OFF, CANT = Verdict


@pytest.mark.parametrize(
    ("value", "tolerance", "division", "verdict"),
    [
        pytest.param(127.0, 6.0, 0.1, ON, id="spot on"),
        pytest.param(131.0, 6.0, 0.1, ON, id="two thirds of the tolerance is still on plan"),
        pytest.param(131.1, 6.0, 0.1, NEAR, id="beyond two thirds"),
        pytest.param(122.9, 6.0, 0.1, NEAR, id="light, beyond two thirds"),
        pytest.param(133.0, 6.0, 0.1, NEAR, id="on the limit is inside"),
        pytest.param(133.1, 6.0, 0.1, OFF, id="a division beyond the limit"),
        pytest.param(118.4, 6.0, 0.1, OFF, id="far light"),
        pytest.param(133.0, 6.0, 6.0, NEAR, id="a division as wide as the tolerance still tells"),
        pytest.param(127.0, 6.0, 10.0, CANT, id="too coarse"),
        pytest.param(143.0, 6.0, 10.0, CANT, id="too coarse and out by both together"),
        pytest.param(144.0, 6.0, 10.0, OFF, id="too coarse, but out by more than both"),
        pytest.param(127.0, 0.0, 1.0, CANT, id="no scale shows a tolerance of nothing"),
    ],
)
def test_a_reading_is_judged_by_tolerance_and_division(
    value: float, tolerance: float, division: float, verdict: Verdict
) -> None:
    assert simple_verdict(value, 127.0, tolerance, division).verdict is verdict


def test_a_limit_that_binary_numbers_miss_still_counts_as_inside() -> None:
    assert simple_verdict(850.3 - 0.6, 850.3, 0.6, 0.1).verdict is NEAR


def test_off_plan_says_by_how_much() -> None:
    found = simple_verdict(118.4, 127.0, 5.0, 0.1)
    assert found.said() == "8.6 g light"
    assert found.difference_g == pytest.approx(-8.6)
    assert found.lines[0] == "118.4 g against 127.0 g ± 5.0 g: 8.6 g light."


def test_another_unit_is_spoken_where_it_is_wanted() -> None:
    found = simple_verdict(118.4, 127.0, 5.0, 0.1)
    assert found.said(lambda g, _: f"{g / 28.349523125:.2f} oz") == "0.30 oz light"


@pytest.mark.parametrize(
    ("tolerance", "division", "finer"),
    [(5.0, 10.0, "1 g"), (0.5, 1.0, "0.1 g"), (0.3, 1.0, "0.1 g"), (15.0, 20.0, "5 g")],
)
def test_too_coarse_a_scale_says_what_to_do_instead(
    tolerance: float, division: float, finer: str
) -> None:
    found = simple_verdict(127.0, 127.0, tolerance, division)
    assert f"use one that shows {finer}" in found.settle
    assert f"widen the tolerance to ± {division:.0f} g" in found.settle
    assert found.lines[1] == found.settle


@given(
    off=st.floats(-50, 50), tolerance=st.floats(0.1, 20), division=st.sampled_from([0.1, 1, 5, 10])
)
def test_heavy_and_light_are_judged_alike(off: float, tolerance: float, division: float) -> None:
    heavy = simple_verdict(off, 0.0, tolerance, division)
    light = simple_verdict(-off, 0.0, tolerance, division)
    assert heavy.verdict is light.verdict


@given(off=st.floats(0, 50), further=st.floats(0, 50), division=st.sampled_from([0.1, 1, 5, 10]))
def test_further_off_is_never_better(off: float, further: float, division: float) -> None:
    rank = [ON, NEAR, CANT, OFF]
    near = simple_verdict(off, 0.0, 6.0, division).verdict
    far = simple_verdict(off + further, 0.0, 6.0, division).verdict
    assert rank.index(far) >= rank.index(near)


@pytest.mark.parametrize(
    ("plan", "tolerance", "words"),
    [
        (float("nan"), 5.0, "planned weight"),
        (127.0, -1.0, "tolerance is -1"),
        (127.0, float("inf"), "tolerance"),
    ],
)
def test_a_plan_that_cannot_be_judged_against_is_refused(
    plan: float, tolerance: float, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        simple_verdict(127.0, plan, tolerance, 0.1)
