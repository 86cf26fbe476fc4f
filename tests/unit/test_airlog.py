"""A window's time along the air's log: held between readings, never surer than it may be."""

import itertools

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from benchmate.air.log import HOLD_S, NO_AIR, AirLog, Reach
from benchmate.air.readings import Reading
from benchmate.plan.rates import Rule, rates_at

H = 3600.0
EPOXY = Rule(family="arrhenius", ref_c=20)
GLUE = Rule(family="waterborne", ref_c=20, lowest_c=10)

rules = st.sampled_from(
    [EPOXY, GLUE, Rule(family="evaporation"), Rule(family="moisture cure"), Rule()]
)
points = st.lists(
    st.tuples(st.integers(1, 8 * 3600), st.floats(-10, 40), st.none() | st.floats(20.0, 95.0)),
    max_size=25,
)
starts, amounts = st.floats(-5 * H, 60 * H), st.floats(0, 90 * H)


def readings_of(steps: list[tuple[int, float, float | None]]) -> list[Reading]:
    times = itertools.accumulate(wait for wait, _, _ in steps)
    return [Reading(float(t), c, h) for t, (_, c, h) in zip(times, steps, strict=True)]


def ends(reach: Reach) -> tuple[float, float, float]:
    return reach.earliest, reach.t, reach.latest


def test_without_any_reading_the_labels_time_holds_exactly() -> None:
    reach = NO_AIR.reaches(EPOXY, 100.0, 24 * H, now_s=200.0)
    assert ends(reach) == (100 + 24 * H, 100 + 24 * H, 100 + 24 * H)
    assert (reach.kind, reach.knows_air, reach.age_s) == ("label", False, None)
    assert not NO_AIR


def test_before_the_first_reading_time_runs_as_on_the_label() -> None:
    log = AirLog([Reading(10 * H, 10.0)])
    assert log.progress(EPOXY, 2 * H, 9 * H) == pytest.approx((7 * H, 7 * H, 7 * H))
    assert log.reaches(EPOXY, 2 * H, 6 * H).kind == "label"
    assert log.reaches(EPOXY, 2 * H, 9 * H).kind == "estimate"


def test_the_last_value_holds_and_the_doubt_of_it_grows() -> None:
    log = AirLog([Reading(0.0, 13.0)])
    rate = rates_at(EPOXY, 13.0).mid
    reach = log.reaches(EPOXY, 0.0, 24 * H, now_s=1200.0)
    assert reach.t == pytest.approx(24 * H / rate)
    assert reach.t > reach.label_t == 24 * H
    assert reach.age_s == 1200
    short = log.reaches(EPOXY, 0.0, 1 * H)
    widths = [(r.latest - r.earliest) / (r.t - 0.0) for r in (short, reach)]
    assert widths[0] < widths[1]


def test_three_days_after_the_last_reading_the_label_holds_again() -> None:
    log = AirLog([Reading(0.0, 5.0)])
    after = log.progress(EPOXY, HOLD_S, HOLD_S + 10 * H)
    assert after.mid == pytest.approx(10 * H)
    assert after.low < after.mid <= after.high
    assert log.reaches(EPOXY, HOLD_S + 1, H).knows_air is False


def test_an_evening_reading_and_a_cold_morning_leave_doubt_about_the_night() -> None:
    evening, morning = Reading(0.0, 18.0), Reading(12 * H, 6.0)
    before = AirLog([evening]).reaches(EPOXY, 0.0, 20 * H)
    after = AirLog([evening, morning]).reaches(EPOXY, 0.0, 20 * H)
    assert after.t > before.t
    night = AirLog([evening, morning]).progress(EPOXY, 0.0, 12 * H)
    assert night.mid == pytest.approx(12 * H * rates_at(EPOXY, 18.0).mid)
    assert night.low == pytest.approx(12 * H * rates_at(EPOXY, 6.0).low)


@given(points, rules, starts, amounts)
def test_the_edge_and_its_progress_are_each_others_inverse(
    steps: list[tuple[int, float, float | None]], rule: Rule, t0: float, amount: float
) -> None:
    log = AirLog(readings_of(steps))
    reach = log.reaches(rule, t0, amount)
    assert reach.earliest - 1e-6 <= reach.t <= reach.latest + 1e-6
    assert log.progress(rule, t0, reach.t).mid == pytest.approx(amount, abs=1e-3)
    assert log.progress(rule, t0, reach.latest).low == pytest.approx(amount, abs=1e-3)
    assert log.progress(rule, t0, reach.earliest).high == pytest.approx(amount, abs=1e-3)


@given(points, rules, st.lists(starts, min_size=3, max_size=3))
def test_progress_over_two_stretches_is_the_sum_of_both(
    steps: list[tuple[int, float, float | None]], rule: Rule, cuts: list[float]
) -> None:
    log = AirLog(readings_of(steps))
    a, b, c = sorted(cuts)
    parts = zip(log.progress(rule, a, b), log.progress(rule, b, c), strict=True)
    assert [x + y for x, y in parts] == pytest.approx(list(log.progress(rule, a, c)), abs=1e-3)


@given(points, rules, starts, amounts, st.floats(0, 15))
def test_warmer_air_is_never_later(
    steps: list[tuple[int, float, float | None]],
    rule: Rule,
    t0: float,
    amount: float,
    warmer: float,
) -> None:
    cold = readings_of(steps)
    warm = [r._replace(temperature_c=r.temperature_c + warmer) for r in cold]
    pairs = zip(
        ends(AirLog(warm).reaches(rule, t0, amount)),
        ends(AirLog(cold).reaches(rule, t0, amount)),
        strict=True,
    )
    assert all(w <= c + 1e-3 for w, c in pairs)


@given(points, rules, starts, amounts, st.floats(0, 1), st.integers(0, 100))
def test_saying_again_what_is_held_anyway_moves_no_edge(
    steps: list[tuple[int, float, float | None]],
    rule: Rule,
    t0: float,
    amount: float,
    share: float,
    which: int,
) -> None:
    # Saying a humidity again holds it for longer where only temperatures are read afterwards: here
    # it is read each time, or never.
    damp = 50.0 if which % 2 else None
    readings = [
        r._replace(humidity_pct=damp and (r.humidity_pct or damp)) for r in readings_of(steps)
    ]
    assume(len(readings) >= 2)
    i = which % (len(readings) - 1)
    here, after = readings[i], readings[i + 1]
    again = here._replace(t_s=here.t_s + share * (after.t_s - here.t_s))
    assume(here.t_s < again.t_s < after.t_s)
    plain, split = AirLog(readings), AirLog([*readings, again])
    a, b = plain.reaches(rule, t0, amount), split.reaches(rule, t0, amount)
    assert b.t == pytest.approx(a.t, abs=1e-3)
    assert b.latest <= a.latest + 1e-3
    assert b.earliest >= a.earliest - 1e-3


@given(points, rules, starts, amounts)
def test_a_log_grown_reading_by_reading_is_the_log_built_at_once(
    steps: list[tuple[int, float, float | None]], rule: Rule, t0: float, amount: float
) -> None:
    readings, grown = readings_of(steps), AirLog()
    for reading in readings:
        grown.reaches(rule, t0, amount)
        grown = grown.plus(reading)
    assert grown.readings == AirLog(readings).readings
    got, want = grown.reaches(rule, t0, amount), AirLog(readings).reaches(rule, t0, amount)
    assert ends(got) == pytest.approx(ends(want), abs=1e-6)
    assert got[3:] == want[3:]


@given(points, rules, st.lists(st.floats(-5 * H, 400 * H), min_size=1, max_size=6), amounts)
def test_what_was_asked_before_changes_no_answer(
    steps: list[tuple[int, float, float | None]], rule: Rule, asked: list[float], amount: float
) -> None:
    readings = readings_of(steps * 4)
    log = AirLog(readings)
    for t0 in asked:
        fresh = AirLog(readings).reaches(rule, t0, amount)
        assert ends(log.reaches(rule, t0, amount)) == pytest.approx(ends(fresh), abs=1e-6)


def test_a_reading_entered_late_finds_its_place_and_moves_what_is_to_come() -> None:
    log = AirLog([Reading(0.0, 20.0), Reading(10 * H, 20.0)])
    late = log.plus(Reading(4 * H, 5.0))
    assert [r.t_s for r in late.readings] == [0.0, 4 * H, 10 * H]
    assert late.reaches(EPOXY, 0.0, 24 * H).t > log.reaches(EPOXY, 0.0, 24 * H).t
    assert log.at(5 * H) == Reading(0.0, 20.0)


def test_of_two_readings_at_one_instant_the_later_word_wins() -> None:
    assert AirLog([Reading(0.0, 20.0), Reading(0.0, 18.0)]).readings == (Reading(0.0, 18.0),)
    assert AirLog([Reading(0.0, 20.0)]).plus(Reading(0.0, 18.0)).at(1.0) == Reading(0.0, 18.0)


@pytest.mark.parametrize(
    ("readings", "spoiled_t"),
    [
        pytest.param([Reading(0.0, 12.0)], None, id="warm enough"),
        pytest.param([Reading(-H, 8.0)], 0.0, id="too cold from the start"),
        pytest.param([Reading(0.0, 12.0), Reading(H, 9.9)], H, id="cold after an hour"),
        pytest.param([Reading(0.0, 12.0), Reading(99 * H, 5.0)], None, id="cold when it is over"),
        pytest.param([Reading(-9 * H, 5.0), Reading(-H, 12.0)], None, id="cold before it began"),
        pytest.param([Reading(-80 * H, 5.0)], None, id="a reading of last week says nothing"),
    ],
)
def test_glue_in_the_cold_is_spoiled_and_not_late(
    readings: list[Reading], spoiled_t: float | None
) -> None:
    assert AirLog(readings).reaches(GLUE, 0.0, 2 * H).spoiled_t == spoiled_t


def test_a_constant_rule_is_a_plain_timer_whatever_the_air() -> None:
    reach = AirLog([Reading(0.0, -5.0)]).reaches(Rule(), 0.0, 3 * H)
    assert ends(reach) == (3 * H, 3 * H, 3 * H)
    assert (reach.kind, reach.knows_air) == ("label", False)


def test_a_range_is_called_a_range_and_a_solvent_asks_for_the_finger() -> None:
    log = AirLog([Reading(0.0, 18.0, 60.0)])
    assert log.reaches(GLUE, 0.0, H).kind == "range"
    reach = log.reaches(Rule(family="evaporation"), 0.0, H)
    assert (reach.kind, reach.touch_test) == ("range", True)


def test_a_large_cup_shortens_the_pot_life_even_without_a_thermometer() -> None:
    rule = Rule(family="arrhenius", label_mass_g=100, mass_g=800)
    reach = NO_AIR.reaches(rule, 0.0, H)
    assert ends(reach) == pytest.approx((H / 4, H / 2, H))
    assert (reach.kind, reach.knows_air) == ("estimate", False)


def test_two_logs_grown_from_one_do_not_see_each_others_readings() -> None:
    root = AirLog([Reading(0.0, 20.0)])
    cold, warm = root.plus(Reading(H, 5.0)), root.plus(Reading(2 * H, 30.0))
    assert root.readings == (Reading(0.0, 20.0),)
    assert cold.readings == (Reading(0.0, 20.0), Reading(H, 5.0))
    assert warm.readings == (Reading(0.0, 20.0), Reading(2 * H, 30.0))
    assert root.at(3 * H) == Reading(0.0, 20.0)
    assert len(cold) == 2
    assert cold.reaches(EPOXY, 0.0, 9 * H).t > warm.reaches(EPOXY, 0.0, 9 * H).t
