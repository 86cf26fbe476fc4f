"""Suppositions as they are typed: other air, heating off at night, a later start."""

from __future__ import annotations

import re
from collections.abc import Mapping

from benchmate.air.log import AirLog
from benchmate.air.what_if import daily, heating_off, held
from benchmate.bench.service import Bench
from benchmate.job.windows.windows import SHOP
from benchmate.localtime import local, next_at
from benchmate.quantities import (
    QuantityError,
    parse_duration_s,
    parse_percent,
    parse_temperature_c,
    quote,
    show_temperature,
)
from benchmate.refusal import Refused

TONIGHT_H, MORNING_H = 20, 9
_HELD = re.compile(
    r"(?:(?P<place>[^\W\d][\w ]*?)\s+)?(?P<c>-?\d[\d.,]*\s*°?\s*[CFcf]?)"
    r"(?:\s+(?P<damp>\d[\d.,]*)\s*%?)?"
)
_DEGREES = re.compile(r"-?\d[\d.,]*\s*°?\s*[CFcf]?")
_NIGHT = re.compile(r"(.*?)\s+(\d{1,2})(?:[:.](\d{2}))?\s*[-–]\s*(\d{1,2})(?:[:.](\d{2}))?")
_START = re.compile(r"(?:(\w+)\s+)?(\d{1,2})[:.](\d{2})")
_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def supposed_air(bench: Bench, air: str, night_off: str) -> tuple[Mapping[str, AirLog], str]:
    """Every place's air as supposed, what is known of it before now kept; and it in words."""
    shop, now_s = bench.shop, bench.now_s()
    if not (air or night_off):
        return shop.air, ""
    places = {SHOP, *(w.place for j in shop.live for w in j.windows.values() if w.place)}
    known = {p: shop.air_of(p) or shop.air_of(SHOP) for p in places}
    units = bench.settings.units
    if air:
        place, celsius, damp = _held_air(bench, air)
        where = f"it stood in the {place} at" if place else "the air were at"
        words = f"{where} {show_temperature(celsius, units)}"
        return {p: held(log, now_s, celsius, damp) for p, log in known.items()}, words
    day_c, night_c, off_h, on_h = night_of(night_off)
    try:
        curve = heating_off(day_c, night_c, off_h, on_h)
    except ValueError as error:
        raise Refused(f"{str(error).capitalize()}.") from None
    midnight_s = place_s(bench, next_at(bench.now().wall_s, 0, 0, 0))
    words = (
        f"the heating were off from {_hours(off_h)} to {_hours(on_h)}, the air going from"
        f" {show_temperature(day_c, units)} to {show_temperature(night_c, units)}"
    )
    return {p: daily(log, now_s, curve, midnight_s) for p, log in known.items()}, words


def _held_air(bench: Bench, text: str) -> tuple[str, float, float | None]:
    """Place (may be empty), temperature and humidity of "box 25C 40%"."""
    found = _HELD.fullmatch(text.strip())
    if found is not None:
        damp = found["damp"]
        celsius = parse_temperature_c(found["c"].strip(), "°C")
        return found["place"] or "", celsius, parse_percent(damp, "%") if damp else None
    place = text.strip()
    last = bench.shop.air_of(place).at(bench.now_s())
    if last is None:
        raise Refused(
            f"{quote(text)} is no air, and no place whose air has been read; write 25C, or box 25C."
        )
    return place, last.temperature_c, last.humidity_pct


def night_of(text: str) -> tuple[float, float, float, float]:
    """Day °C, night °C, hour off and hour on of "19C 8C 22-6". Raises QuantityError."""
    found = _NIGHT.fullmatch(text.strip())
    degrees = _DEGREES.findall(found[1]) if found else []
    if found is None or len(degrees) != 2:
        raise QuantityError(f"{quote(text)} is no night; write day, night and hours: 19C 8C 22-6")
    off_h, on_h = (int(found[i]) + int(found[i + 1] or 0) / 60.0 for i in (2, 4))
    if off_h >= 24.0 or on_h > 24.0:
        raise QuantityError(f"{quote(text)} has an hour that no clock shows; write 22-6")
    day_c, night_c = (parse_temperature_c(d.strip(), "°C") for d in degrees)
    return day_c, night_c, off_h, on_h % 24.0


def _hours(hour: float) -> str:
    return f"{int(hour)}:{round(hour % 1 * 60):02d}"


def place_s(bench: Bench, wall_s: float) -> float:
    """The place on the time line at which the wall clock will show a time."""
    return bench.now_s() + wall_s - bench.now().wall_s


def start_wall(text: str, now_wall_s: float) -> float:
    """A time to come, in Unix seconds: "now", "tonight" (20:00), "tomorrow" (9:00), "18:00",
    "tomorrow 18:30", "Sat 9:00", "in 3 h". Raises QuantityError."""
    typed = " ".join(text.lower().split())
    if typed in ("now", "tonight"):
        return now_wall_s if typed == "now" else _tonight(now_wall_s)
    if typed == "tomorrow":
        typed = f"tomorrow {MORNING_H}:00"
    if typed.startswith("in "):
        return now_wall_s + parse_duration_s(typed[3:], "h")
    found = _START.fullmatch(typed)
    if found is None or int(found[2]) > 23 or int(found[3]) > 59:
        raise QuantityError(
            f"{quote(text)} is no time to come; write tonight, tomorrow, 18:00, Sat 9:00 or in 3 h"
        )
    today = local(now_wall_s).date().day_of_week().value - 1
    for days in range(9):
        when = next_at(now_wall_s, days, int(found[2]), int(found[3]))
        if when > now_wall_s and _is_day(found[1], days, today, text):
            return when
    raise QuantityError(f"{quote(text)} is over; write a time to come, such as tomorrow 9:00")


def _tonight(now_wall_s: float) -> float:
    when = next_at(now_wall_s, 0, TONIGHT_H, 0)
    if when <= now_wall_s:
        raise QuantityError(f"It is past {TONIGHT_H}:00; give a time, such as 22:30 or in 1 h")
    return when


def _is_day(word: str | None, days: int, today: int, text: str) -> bool:
    if word is None:
        return True
    if word in ("today", "tomorrow"):
        return days == ("today", "tomorrow").index(word)
    if word[:3] not in _DAYS:
        raise QuantityError(f"{quote(text)} names no day; write tomorrow 9:00 or Sat 9:00")
    return (today + days) % 7 == _DAYS.index(word[:3])
