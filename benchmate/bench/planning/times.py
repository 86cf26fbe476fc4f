"""Times to come as a maker says them about days."""

from __future__ import annotations

import re
from datetime import date

from benchmate.bench.air.suppositions import start_wall
from benchmate.localtime import local, next_at
from benchmate.quantities import QuantityError, quote

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DATE = re.compile(r"(?:[a-z]+ )?(?:(\d{4}-\d{2}-\d{2})|(\d{1,2}) ([a-z]{3})[a-z]*)(?: (\S.*))?")
_WEEKDAY = re.compile(r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*|today|tomorrow")
_SPAN = re.compile(r"(.*?)\s*(\d{1,2}[:.]\d{2})\s*(?:-|–|to)\s*(\d{1,2}[:.]\d{2})")


def time_ahead(text: str, now_wall: float, at: str = "9:00") -> float:
    """A time to come in Unix seconds: "Sat 10:00", "20 Dec", "2026-12-20 18:00", "tomorrow",
    "in 3 h". A bare day means `at` on that day. Raises QuantityError."""
    typed = " ".join(text.lower().split())
    if _WEEKDAY.fullmatch(typed):
        typed = f"{typed} {at}"
    dated = _DATE.fullmatch(typed)
    if dated is None:
        return start_wall(typed, now_wall)
    day = _date_of(dated, local(now_wall).date().to_stdlib(), text)
    days = (day - local(now_wall).date().to_stdlib()).days
    clock = re.fullmatch(r"(\d{1,2})[:.](\d{2})", dated[4] or at)
    if clock is None or int(clock[1]) > 23 or int(clock[2]) > 59:
        raise QuantityError(f"{quote(text)} has a time that no clock shows; write 20 Dec 18:00")
    when = next_at(now_wall, days, int(clock[1]), int(clock[2])) if days >= 0 else 0.0
    if when <= now_wall:
        raise QuantityError(f"{quote(text)} is over; write a time to come")
    return when


def span_ahead(text: str, now_wall: float) -> tuple[float, float]:
    """A stretch of time to come: "Fri 18:00-21:30", "20 Dec 9:00 to 12:00", or a whole day "Sat".
    Raises QuantityError."""
    found = _SPAN.fullmatch(text.strip())
    if found is None:
        # The minute before tomorrow is always ahead, the day's first one may be over.
        ends = time_ahead(text, now_wall, at="23:59")
        return next_at(ends, 0, 0, 0), next_at(ends, 1, 0, 0)
    day = found[1] or "today"
    ends = time_ahead(f"{day} {found[3]}", now_wall)
    hour, minute = (int(n) for n in re.split(r"[:.]", found[2]))
    begins = next_at(ends, 0, hour, minute)
    if begins >= ends:
        raise QuantityError(f"{quote(text)} ends before it begins")
    return begins, ends


def _date_of(found: re.Match[str], today: date, text: str) -> date:
    try:
        if found[1]:
            return date.fromisoformat(found[1])
        month = _MONTHS.index(found[3]) + 1
        this_year = date(today.year, month, int(found[2]))
    except ValueError:
        raise QuantityError(f"{quote(text)} is no day; write Sat, 20 Dec or 2026-12-20") from None
    return this_year if this_year >= today else this_year.replace(year=today.year + 1)
