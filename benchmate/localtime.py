"""Local time as people see and say it. Inside, time is Unix seconds; whenever knows the zones."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from whenever import SYSTEM_TZ, Date, Instant, RepeatedTime, SkippedTime, Time, ZonedDateTime

from benchmate.quantities import QuantityError, parse_duration_s, quote

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LAST_NIGHT_S = 12 * 3600.0
"""A bare time that is still to come today means yesterday's only this far back."""
_CLOCK = re.compile(r"^(?:([a-z]+)\s+)?(\d{1,2})[:.](\d{2})$")
_AGO = re.compile(r"^(?:-\s*(.+)|(.+?)\s+ago)$")


def local(wall_s: float) -> ZonedDateTime:
    """The local date and time of a Unix time, in the system's zone, to the nearest second: 24 h
    after 05:00 is 05:00, whatever the last bit of a sum says."""
    return Instant.from_timestamp(round(wall_s)).to_tz(SYSTEM_TZ)


def show_clock(wall_s: float) -> str:
    """Hours and minutes: "16:51"."""
    when = local(wall_s)
    return f"{when.hour:02d}:{when.minute:02d}"


def show_when(wall_s: float, now_wall_s: float) -> str:
    """As short as is unmistakable: "16:51" today, "Sat 13:00" within a week, "12 Dec 15:50"."""
    return when_text(local(wall_s), local(now_wall_s))


def when_text(when: ZonedDateTime, now: ZonedDateTime) -> str:
    """The same of two dates and times in one zone."""
    clock = f"{when.hour:02d}:{when.minute:02d}"
    days = _days(when, now)
    if days == 0:
        return clock
    if -7 < days < 7:
        return f"{_DAYS[when.date().day_of_week().value - 1]} {clock}"
    if when.year == now.year:
        return f"{when.day} {_MONTHS[when.month - 1]} {clock}"
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year} {clock}"


def show_date(wall_s: float) -> str:
    """Weekday and date: "Thu 26 Nov"."""
    when = local(wall_s)
    return f"{_DAYS[when.date().day_of_week().value - 1]} {when.day} {_MONTHS[when.month - 1]}"


def show_day(wall_s: float) -> str:
    """A date that outlives the year: "26 Nov 2026"."""
    when = local(wall_s)
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year}"


def show_stamp(wall_s: float) -> str:
    """For lists that outlive the week: "2026-11-26 16:42"."""
    when = local(wall_s)
    return f"{when.date()} {when.hour:02d}:{when.minute:02d}"


def _days(when: ZonedDateTime, now: ZonedDateTime) -> int:
    return when.date().to_stdlib().toordinal() - now.date().to_stdlib().toordinal()


def parse_when(text: str, now_wall_s: float) -> float:
    """A time in the past as a maker says it, in Unix seconds.

    "16:35" (today, or last night where that is less than half a day ago), "Sat 16:35",
    "yesterday 17:00", "10 min ago", "-10 min", "now". Raises QuantityError, also where a bare
    time is still to come today: whether yesterday's is meant is asked, never guessed.
    """
    typed = " ".join(text.strip().lower().split())
    if typed in ("now", ""):
        return now_wall_s
    if ago := _AGO.match(typed):
        return now_wall_s - parse_duration_s(ago.group(1) or ago.group(2), "min")
    clock = _CLOCK.match(typed)
    if clock is None or int(clock.group(2)) > 23 or int(clock.group(3)) > 59:
        raise QuantityError(
            f"{quote(text)} can't be read as a time; write 16:35, Sat 16:35, yesterday 17:00 or "
            "10 min ago."
        )
    return _latest(clock.group(1), Time(int(clock.group(2)), int(clock.group(3))), now_wall_s, text)


def _latest(day: str | None, clock: Time, now_wall_s: float, text: str) -> float:
    today = local(now_wall_s).date()
    for back in range(8):
        date = today.subtract(days=back)
        if day is not None and not _is_day(day, back, date.day_of_week().value - 1, text):
            continue
        for when in _readings(date, clock, text):
            if when <= now_wall_s + 1:
                if day is None and back and now_wall_s - when > LAST_NIGHT_S:
                    raise QuantityError(
                        f"{quote(text)} is still to come today; write yesterday {clock.hour:02d}:"
                        f"{clock.minute:02d} if that is meant."
                    )
                return when
    raise QuantityError(f"{quote(text)} is still to come. Give a past time.")


def _readings(date: Date, clock: Time, text: str) -> list[float]:
    """The instants that a wall clock showed that time on that date, latest first."""
    plain = date.at(clock)
    try:
        return [float(plain.assume_tz(SYSTEM_TZ, disambiguation="raise").timestamp())]
    except RepeatedTime:
        both = (plain.assume_tz(SYSTEM_TZ, disambiguation=d) for d in ("later", "earlier"))
        return [float(when.timestamp()) for when in both]
    except SkippedTime:
        raise QuantityError(
            f"{quote(text)} was never shown: the clocks went forward over it. Say another time."
        ) from None


def _is_day(day: str, back: int, weekday: int, text: str) -> bool:
    if day == "today":
        return back == 0
    if day == "yesterday":
        return back == 1
    names = [d.lower() for d in _DAYS]
    if day[:3] not in names:
        raise QuantityError(f"{quote(text)} names no day; write Sat 16:35 or yesterday 17:00.")
    return weekday == names.index(day[:3])


def next_at(wall_s: float, days: int, hour: int, minute: int) -> float:
    """So many days after a time's local date, at that local hour: a wall-clock wish."""
    date = local(wall_s).date().add(days=days)
    when = date.at(Time(hour, minute)).assume_tz(SYSTEM_TZ, disambiguation="compatible")
    return float(when.timestamp())


def instant_s(when: datetime) -> float:
    """Unix seconds of a date and time as a local clock showed it, or of one with its own zone.

    A time that the clock showed twice is the first; one that it never showed counts as if the
    clocks had not been changed yet (RFC 5545, 3.3.5).
    """
    if when.tzinfo is not None:
        return when.timestamp()
    plain = Date(when.year, when.month, when.day).at(
        Time(when.hour, when.minute, when.second, nanosecond=when.microsecond * 1000)
    )
    return float(plain.assume_tz(SYSTEM_TZ, disambiguation="compatible").timestamp())


def later(when: datetime, hours: float) -> datetime:
    """What the clock shows so many hours of real time after it showed `when`; raises
    OverflowError beyond the calendar."""
    if when.tzinfo is not None:
        return when + timedelta(hours=hours)
    at_s = instant_s(when) + hours * 3600.0
    if abs(at_s) > 2.5e11:
        raise OverflowError("beyond the calendar")
    return datetime.fromisoformat(local(at_s).to_plain().format_iso())
