"""Quiet hours, also on the days when the clocks change, in three zones."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from whenever import Instant, Time, ZonedDateTime

from benchmate.remind.rules.quiet import NIGHT, QuietHours

UTC = ZoneInfo("UTC")


def at(text: str, zone: str) -> ZonedDateTime:
    """The moment of a UTC time, in a zone."""
    return Instant.parse_iso(text).to_tz(zone)


# When the clocks change: the IANA time zone database, as the standard library's zoneinfo has it
# (the same dates as the reference cases D-1 to D-7 of daylight saving in these three zones).
CHANGES = [
    pytest.param("Europe/London", "2026-03-28T22:00:00Z", "2026-03-29T06:00:00Z", id="spring, GB"),
    pytest.param("Europe/London", "2026-10-24T21:00:00Z", "2026-10-25T07:00:00Z", id="autumn, GB"),
    pytest.param("America/New_York", "2026-03-08T03:00:00Z", "2026-03-08T11:00:00Z", id="US 3"),
    pytest.param("America/New_York", "2026-11-01T02:00:00Z", "2026-11-01T12:00:00Z", id="US 11"),
    pytest.param(
        "Australia/Lord_Howe", "2026-10-03T11:30:00Z", "2026-10-03T20:00:00Z", id="spring, half"
    ),
    pytest.param(
        "Australia/Lord_Howe", "2026-04-04T11:00:00Z", "2026-04-04T20:30:00Z", id="autumn, half"
    ),
]


@pytest.mark.parametrize(("zone", "begins", "ends"), CHANGES)
def test_the_night_is_ten_to_seven_on_the_wall_whatever_the_clocks_do(
    zone: str, begins: str, ends: str
) -> None:
    first, last = at(begins, zone), at(ends, zone)
    assert NIGHT.around(first) == (first, last)
    assert NIGHT.around(first.subtract(seconds=1)) is None
    assert NIGHT.around(last) is None
    assert NIGHT.around(last.subtract(seconds=1)) == (first, last)


@pytest.mark.parametrize("zone", ["Europe/London", "America/New_York", "Australia/Lord_Howe"])
def test_a_whole_year_of_half_hours_agrees_with_the_wall_clock(zone: str) -> None:
    tz = ZoneInfo(zone)
    moment = datetime(2026, 1, 1, tzinfo=UTC)
    for _ in range(2 * 24 * 365):
        wall = moment.astimezone(tz)
        expected = wall.hour >= 22 or wall.hour < 7
        found = NIGHT.around(Instant(moment).to_tz(zone)) is not None
        assert found == expected, wall
        moment += timedelta(minutes=30)


def test_a_time_shown_twice_begins_quiet_once_and_ends_it_once() -> None:
    quiet = QuietHours(Time(1, 30), Time(1, 45))
    first, second = "2026-10-25T00:30:00Z", "2026-10-25T01:45:00Z"
    stretch = (at(first, "Europe/London"), at(second, "Europe/London"))
    assert quiet.around(stretch[0]) == stretch
    assert quiet.around(at("2026-10-25T01:10:00Z", "Europe/London")) == stretch
    assert quiet.around(stretch[1]) is None


def test_a_time_that_is_skipped_counts_as_if_the_clock_had_not_changed() -> None:
    quiet = QuietHours(Time(22, 0), Time(1, 30))
    ends = at("2026-03-29T01:30:00Z", "Europe/London")  # shown as 02:30
    assert quiet.around(ends.subtract(seconds=1)) is not None
    assert quiet.around(ends) is None


def test_quiet_hours_may_lie_within_one_day() -> None:
    nap = QuietHours(Time(13, 0), Time(14, 30))
    assert nap.around(at("2026-06-01T12:30:00Z", "Europe/London")) is not None
    assert nap.around(at("2026-06-01T13:30:00Z", "Europe/London")) is None
    assert nap.around(at("2026-06-01T11:59:59Z", "Europe/London")) is None


def test_a_machine_whose_zone_has_no_name_keeps_quiet_hours_too() -> None:
    wall = at("2026-06-01T23:00:00Z", "UTC").to_tz("Etc/GMT-1")
    assert NIGHT.around(wall) is not None
