"""Cures, moisture and dew points: properties, notes, and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.reckon import Refused, answer
from benchmate.reckon.asking.tables import temperature_log
from benchmate.reckon.heat.equivalent_age import cure_along, cure_at, equivalent_age_h
from benchmate.reckon.heat.kinetics import activation_between, rate_ratio
from benchmate.reckon.wood.dewpoint import coat_caution, dew, dew_point_c
from benchmate.reckon.wood.moisture import emc_pct, humidity_for, settling

celsius = st.floats(-10, 45)
logs = st.lists(st.tuples(st.floats(0.1, 12), celsius), min_size=2, max_size=15).map(
    lambda steps: [(sum(w for w, _ in steps[:i]), c) for i, (_, c) in enumerate(steps)]
)
CURE = {"label_time_h": 24, "label_c": 20}


@given(logs, st.floats(0.5, 60), st.sampled_from(["held", "linear"]))
def test_a_cure_ends_where_its_age_is_the_labels(
    log: list[tuple[float, float]], label_h: float, between: str
) -> None:
    found = cure_along(log, label_h, 20, 55_000, between)  # type: ignore[arg-type]
    if not found.held_on:
        upto = [p for p in log if p[0] < found.done_h]
        after = next(p for p in log if p[0] >= found.done_h)
        last_t, last_c = upto[-1] if upto else log[0]
        share = (found.done_h - last_t) / (after[0] - last_t)
        end_c = last_c + share * (after[1] - last_c) if between == "linear" else last_c
        age = equivalent_age_h([*upto, (found.done_h, end_c)], 20, 55_000, between)  # type: ignore[arg-type]
        assert age == pytest.approx(label_h, rel=1e-6)


@given(logs, st.floats(0.5, 60), st.floats(0, 10), st.sampled_from(["held", "linear"]))
def test_warmer_is_never_later(
    log: list[tuple[float, float]], label_h: float, warmer: float, between: str
) -> None:
    warm = [(t, c + warmer) for t, c in log]
    cold_h = cure_along(log, label_h, 20, 55_000, between).done_h  # type: ignore[arg-type]
    assert cure_along(warm, label_h, 20, 55_000, between).done_h <= cold_h + 1e-6  # type: ignore[arg-type]


@given(st.floats(0.5, 100), celsius, celsius, st.floats(10_000, 150_000))
def test_a_log_that_stays_is_a_shop_that_stays(
    label_h: float, label_c: float, shop_c: float, energy: float
) -> None:
    still = cure_at(label_h, label_c, shop_c, energy).time_h
    log = [(0.0, shop_c), (still / 3, shop_c), (still / 2, shop_c)]
    assert cure_along(log, label_h, label_c, energy, "linear").time_h == pytest.approx(still)


@given(st.floats(0.5, 100), celsius, celsius, st.floats(1_000, 150_000))
def test_two_points_give_back_the_energy_they_were_made_with(
    time_h: float, a_c: float, b_c: float, energy: float
) -> None:
    if abs(a_c - b_c) > 0.5:
        other = time_h / rate_ratio(b_c, a_c, energy)
        assert activation_between(time_h, a_c, other, b_c) == pytest.approx(energy, rel=1e-6)


@pytest.mark.parametrize(
    "log",
    [
        pytest.param("[[0, 10], [12, 30], [24, 30]]", id="JSON rows"),
        pytest.param(
            [
                {"time_h": 0, "temp_c": 10},
                {"time_h": 12, "temp_c": 30},
                {"time_h": 24, "temp_c": 30},
            ],
            id="objects",
        ),
        pytest.param("time_h,temperature_c\n0,10\n12,30\n24,30\n", id="CSV with names"),
        pytest.param("0;10\n12;30\n24;30\n", id="CSV without"),
        pytest.param("temp_c\ttime_min\n10\t0\n30\t720\n30\t1440\n", id="tabs, minutes, turned"),
        pytest.param("when;temp_f\n0;50\n12;86\n24;86\n", id="Fahrenheit"),
        pytest.param(
            "date,rh,temp\n2026-11-26 17:00,60,10\n2026-11-27 05:00,55,30\n"
            "2026-11-27T17:00,50,30\n",
            id="dates and a column between",
        ),
        pytest.param("0; 10,0\n12; 30,0\n24; 30,0\n", id="decimal commas"),
    ],
)
def test_a_log_is_read_however_it_comes(log: object) -> None:
    found = answer("cure", {**CURE, "activation_energy_kj_mol": 41.572313, "log": log})
    assert found.number("equivalent_age_h") == pytest.approx(27.6335, abs=1e-3)


def test_a_dated_log_is_done_at_a_date() -> None:
    log = "2026-11-26 17:00;10\n2026-11-27 05:00;30\n"
    found = answer("cure", {**CURE, "activation_energy_kj_mol": 41.572313, "log": log})
    assert found.results["done_at"].value == "2026-11-27 14:55"
    assert "last temperature is taken on" in found.notes[0]


def test_a_started_cure_is_done_at_a_date_too() -> None:
    found = answer("cure", {**CURE, "shop_c": 20, "started": "2026-11-26 17:00"})
    assert found.results["done_at"].value == "2026-11-27 17:00"


def test_without_an_energy_the_family_stands_in_and_says_so() -> None:
    found = answer("cure", {**CURE, "shop_c": 13})
    assert found.results["time_h"].u is not None
    assert found.notes[0].startswith("Rough: 55 kJ/mol")
    known = answer("cure", {**CURE, "shop_c": 13, "activation_energy_kj_mol": 55})
    assert known.results["time_h"].u is None
    assert known.number("time_h") == found.number("time_h")


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({}, "shop_c, or log"),
        ({"shop_c": 13, "log": [[0, 1]]}, "one of them"),
        ({"shop_c": 13, "second_c": 10}, "needs both second_time_h and second_c"),
        ({"shop_c": 13, "second_c": 10, "second_time_h": 12}, "slower where it is warmer"),
        ({"shop_c": 13, "second_c": 20, "second_time_h": 12}, "same temperature"),
        (
            {"shop_c": 9, "second_c": 9, "second_time_h": 99, "activation_energy_kj_mol": 55},
            "not both",
        ),
        ({"log": [[0, 12]], "started": "2026-11-26"}, "started goes with shop_c"),
        ({"shop_c": 13, "started": "tonight"}, "started must be like"),
        ({"log": []}, "must be rows of time"),
        ({"log": [[0, 12], [5]]}, "log row 2 has no time and temperature"),
        ({"log": [[5, 12], [3, 12]]}, "log row 2 is earlier"),
        ({"log": [[0, 12], [3, 900]]}, "log row 2"),
        ({"log": [[0, 12], ["later", 12]]}, "neither hours nor a date"),
        ({"log": [["2026-11-26", 12], [3, 12]]}, "mixes dates with plain hours"),
        ({"log": [["2026-11-26", 12], ["2026-11-27T00:00Z", 12]]}, "dates without one"),
        ({"log": 5}, "must be rows of time"),
        ({"log": "hello"}, "not JSON"),
    ],
)
def test_a_cure_that_cannot_be_reckoned_is_refused(typed: dict[str, object], says: str) -> None:
    with pytest.raises(Refused) as refused:
        answer("cure", {**CURE, **typed})
    assert says in str(refused.value)


def test_headings_are_told_from_rows() -> None:
    assert temperature_log("hours,celsius\n0,12\n3,14\n").points == ((0.0, 12.0), (3.0, 14.0))
    assert temperature_log([[0, 12]]).points == ((0.0, 12.0),)


@given(st.floats(0, 50), st.floats(1, 97))
def test_moisture_and_humidity_are_each_others_inverse(c: float, humidity_pct: float) -> None:
    assert humidity_for(c, emc_pct(c, humidity_pct)) == pytest.approx(humidity_pct, abs=1e-6)


@given(st.floats(0, 50), st.floats(0, 96), st.floats(0.1, 2))
def test_damper_air_makes_wetter_wood(c: float, humidity_pct: float, more: float) -> None:
    assert emc_pct(c, humidity_pct + more) > emc_pct(c, humidity_pct)


def test_warmer_air_of_one_humidity_makes_slightly_drier_wood() -> None:
    assert emc_pct(30, 50) < emc_pct(10, 50) < emc_pct(30, 50) + 0.7


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({}, "humidity_pct"),
        ({"humidity_pct": 50, "emc_pct": 9}, "one"),
        ({"emc_pct": 35}, "no air at 20 °C"),
        ({"humidity_pct": 50, "width_mm": 80}, "both width_mm and shrinkage_pct"),
        ({"humidity_pct": 140}, "from 0 to 100"),
    ],
)
def test_moisture_that_cannot_be_reckoned_is_refused(typed: dict[str, object], says: str) -> None:
    with pytest.raises(Refused) as refused:
        answer("moisture", {"temperature_c": 20, **typed})
    assert says in str(refused.value)


def test_unasked_movement_is_unknown_and_saturated_air_is_capped_aloud() -> None:
    found = answer("moisture", {"temperature_c": 20, "humidity_pct": 100})
    assert found.results["change_mm"].value is None
    assert any("98" in note for note in found.notes)


@given(st.floats(-20, 45), st.floats(1, 100))
def test_the_dew_point_is_never_above_the_air(c: float, humidity_pct: float) -> None:
    assert dew_point_c(c, humidity_pct) <= c
    assert dew_point_c(c, 100) == pytest.approx(c, abs=1e-9)


def test_a_margin_of_exactly_three_degrees_passes() -> None:
    point = dew_point_c(20, 60)
    assert dew(20, 60, point + 3).is_safe
    assert not dew(20, 60, point + 2.99).is_safe


@pytest.mark.parametrize(
    ("air_c", "humidity_pct", "surface_c", "says"),
    [
        pytest.param(20, 50, 20, None, id="a dry day"),
        pytest.param(20, 70, 12, "below the dew point", id="straight from the cold store"),
        pytest.param(20, 70, 16.5, "wait until it is at least 17.4 °C", id="nearly"),
        pytest.param(20, 90, 23, "90 %", id="warm enough, but damp"),
    ],
)
def test_a_cold_surface_is_cautioned_before_a_coat(
    air_c: float, humidity_pct: float, surface_c: float, says: str | None
) -> None:
    said = coat_caution(air_c, humidity_pct, surface_c)
    assert said is None if says is None else said is not None and says in said


def test_a_surface_that_was_not_measured_is_said_to_be_assumed() -> None:
    found = answer("dew-point", {"temperature_c": 20, "humidity_pct": 50})
    assert found.number("margin_c") == pytest.approx(20 - found.number("dew_point_c"))
    assert "cold store" in found.notes[0]


@pytest.mark.parametrize(
    ("blank_pct", "says"),
    [(9.3, None), (10.2, None), (14.0, "lose 4.1 % of its weight"), (6.0, "take up 3.1 %")],
)
def test_a_blank_from_elsewhere_is_let_come_to_the_shops_air(
    blank_pct: float, says: str | None
) -> None:
    said = settling(blank_pct, 20, 50)
    assert said is None if says is None else said is not None and says in said
