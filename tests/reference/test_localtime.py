"""Local time across clock changes.

Cases D-1 to D-12: elapsed and wall times by the standard library's zoneinfo with IANA 2026f.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from benchmate.localtime import next_at, parse_when, show_when
from benchmate.moment import Moment, Timeline
from benchmate.quantities import QuantityError

H = 3600.0


@pytest.fixture
def zone(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    monkeypatch.setenv("TZ", request.param)
    time.tzset()
    _forget_zone()
    yield request.param
    monkeypatch.undo()
    time.tzset()
    _forget_zone()


def _forget_zone() -> None:
    import whenever

    whenever.reset_system_tz()


def wall(zone: str, text: str, fold: int = 0) -> float:
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone), fold=fold).timestamp()


ELAPSED = [
    pytest.param("Europe/London", "2026-03-29 00:30", 0, "2026-03-29 02:30", 0, 1.0, id="D-1"),
    pytest.param("Europe/London", "2026-10-25 00:30", 0, "2026-10-25 02:30", 0, 3.0, id="D-2"),
    pytest.param("Europe/London", "2026-10-25 01:30", 0, "2026-10-25 01:30", 1, 1.0, id="D-3"),
    pytest.param("America/New_York", "2026-03-08 01:00", 0, "2026-03-08 04:00", 0, 2.0, id="D-4"),
    pytest.param("America/New_York", "2026-11-01 01:15", 0, "2026-11-01 01:45", 1, 1.5, id="D-5"),
    pytest.param(
        "Australia/Lord_Howe", "2026-04-05 01:00", 0, "2026-04-05 03:00", 0, 2.5, id="D-6"
    ),
    pytest.param(
        "Australia/Lord_Howe", "2026-10-04 01:00", 0, "2026-10-04 03:00", 0, 1.5, id="D-7"
    ),
    pytest.param("Asia/Kolkata", "2026-03-29 00:30", 0, "2026-03-29 02:30", 0, 2.0, id="D-8"),
]


@pytest.mark.parametrize(("name", "start", "fold1", "end", "fold2", "hours"), ELAPSED)
def test_elapsed_time_across_clock_changes(
    name: str, start: str, fold1: int, end: str, fold2: int, hours: float
) -> None:
    one = Moment(round(wall(name, start, fold1) * 1e9))
    two = Moment(round(wall(name, end, fold2) * 1e9))
    assert Timeline().elapsed(one, two) == hours * H


SHOWN = [
    pytest.param("Europe/London", "2026-03-28 17:00", 24, "Sun 18:00", id="D-9"),
    pytest.param("Europe/London", "2026-10-24 17:00", 24, "Sun 16:00", id="D-10"),
    pytest.param("America/New_York", "2026-03-07 20:00", 72, "Tue 21:00", id="D-11"),
]


@pytest.mark.parametrize(("zone", "start", "hours", "shown"), SHOWN, indirect=["zone"])
def test_a_cure_across_a_clock_change_ends_at_the_true_hour(
    zone: str, start: str, hours: float, shown: str
) -> None:
    begun = wall(zone, start)
    assert show_when(begun + hours * H, begun) == shown


@pytest.mark.parametrize("zone", ["Europe/London"], indirect=True)
def test_a_time_that_the_clocks_skipped_is_said_not_to_exist(zone: str) -> None:
    # D-12: 2026-03-29 01:30 was never shown in London.
    with pytest.raises(QuantityError, match="was never shown"):
        parse_when("1:30", wall(zone, "2026-03-29 12:00"))


@pytest.mark.parametrize("zone", ["Europe/London"], indirect=True)
def test_of_two_readings_the_latest_that_has_been_is_meant(zone: str) -> None:
    between = wall(zone, "2026-10-25 01:40", fold=0)
    assert parse_when("1:30", between) == wall(zone, "2026-10-25 01:30", fold=0)
    after = wall(zone, "2026-10-25 08:00")
    assert parse_when("1:30", after) == wall(zone, "2026-10-25 01:30", fold=1)


@pytest.mark.parametrize("zone", ["Europe/London"], indirect=True)
def test_tomorrow_at_five_is_a_wish_of_the_wall(zone: str) -> None:
    # D-9's other side: "tomorrow at 17:00" is 23 hours away over this night.
    begun = wall(zone, "2026-03-28 17:00")
    assert next_at(begun, 1, 17, 0) - begun == 23 * H


PAST = [
    ("22:35", "2026-11-26 08:00", "2026-11-25 22:35"),
    ("12:59", "2026-11-26 13:00", "2026-11-26 12:59"),
    ("yesterday 9:00", "2026-11-26 13:00", "2026-11-25 09:00"),
    ("sat 10:00", "2026-11-26 13:00", "2026-11-21 10:00"),
    ("10 min ago", "2026-11-26 13:00", "2026-11-26 12:50"),
    ("-1 h 30", "2026-11-26 13:00", "2026-11-26 11:30"),
    ("now", "2026-11-26 13:00", "2026-11-26 13:00"),
]


@pytest.mark.parametrize("zone", ["Europe/London"], indirect=True)
@pytest.mark.parametrize(("typed", "now", "meant"), PAST, ids=[p[0] for p in PAST])
def test_a_past_time_as_a_maker_says_it(zone: str, typed: str, now: str, meant: str) -> None:
    assert parse_when(typed, wall(zone, now)) == wall(zone, meant)


@pytest.mark.parametrize("typed", ["25:00", "12:61", "abc", "someday 10:00", "", "\x1b[31m"])
def test_what_is_no_time_is_refused_in_a_sentence(typed: str) -> None:
    if typed == "":
        assert parse_when(typed, 1e9) == 1e9
        return
    with pytest.raises(QuantityError) as said:
        parse_when(typed, 1e9)
    assert "\x1b" not in str(said.value)
