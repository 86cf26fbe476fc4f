"""The shop's hours as sessions in minutes from an origin: by weekday, less absences, plus visits.

Local times are made instants by the zone's own rules, so that a session after a clock change is at
the local hour that was meant, and every wait counts real minutes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from whenever import SYSTEM_TZ, Date, Instant, Time

Stretch = tuple[int, int]
"""From one minute of the day to another; the second is the smaller one where it is overnight."""
Spans = list[tuple[int, int]]
DAY_MIN = 1440
NIGHT_H = 3
"""Days are told apart at this hour: nobody works then, and a clock change moves it by an hour."""


@dataclass(frozen=True)
class ShopTimes:
    """When there are hands in the shop, how many, and what there is besides them."""

    week: tuple[tuple[Stretch, ...], ...] = ((),) * 7
    """Stretches per weekday, Monday first."""
    quiet: Stretch = (0, 0)
    """When no noise may be made; two equal minutes: never."""
    hands: int = 1
    has: dict[str, int] = field(default_factory=dict)
    """How many there are of what steps hold; what isn't named isn't counted."""
    days_off: frozenset[str] = frozenset()
    """Dates as 2026-12-24."""
    set_up_min: int = 0
    """Before the first work of each visit, and after the last."""
    clean_up_min: int = 0
    zone: str = ""
    """Empty: the computer's own."""


@dataclass(frozen=True)
class HoursChange:
    """One stretch of hours that is other than the week says (Unix seconds)."""

    begins: float
    ends: float
    opens: bool
    """True: a visit more; False: nobody is there."""


def shop_sessions(
    times: ShopTimes, now_wall: float, days: int, changes: Iterable[HoursChange]
) -> Spans:
    """The sessions in which hands work, set-up and clean-up already taken off."""
    changes = tuple(changes)
    spans = _of_week(times, now_wall, days)
    spans += [_minutes(now_wall, c) for c in changes if c.opens]
    spans = _merged(spans)
    for change in changes:
        if not change.opens:
            spans = _less(spans, _minutes(now_wall, change))
    trimmed = ((a + times.set_up_min, b - times.clean_up_min) for a, b in spans)
    return [(max(0, a), b) for a, b in trimmed if b > max(0, a)]


def noise_sessions(times: ShopTimes, now_wall: float, days: int) -> Spans:
    """When noise may be made: all the time but the quiet hours."""
    loud: Spans = [(0, days * DAY_MIN)]
    begins, ends = times.quiet
    if begins == ends:
        return loud
    first = _local_date(now_wall, times.zone).subtract(days=1)
    for n in range(days + 2):
        loud = _less(loud, _span(first.add(days=n), times.quiet, now_wall, times.zone))
    return loud


def day_starts(now_wall: float, zone: str = "") -> int:
    """The minute at which the first day to come begins."""
    today = _local_date(now_wall, zone)
    for date in (today, today.add(days=1)):
        minute = _at(date, NIGHT_H * 60, now_wall, zone)
        if minute > 0:
            return math.ceil(minute)
    raise AssertionError("a day without a night")


def _of_week(times: ShopTimes, now_wall: float, days: int) -> Spans:
    first = _local_date(now_wall, times.zone).subtract(days=1)
    spans: Spans = []
    for n in range(days + 2):
        date = first.add(days=n)
        if str(date) not in times.days_off:
            stretches = times.week[date.day_of_week().value - 1]
            spans += [_span(date, stretch, now_wall, times.zone) for stretch in stretches]
    return [(a, b) for a, b in spans if a < b and b > 0]


def _span(date: Date, stretch: Stretch, now_wall: float, zone: str) -> tuple[int, int]:
    begins, ends = stretch
    last = date.add(days=1) if ends <= begins else date
    opens, closes = _at(date, begins, now_wall, zone), _at(last, ends, now_wall, zone)
    return math.ceil(opens), math.floor(closes)


def _at(date: Date, minute: int, now_wall: float, zone: str) -> float:
    if minute >= DAY_MIN:
        date, minute = date.add(days=1), minute - DAY_MIN
    plain = date.at(Time(minute // 60, minute % 60))
    when = plain.assume_tz(zone or SYSTEM_TZ, disambiguation="compatible")
    return (float(when.timestamp()) - now_wall) / 60


def _local_date(wall_s: float, zone: str) -> Date:
    return Instant.from_timestamp(int(wall_s // 1)).to_tz(zone or SYSTEM_TZ).date()


def _minutes(now_wall: float, change: HoursChange) -> tuple[int, int]:
    return math.floor((change.begins - now_wall) / 60), math.ceil((change.ends - now_wall) / 60)


def _merged(spans: Spans) -> Spans:
    merged: Spans = []
    for begins, ends in sorted(spans):
        if merged and begins <= merged[-1][1]:
            merged[-1] = merged[-1][0], max(merged[-1][1], ends)
        else:
            merged.append((begins, ends))
    return merged


def _less(spans: Sequence[tuple[int, int]], gone: tuple[int, int]) -> Spans:
    begins, ends = gone
    left = [(a, min(b, begins)) for a, b in spans] + [(max(a, ends), b) for a, b in spans]
    return sorted({(a, b) for a, b in left if a < b})
