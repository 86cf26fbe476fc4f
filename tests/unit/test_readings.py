"""Which readings of the air are kept, and which are questioned."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.air.readings import Reading, absurd, thin, worth_keeping

KEPT = Reading(1000.0, 17.5, 55.0)


@pytest.mark.parametrize(
    ("new", "kept"),
    [
        pytest.param(Reading(1060, 17.6, 55), False, id="a tenth of a degree"),
        pytest.param(Reading(1060, 17.8, 55), True, id="three tenths"),
        pytest.param(Reading(1060, 17.2, 55), True, id="three tenths colder"),
        pytest.param(Reading(1060, 17.5, 57), False, id="two per cent of humidity"),
        pytest.param(Reading(1060, 17.5, 58), True, id="three per cent"),
        pytest.param(Reading(1899, 17.5, 55), False, id="under a quarter of an hour"),
        pytest.param(Reading(1900, 17.5, 55), True, id="a quarter of an hour"),
        pytest.param(Reading(1060, 17.5, None), True, id="humidity no longer known"),
    ],
)
def test_a_reading_is_kept_for_a_change_or_every_quarter_of_an_hour(
    new: Reading, *, kept: bool
) -> None:
    assert worth_keeping(KEPT, new) is kept


def test_the_first_reading_is_always_kept() -> None:
    assert worth_keeping(None, KEPT)


@given(st.lists(st.tuples(st.floats(1, 600), st.floats(-20, 40)), min_size=1, max_size=60))
def test_thinning_keeps_every_value_within_a_third_of_a_degree(
    steps: list[tuple[float, float]],
) -> None:
    t, readings = 0.0, []
    for wait, c in steps:
        t += wait
        readings.append(Reading(t, c))
    kept = thin(readings)
    assert kept[0] == readings[0]
    assert thin(kept) == kept
    for reading in readings:
        held = [k for k in kept if k.t_s <= reading.t_s][-1]
        assert abs(held.temperature_c - reading.temperature_c) < 0.3
        assert reading.t_s - held.t_s < 15 * 60


@pytest.mark.parametrize(
    ("new", "word"),
    [
        pytest.param(Reading(1060, 17.9), None, id="nothing unusual"),
        pytest.param(Reading(1060, 85.0), "85 °C", id="a sensor just switched on"),
        pytest.param(Reading(1060, -127.0), "-127 °C", id="a sensor that fell off"),
        pytest.param(Reading(1060, float("nan")), "nan", id="no number"),
        pytest.param(Reading(1060, 18, 140), "humidity of 140 %", id="humidity beyond all"),
        pytest.param(Reading(1060, 33), "17.5 °C to 33 °C in 1 min", id="a jump"),
        pytest.param(Reading(1060, 2), "17.5 °C to 2 °C", id="a fall"),
        pytest.param(Reading(1060, 32.5), None, id="a door opened on a hot day"),
        pytest.param(Reading(9000, 33), None, id="the same jump over two hours"),
    ],
)
def test_what_cannot_be_right_is_named_in_a_sentence(new: Reading, word: str | None) -> None:
    said = absurd(KEPT, new)
    assert said is None if word is None else said is not None and word in said


def test_a_first_reading_has_nothing_to_have_jumped_from() -> None:
    assert absurd(None, Reading(0, 40)) is None
