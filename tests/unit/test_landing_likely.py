"""Verdicts from what the scale knows."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from benchmate.landing.likely import (
    Remedy,
    Thresholds,
    judge,
    remedies_for,
    tolerance_seen_by,
)
from benchmate.landing.verdict import Verdict, simple_verdict
from benchmate.reckon.weight.weighing import Scale, combine, net_terms

ON, NEAR, OFF, CANT = Verdict
KITCHEN = Scale(1.0, 0.5, 10, 1.0)
FINE = Scale(0.1, 0.1, 10, 0.2)


@pytest.mark.parametrize(
    ("off", "u", "verdict"),
    [
        pytest.param(0.0, 1.0, ON, id="in the middle"),
        pytest.param(7.0, 1.0, NEAR, id="surely inside, but beyond two thirds"),
        pytest.param(9.0, 1.0, NEAR, id="reads inside, not surely"),
        pytest.param(10.5, 1.0, CANT, id="reads outside, not surely"),
        pytest.param(11.6, 1.0, CANT, id="a shade short of surely out"),
        pytest.param(11.7, 1.0, OFF, id="surely out: 1.645 u beyond the limit"),
        pytest.param(-11.7, 1.0, OFF, id="surely out, light"),
        pytest.param(0.0, 5.2, CANT, id="too coarse even in the middle"),
        pytest.param(12.0, 40.0, CANT, id="hardly ever inside, but only because of the scale"),
        pytest.param(80.0, 40.0, OFF, id="a coarse scale still sees what is far out"),
    ],
)
def test_the_verdict_follows_the_probability(off: float, u: float, verdict: Verdict) -> None:
    assert judge(500.0 + off, u, 500.0, 10.0).verdict is verdict


@given(
    off=st.floats(-20, 20),
    tolerance=st.floats(0.5, 15),
    near=st.floats(0.3, 0.9),
)
def test_without_doubt_it_is_the_simple_verdict(off: float, tolerance: float, near: float) -> None:
    # A limit itself is where a vanishing doubt still halves the probability.
    assume(min(abs(abs(off) - tolerance), abs(abs(off) - near * tolerance)) > 1e-6)
    simple = simple_verdict(500.0 + off, 500.0, tolerance, 1e-9, near).verdict
    rules = Thresholds(near_fraction=near)
    for u in (0.0, 1e-9, 1e-7):
        assert judge(500.0 + off, u, 500.0, tolerance, thresholds=rules).verdict is simple


@pytest.mark.parametrize("off", [10.0, -10.0, 20.0 / 3.0])
def test_without_doubt_a_limit_itself_is_judged_as_in_the_first_form(off: float) -> None:
    simple = simple_verdict(500.0 + off, 500.0, 10.0, 1e-9).verdict
    assert judge(500.0 + off, 0.0, 500.0, 10.0).verdict is simple


@given(off=st.floats(0, 30), u=st.floats(0.01, 20), dof=st.sampled_from([2.0, 9.0, math.inf]))
def test_heavy_and_light_are_judged_alike(off: float, u: float, dof: float) -> None:
    heavy, light = judge(off, u, 0.0, 10.0, dof), judge(-off, u, 0.0, 10.0, dof)
    assert heavy.verdict is light.verdict
    assert heavy.probability == pytest.approx(light.probability, abs=1e-12)


def test_fewer_repeats_make_a_verdict_less_sure() -> None:
    assert judge(508.1, 1.0, 500.0, 10.0).probability > judge(508.1, 1, 500, 10, 2.0).probability


def test_two_lines_say_value_doubt_tolerance_probability_and_what_would_settle_it() -> None:
    found = judge(508.4, 1.0, 500.0, 10.0, thresholds=Thresholds(), remedies=remedies_for(KITCHEN))
    assert found.lines == (
        "508.4 g ± 2.0 g against 500.0 g ± 10.0 g: 8.4 g heavy.",
        "95 % sure it is within tolerance. Weighing three times would settle it.",
    )


def test_a_settled_verdict_asks_for_nothing() -> None:
    found = judge(500.2, 1.0, 500.0, 10.0, remedies=remedies_for(KITCHEN))
    assert found.settle == ""
    assert found.lines[1] == "Over 99 % sure it is within tolerance."


@pytest.mark.parametrize(
    ("value", "words"),
    [
        pytest.param(508.45, "Weighing three times would settle it.", id="three times"),
        pytest.param(509.3, "The fine scale would settle it.", id="only the finer scale"),
        pytest.param(509.99, "yours to decide", id="nothing in the shop"),
    ],
)
def test_the_cheapest_thing_that_would_decide_is_named(value: float, words: str) -> None:
    remedies = remedies_for(KITCHEN, {"fine scale": FINE})
    assert words in judge(value, 1.0, 500.0, 10.0, remedies=remedies).settle


def test_a_remedy_is_judged_by_its_own_doubt() -> None:
    remedies = (Remedy("Nothing much", 0.99), Remedy("A better scale", 0.1))
    assert judge(509.0, 1.0, 500.0, 10.0, remedies=remedies).settle.startswith("A better scale")


def test_a_kitchen_scale_says_once_what_it_cannot_see() -> None:
    sight = tolerance_seen_by(KITCHEN, 1.0)
    assert not sight.seen
    assert sight.sentence.startswith("This scale can never show that a piece is within ± 1.0 g")
    assert f"It can see ± {sight.offered_g:.0f} g" in sight.sentence
    assert tolerance_seen_by(KITCHEN, 8.0).sentence == ""


def test_with_the_offered_tolerance_it_does_not_say_cant_tell_all_day() -> None:
    budget = combine(net_terms(KITCHEN, 1, 1))
    tolerance = tolerance_seen_by(KITCHEN, 1.0).offered_g
    for off in (0.0, 1.0, -1.0):
        assert judge(500 + off, budget.u, 500.0, 1.0, budget.dof).verdict is not ON
        assert judge(500 + off, budget.u, 500.0, tolerance, budget.dof).verdict is ON


@given(
    division=st.sampled_from([0.1, 0.5, 1.0, 2.0, 5.0]),
    repeat=st.floats(0.0, 3.0),
    linear=st.floats(0.0, 5.0),
)
def test_the_offered_tolerance_is_proven_over_its_middle_half(
    division: float, repeat: float, linear: float
) -> None:
    scale = Scale(division, repeat, 10, linear)
    budget = combine(net_terms(scale, 1, 1))
    offered = tolerance_seen_by(scale).offered_g
    found = judge(500.0 + offered / 2.0, budget.u, 500.0, offered, budget.dof)
    assert found.verdict is ON
    assert offered / division == pytest.approx(round(offered / division))


@pytest.mark.parametrize(("inside", "outside"), [(0.05, 0.95), (1.0, 0.05), (0.95, 0.0)])
def test_thresholds_that_make_no_sense_are_refused(inside: float, outside: float) -> None:
    with pytest.raises(ValueError, match="thresholds"):
        Thresholds(inside, outside)


def test_where_no_scale_sees_the_tolerance_that_is_said_and_not_the_pieces_fault() -> None:
    coarse = Scale(division_g=1.0, repeatability_g=0.5)
    found = judge(127.8, 0.8, 127.8, 0.5, remedies=remedies_for(coarse))
    assert found.verdict.value == "too close to call"
    assert found.settle == "No scale here can see ± 0.5 g: yours to decide."
