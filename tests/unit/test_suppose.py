"""What if the box were warm, the heating off at night, or the start tomorrow?"""

import pytest

from benchmate.air import what_if as suppose
from benchmate.air.latest import air_now
from benchmate.air.log import NO_AIR, AirLog
from benchmate.air.readings import Reading
from benchmate.plan.rates import Rule, rates_at

H = 3600.0
EPOXY = Rule(family="arrhenius", ref_c=20)
COLD = AirLog([Reading(0.0, 12.0, 60.0)])


def test_a_warm_box_ends_sooner_and_leaves_no_doubt_of_its_own() -> None:
    box = suppose.held(COLD, 2 * H, 25.0, None)
    reach = box.reaches(EPOXY, 2 * H, 24 * H)
    assert reach.t < COLD.reaches(EPOXY, 2 * H, 24 * H).t
    assert reach.t == pytest.approx(2 * H + 24 * H / rates_at(EPOXY, 25.0).mid)
    assert reach.latest == pytest.approx(2 * H + 24 * H / rates_at(EPOXY, 25.0).low)
    assert COLD.at(3 * H) == Reading(0.0, 12.0, 60.0)


def test_what_is_known_stays_and_what_was_known_of_later_is_set_aside() -> None:
    log = AirLog([Reading(0.0, 12.0), Reading(5 * H, 13.0)])
    assert suppose.held(log, 3 * H, 25.0, None).readings == (
        Reading(0.0, 12.0),
        Reading(3 * H, 25.0, None),
    )


def test_heating_off_at_night_takes_longer_than_a_warm_night() -> None:
    curve = suppose.heating_off(20.0, 8.0, off_h=18.0, on_h=7.0)
    night = suppose.daily(NO_AIR, 17 * H, curve, midnight_s=0.0)
    warm = suppose.held(NO_AIR, 17 * H, 20.0, None)
    assert night.reaches(EPOXY, 17 * H, 24 * H).t > warm.reaches(EPOXY, 17 * H, 24 * H).t


def test_starting_in_the_morning_gains_on_starting_at_night() -> None:
    curve = suppose.heating_off(20.0, 8.0, off_h=18.0, on_h=7.0)
    log = suppose.daily(NO_AIR, 17 * H, curve, midnight_s=0.0)
    tonight = log.reaches(EPOXY, 18 * H, 6 * H).t - 18 * H
    tomorrow = log.reaches(EPOXY, 33 * H, 6 * H).t - 33 * H
    assert tomorrow < tonight


@pytest.mark.parametrize(
    ("hour", "c"),
    [(12, 20), (18, 20), (19, 14), (20, 8), (3, 8), (7, 8), (8, 14), (9, 20), (23.99, 8)],
)
def test_a_night_curve_cools_and_warms_on_straight_lines(hour: float, c: float) -> None:
    curve = suppose.heating_off(20.0, 8.0, off_h=18.0, on_h=7.0)
    assert suppose.curve_at(curve, hour) == pytest.approx(c)


@pytest.mark.parametrize(
    ("curve", "word"),
    [
        pytest.param([], "at least one", id="empty"),
        pytest.param([(8, 20), (6, 10)], "in order", id="out of order"),
        pytest.param([(24, 20)], "below 24", id="hour 24"),
    ],
)
def test_a_curve_that_makes_no_day_is_refused(curve: list[tuple[float, float]], word: str) -> None:
    with pytest.raises(ValueError, match=word):
        suppose.daily(NO_AIR, 0.0, curve, midnight_s=0.0)


def test_heating_that_goes_off_and_on_at_once_is_refused() -> None:
    with pytest.raises(ValueError, match="same hour"):
        suppose.heating_off(20, 8, 18, 18)


def test_a_single_point_holds_all_day() -> None:
    assert suppose.curve_at([(6.0, 15.0)], 3.0) == 15.0


@pytest.mark.parametrize(
    ("age_s", "text"),
    [
        pytest.param(10.0, "air 17.5 °C, just now", id="just read"),
        pytest.param(1230.0, "air 17.5 °C, 20 min ago", id="minutes, rounded down"),
        pytest.param(80 * H, "air 17.5 °C, 3 d 8 h ago: too old to use", id="days"),
    ],
)
def test_the_age_of_the_air_is_always_said(age_s: float, text: str) -> None:
    now = air_now(AirLog([Reading(0.0, 17.5)]), age_s)
    assert now is not None
    assert (now.text, now.age_s) == (text, age_s)


def test_humidity_stands_beside_where_it_is_known() -> None:
    now = air_now(AirLog([Reading(0.0, 17.5, 62.0)]), 5.0, "inch")
    assert now is not None
    assert now.text == "air 63.5 °F, 62 %, just now"


def test_air_that_nobody_read_is_not_made_up() -> None:
    assert air_now(NO_AIR, 5.0) is None
