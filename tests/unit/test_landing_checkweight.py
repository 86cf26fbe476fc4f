"""A check weight on the scale."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.landing.checkweight import check_weight
from benchmate.reckon.weight.weighing import Scale

KITCHEN = Scale(1.0, 0.5, 10, 1.0)
FINE = Scale(0.1, 0.1, 10, 0.2)


@pytest.mark.parametrize(
    ("scale", "reading", "sound"),
    [
        pytest.param(KITCHEN, 500.0, True, id="right"),
        pytest.param(KITCHEN, 502.0, True, id="two divisions of a kitchen scale are its own doubt"),
        pytest.param(KITCHEN, 503.0, False, id="three are not"),
        pytest.param(KITCHEN, 497.0, False, id="three too few"),
        pytest.param(FINE, 500.4, True, id="fine, within"),
        pytest.param(FINE, 500.6, False, id="fine, moved"),
    ],
)
def test_a_scale_is_cautioned_beyond_its_own_doubt(
    scale: Scale, reading: float, sound: bool
) -> None:
    found = check_weight(scale, 500.0, reading)
    assert found.sound is sound
    assert found.error_g == pytest.approx(reading - 500.0)


def test_the_limit_of_a_bare_scale_is_its_rounding() -> None:
    # 1/(2 sqrt 3) by the normal 99.5 % point, 2.575829 (GUM F.2.2.1, any table).
    assert check_weight(Scale(1.0), 500.0, 500.0).limit_g == pytest.approx(0.743577, abs=1e-6)


def test_a_caution_says_what_was_seen_and_what_to_do() -> None:
    caution = check_weight(KITCHEN, 500.0, 504.0).caution
    assert caution.startswith("The scale shows 504 g for a weight of 500 g")
    assert "check again before you trust it" in caution


def test_a_scale_that_has_moved_since_last_time_is_cautioned_within_its_linearity() -> None:
    wide = Scale(0.1, 0.05, None, 2.0)
    assert check_weight(wide, 500.0, 501.0).sound
    found = check_weight(wide, 500.0, 501.0, last_g=500.2)
    assert found.moved_g == pytest.approx(0.8)
    assert "0.8 g more than last time" in found.caution


def test_a_poorly_known_weight_proves_less() -> None:
    assert not check_weight(FINE, 500.0, 500.6).sound
    assert check_weight(FINE, 500.0, 500.6, weight_u_g=0.5).sound


def test_several_readings_see_a_smaller_error() -> None:
    scale = Scale(0.1, 0.5, 10, None)
    assert check_weight(scale, 500.0, 501.3).sound
    assert not check_weight(scale, 500.0, [501.3] * 9).sound


@given(off=st.floats(0, 20), more=st.floats(0, 20))
def test_a_larger_error_is_never_trusted_more(off: float, more: float) -> None:
    near = check_weight(KITCHEN, 500.0, 500.0 + off)
    far = check_weight(KITCHEN, 500.0, 500.0 + off + more)
    assert near.sound or not far.sound


@pytest.mark.parametrize("readings", [[], [500.0, float("nan")]])
def test_a_check_without_a_reading_is_refused(readings: list[float]) -> None:
    with pytest.raises(ValueError, match="at least one reading"):
        check_weight(KITCHEN, 500.0, readings)
