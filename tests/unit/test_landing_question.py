"""Readings asked about before they count."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from benchmate.landing.question import DoubtAsked, Twin, question

OUNCE = 28.349523125


def gain(**other: object) -> DoubtAsked:
    """A layer's gain of 138 g, give or take 4 g, into 27 ml."""
    given = {
        "kind": "gain",
        "piece": "bookend B",
        "expected_g": 138.0,
        "expected_u_g": 4.0,
        "u_g": 0.5,
        "before_g": 558.0,
        "tare_g": 62.0,
        "void_ml": 27.0,
        "metal_g_cm3": 7.8,
    }
    return DoubtAsked(**{**given, **other})  # type: ignore[arg-type]


def whole(**other: object) -> DoubtAsked:
    """Bookend B on the scale after its layer: 696 g, give or take 4 g."""
    given = {
        "kind": "whole",
        "piece": "bookend B",
        "expected_g": 696.0,
        "expected_u_g": 4.0,
        "u_g": 0.5,
        "before_g": 558.0,
        "tare_g": 62.0,
        "twins": (Twin("bookend A", 741.0, 4.0),),
    }
    return DoubtAsked(**{**given, **other})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "asked", "slip", "suggested"),
    [
        pytest.param(4.87, gain(), "ounces for grams", 138.06, id="ounces"),
        pytest.param(
            138.0 * OUNCE, gain(unit="oz"), "grams for ounces", 138.0, id="grams, shop in ounces"
        ),
        pytest.param(13.8, gain(), "decimal point", 138.0, id="a tenth"),
        pytest.param(1380.0, gain(), "decimal point", 138.0, id="tenfold"),
        pytest.param(1.38, gain(), "decimal point", 138.0, id="a hundredth"),
        pytest.param(38.0, gain(), "one digit", 138.0, id="its first digit is missing"),
        pytest.param(896.0, whole(), "one digit", 696.0, id="a digit misread"),
        pytest.param(-138.0, gain(), "before and after swapped", 138.0, id="taken away"),
        pytest.param(200.0, gain(), "tare forgotten", 138.0, id="the cup was on it"),
        pytest.param(76.0, gain(), "tare taken off twice", 138.0, id="tare off twice"),
        pytest.param(696.0, gain(), "whole for gain", 138.0, id="the piece as it stands"),
        pytest.param(138.0, whole(), "gain for whole", 696.0, id="only what was added"),
        pytest.param(758.0, whole(), "tare forgotten", 696.0, id="the jig was on it"),
        pytest.param(741.0, whole(), "other piece", None, id="the twin on the scale"),
        pytest.param(69.6, whole(), "decimal point", 696.0, id="a tenth of the whole"),
    ],
)
def test_a_common_slip_is_named_with_what_it_should_have_been(
    value: float, asked: DoubtAsked, slip: str, suggested: float | None
) -> None:
    found = question(value, asked)
    assert found is not None
    assert found.slip == slip
    assert found.suggested_g == (None if suggested is None else pytest.approx(suggested, abs=0.1))
    assert found.sentence.endswith((".", "?"))


@pytest.mark.parametrize(
    ("value", "words"),
    [
        pytest.param(
            -12.0,
            "takes 12.0 g away can't be. Was less on the scale than before",
            id="a layer that takes weight away",
        ),
        pytest.param(
            250.0, "of solid metal (220 g). Is something else on the scale", id="heavier than metal"
        ),
    ],
)
def test_what_cannot_be_is_asked_about_even_without_a_likely_slip(value: float, words: str) -> None:
    found = question(value, gain(tare_g=None, before_g=None))
    assert found is not None
    assert found.impossible
    assert found.slip == "unknown"
    assert words in found.sentence
    assert found.sentence.endswith("Weigh again, or confirm it.")


@pytest.mark.parametrize(
    ("value", "asked", "look_for"),
    [
        (740.0, whole(tare_g=None, twins=()), "Is something else on the scale"),
        (650.0, whole(tare_g=None, twins=()), "Is a part of it off the scale"),
        (90.0, gain(tare_g=None, expected_u_g=1.0), "Is all of it in"),
    ],
    ids=["heavier", "lighter", "a gain too small"],
)
def test_what_no_slip_explains_says_what_to_look_for(
    value: float, asked: DoubtAsked, look_for: str
) -> None:
    found = question(value, asked)
    assert found is not None
    assert (found.slip, found.suggested_g) == ("unknown", None)
    assert look_for in found.sentence


@given(off=st.floats(-4.0, 4.0))
def test_a_digit_is_only_blamed_where_it_is_worth_far_more_than_the_doubt(off: float) -> None:
    found = question(696.0 + 100.0 + off * 20.0, whole(expected_u_g=20.0, tare_g=None, twins=()))
    assert found is None or found.slip != "one digit"


def test_a_whole_piece_cannot_weigh_nothing() -> None:
    found = question(-3.0, whole())
    assert found is not None
    assert "bookend B can't weigh" in found.sentence


def test_a_gain_below_zero_by_the_scales_doubt_alone_is_not_asked_about() -> None:
    assert question(-1.0, gain(expected_g=0.5, expected_u_g=0.3)) is None


def test_swapped_twins_are_told_apart_when_both_readings_fit_crosswise() -> None:
    twin = Twin("bookend A", 741.0, 4.0, read_g=697.0)
    found = question(741.0, whole(twins=(twin,)))
    assert found is not None
    assert (found.slip, found.other, found.suggested_g) == ("other piece", "bookend A", 697.0)


def test_a_twin_that_was_weighed_soundly_is_not_swapped() -> None:
    twin = Twin("bookend A", 741.0, 4.0, read_g=741.5)
    found = question(741.0, whole(twins=(twin,)))
    assert found is not None
    assert (found.slip, found.other) == ("unknown", "")


def test_a_piece_that_came_out_light_is_a_matter_for_verdicts() -> None:
    assert question(118.4, gain()) is None


def test_far_off_without_a_slip_to_explain_it_still_counts() -> None:
    assert question(100.0, gain()) is None


@pytest.mark.parametrize("value", [293.0, 2930.0])
def test_what_no_work_explains_is_asked_about_without_a_slip(value: float) -> None:
    cover = DoubtAsked("whole", "bookend A's cover", expected_g=39.6, expected_u_g=4.0, u_g=0.4)
    found = question(value, cover)
    assert found is not None
    assert (found.slip, found.suggested_g, found.impossible) == ("unknown", None, False)
    assert found.sentence == (
        f"That is {value - 39.6:.0f} g more than expected: 40 g ± 8 g. "
        "Is something else on the scale, a cup or a tool, or its tare not taken off? "
        "Weigh again, or confirm it."
    )


def test_another_unit_is_spoken_where_it_is_wanted() -> None:
    found = question(13.8, gain(), say=lambda g, _: f"{g / OUNCE:.2f} oz")
    assert found is not None
    assert "4.87 oz" in found.sentence


@given(score=st.floats(-4.99, 4.99), u=st.floats(0.05, 3.0), spread=st.floats(0.5, 15.0))
def test_a_plausible_gain_is_never_questioned(score: float, u: float, spread: float) -> None:
    asked = gain(u_g=u, expected_u_g=spread)
    value = asked.expected_g + score * asked.spread_g
    assume(0.0 <= value <= 27.0 * 7.8)
    assert question(value, asked) is None


@given(score=st.floats(-4.99, 4.99), spread=st.floats(0.5, 15.0), apart=st.floats(-80, 80))
def test_a_plausible_weight_is_never_questioned_however_near_its_twin(
    score: float, spread: float, apart: float
) -> None:
    asked = whole(expected_u_g=spread, twins=(Twin("bookend A", 696.0 + apart, spread),))
    assert question(asked.expected_g + score * asked.spread_g, asked) is None


@given(value=st.floats(-1e6, 1e6), kind=st.sampled_from([gain(), whole()]))
def test_whatever_is_asked_has_a_sentence_and_never_suggests_the_impossible(
    value: float, kind: DoubtAsked
) -> None:
    found = question(value, kind)
    if found is not None and found.suggested_g is not None:
        off = abs(found.suggested_g - kind.expected_g)
        assert off <= 2.0 * kind.spread_g
    assert found is None or found.sentence


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_no_number_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="must be a number"):
        question(value, gain())
