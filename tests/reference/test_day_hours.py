"""Shop hours over a clock change, against the standard library's zones."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from benchmate.planner.hours import (
    HoursChange,
    ShopTimes,
    day_starts,
    noise_sessions,
    shop_sessions,
)
from tests.reference.outside import check

SOURCE = "zoneinfo (IANA time zone database), local times made instants"
CHANGES = [
    ("Europe/London", "2026-03-27"),
    ("Europe/London", "2026-10-23"),
    ("America/New_York", "2026-03-06"),
    ("America/New_York", "2026-10-30"),
    ("Australia/Lord_Howe", "2026-04-03"),
    ("Australia/Lord_Howe", "2026-10-02"),
]
H = 60
WEEK = (((18 * H, 21 * H + 30),),) * 5 + (((9 * H, 17 * H),),) * 2


@pytest.mark.parametrize(("zone", "friday"), CHANGES, ids=[f"{z} {d}" for z, d in CHANGES])
def test_hours_stay_local_and_waits_real(zone: str, friday: str) -> None:
    tz = ZoneInfo(zone)
    now = datetime.fromisoformat(f"{friday}T12:00").replace(tzinfo=tz)
    origin = now.timestamp()
    times = ShopTimes(week=WEEK, quiet=(21 * H, 8 * H), zone=zone)
    sessions = shop_sessions(times, origin, 5, ())
    wanted = []
    for n in range(5):
        day = (now + timedelta(days=n)).date()
        first, last = ((9, 0), (17, 0)) if day.weekday() > 4 else ((18, 0), (21, 30))
        ends = (datetime(day.year, day.month, day.day, *t, tzinfo=tz) for t in (first, last))
        wanted.append([round((end.timestamp() - origin) / 60) for end in ends])
    got = [list(session) for session in sessions if session[0] < 4.5 * 1440]
    check("days", got, wanted[: len(got)], source=SOURCE)
    assert len(got) >= 4
    lengths = {ends - begins for begins, ends in got}
    assert lengths == {210, 480}, "every session is as long as ever"
    # The night of the change is an hour (or half of one) longer or shorter than the one before.
    nights = [b[0] - a[1] for a, b in pairwise(got)]
    assert any(night % 60 or night not in (690, 960, 1500) for night in nights)


@pytest.mark.parametrize(("zone", "friday"), CHANGES, ids=[f"{z} {d}" for z, d in CHANGES])
def test_no_noise_in_the_quiet_hours_of_that_night(zone: str, friday: str) -> None:
    tz = ZoneInfo(zone)
    now = datetime.fromisoformat(f"{friday}T12:00").replace(tzinfo=tz)
    loud = noise_sessions(
        ShopTimes(week=WEEK, quiet=(21 * H, 8 * H), zone=zone), now.timestamp(), 4
    )
    for begins, ends in loud[1:-1]:
        local = [datetime.fromtimestamp(now.timestamp() + 60 * m, tz) for m in (begins, ends)]
        check("days", [f"{t:%H:%M}" for t in local], ["08:00", "21:00"], source=SOURCE)


def test_days_begin_in_the_night() -> None:
    tz = ZoneInfo("Europe/London")
    for hour, minutes in ((12, 15 * H), (2, 1 * H), (3, 24 * H)):
        now = datetime(2026, 11, 26, hour, tzinfo=tz).timestamp()
        check("days", day_starts(now, "Europe/London"), minutes, source=SOURCE)


def test_absences_days_off_and_visits() -> None:
    tz = ZoneInfo("UTC")
    now = datetime(2026, 11, 27, 12, tzinfo=tz).timestamp()  # a Friday
    times = ShopTimes(week=WEEK, days_off=frozenset({"2026-11-29"}), set_up_min=5, zone="UTC")
    hour = 3600.0
    away = HoursChange(now + 22 * hour, now + 24 * hour, opens=False)  # Saturday 10:00 to 12:00
    more = HoursChange(now + 46 * hour, now + 47 * hour, opens=True)  # Sunday 10:00 to 11:00
    sessions = shop_sessions(times, now, 3, (away, more))
    spans = [
        f"{datetime.fromtimestamp(now + 60 * a, tz):%a %H:%M}-{b - a}" for a, b in sessions[:4]
    ]
    assert spans == ["Fri 18:05-205", "Sat 09:05-55", "Sat 12:05-295", "Sun 10:05-55"]
