"""Numbers that were seen wrong: local hours, round ends, names given twice."""

from __future__ import annotations

from datetime import datetime
from math import pi
from zoneinfo import ZoneInfo

import pytest

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.charts.column import ColumnError, read_column
from benchmate.localtime import instant_s, later
from benchmate.plan.rates import Rule
from benchmate.reckon import Refused, answer
from benchmate.reckon.filling.outline import read_outline
from tests.reference.outside import check

ZONEINFO = "the standard library's zoneinfo: hours between two instants of that zone"
STADIUM = "area of a stadium, (L - W) W + pi W²/4, worked by hand"
NIGHTS = {
    "forward": (
        datetime.fromisoformat("2026-03-28T17:00"),
        datetime.fromisoformat("2026-03-29T17:00"),
        23.0,
    ),
    "back": (
        datetime.fromisoformat("2026-10-24T17:00"),
        datetime.fromisoformat("2026-10-25T17:00"),
        25.0,
    ),
    "no change": (
        datetime.fromisoformat("2026-06-01T17:00"),
        datetime.fromisoformat("2026-06-02T17:00"),
        24.0,
    ),
}


@pytest.fixture
def london(monkeypatch: pytest.MonkeyPatch) -> ZoneInfo:
    from whenever import reset_system_tz

    monkeypatch.setenv("TZ", "Europe/London")
    reset_system_tz()
    yield ZoneInfo("Europe/London")  # type: ignore[misc]
    monkeypatch.undo()
    reset_system_tz()


@pytest.mark.parametrize("night", NIGHTS, ids=list(NIGHTS))
def test_hours_over_a_night_in_which_the_clocks_change(london: ZoneInfo, night: str) -> None:
    begin, end, hours = NIGHTS[night]
    outside = end.replace(tzinfo=london).timestamp() - begin.replace(tzinfo=london).timestamp()
    assert outside / 3600.0 == hours
    check("cure", (instant_s(end) - instant_s(begin)) / 3600.0, hours, rel=1e-12, source=ZONEINFO)
    assert later(begin, hours) == end


def test_a_cure_that_begins_before_the_change_is_done_by_the_clock_after_it(
    london: ZoneInfo,
) -> None:
    typed = {"label_time_h": "24", "label_c": "20", "shop_c": "20", "started": "2026-03-28 17:00"}
    done = answer("cure", typed).results["done_at"].value
    assert done == "2026-03-29 18:00"
    log = '[["2026-03-28 17:00", 20], ["2026-03-29 17:00", 20]]'
    found = answer("cure", {"label_time_h": "23", "label_c": "20", "log": log})
    assert found.results["done_at"].value == "2026-03-29 17:00"


def test_the_same_keys_mean_round_ends_here_and_in_solids() -> None:
    wanted = ((80.0 - 36.0) * 36.0 + pi * 36.0**2 / 4.0) * 50.0 / 1000.0
    sizes = {"length_mm": 80, "width_mm": 36, "depth_mm": 50}
    check("target-void", read_outline(sizes).volume_ml, wanted, rel=1e-12, source=STADIUM)
    solid = answer(
        "solid", {"shape": '{"shape": "slot", "length_mm": 80, "width_mm": 36, "depth_mm": 50}'}
    ).number("volume_ml")
    assert solid == pytest.approx(wanted)
    square = read_outline({**sizes, "corner_mm": 0}).volume_ml
    assert square == pytest.approx(144.0)
    rounded = read_outline({**sizes, "corner_mm": 5}).volume_ml
    assert rounded == pytest.approx((80.0 * 36.0 - (4.0 - pi) * 25.0) * 0.05)
    turned = {"length_mm": 36, "width_mm": 80, "depth_mm": 50}
    assert read_outline(turned).volume_ml == pytest.approx(wanted)


def test_a_name_given_twice_in_json_is_refused() -> None:
    with pytest.raises(Refused, match="has “depth_mm” twice"):
        answer("fill-height", {"outline": '{"bore_mm": 20, "depth_mm": 90, "depth_mm": 40}'})


def test_a_blank_cell_is_nothing_measured_and_is_said() -> None:
    blanks: list[int] = []
    assert read_column("n,g\n1,118.2\n2,\n3,118.9\n4\n", "g", blanks) == [118.2, 118.9]
    assert blanks == [3, 5]
    with pytest.raises(ColumnError, match="no values"):
        read_column("n,g\n1,\n", "g")


def test_no_heat_and_specific_heat_make_a_peak_of_twenty_thousand_degrees() -> None:
    typed = {"resin_g": "200", "start_c": "20"}
    with pytest.raises(Refused, match="heat_j_g"):
        answer("exotherm", {**typed, "heat_j_g": "2000"})
    with pytest.raises(Refused, match="specific_heat_j_gk"):
        answer("exotherm", {**typed, "specific_heat_j_gk": "0.1"})


def test_a_reading_without_humidity_does_not_forget_the_last_one() -> None:
    """Warmer and as damp as a minute ago dries sooner, not later."""
    rule = Rule(family="waterborne", ref_c=20.0, lowest_c=10.0)
    told = AirLog([Reading(0.0, 15.0, 55.0)])
    warmer = told.plus(Reading(60.0, 18.0))
    before, after = (log.reaches(rule, 0.0, 3600.0) for log in (told, warmer))
    assert after.latest < before.latest
    assert warmer.readings[-1].humidity_pct is None
    both = AirLog([Reading(0.0, 15.0, 55.0), Reading(60.0, 18.0, 55.0)])
    assert after.latest == pytest.approx(both.reaches(rule, 0.0, 3600.0).latest)
    stale = told.plus(Reading(7 * 3600.0, 18.0)).reaches(rule, 7 * 3600.0, 3600.0)
    damp = told.plus(Reading(7 * 3600.0, 18.0, 55.0)).reaches(rule, 7 * 3600.0, 3600.0)
    assert stale.latest > damp.latest
