"""The edges to come as a calendar file (RFC 5545), so that a phone reminds with the laptop off.

Times are in UTC, which spares every reader the question of zones. An event keeps its UID from
export to export; a changed one raises its SEQUENCE, and one that is no longer to come is
cancelled rather than left standing in the phone.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from whenever import Instant

if TYPE_CHECKING:
    from icalendar import Component

PRODUCT = "-//benchmate//clocks//EN"
NAME = "The bench"
"""By RFC 7986, and by the older name that most phones read."""
SHORTEST_S = 300.0
"""An event of no length is hard to see and to touch on a phone."""
_NAMESPACE = uuid.uuid5(uuid.NAMESPACE_URL, "urn:benchmate:edge")
_COMPARED = ("SUMMARY", "DESCRIPTION", "DTSTART", "DTEND", "STATUS")


class CalendarFileError(ValueError):
    """An earlier calendar file can't be read; the text says so in a sentence."""


@dataclass(frozen=True, slots=True)
class CalendarEntry:
    """One edge to come, as it should stand in a calendar."""

    key: str
    """What stays the same from export to export: the window's address and its edge."""
    summary: str
    starts: Instant
    lasts_s: float = SHORTEST_S
    description: str = ""
    alarms_before_s: tuple[float, ...] = (0.0,)
    """Seconds before the start at which the phone rings; none: it stays silent."""


def uid_of(key: str, shop: str) -> str:
    """An event's UID: the same for the same edge of the same shop, always and everywhere."""
    name = f"{len(shop)}:{shop}{key}"
    return f"{uuid.uuid5(_NAMESPACE, name)}@benchmate"


def calendar_bytes(
    entries: Sequence[CalendarEntry], stamp: Instant, shop: str = "", previous: bytes | None = None
) -> bytes:
    """The calendar file. `stamp` is the moment of export; `previous` the last file exported.

    `shop` tells two shops' calendars apart (any text that stays the same). What `previous` held
    and `entries` doesn't is marked cancelled if it was still to come.

    Raises:
        CalendarFileError: `previous` is no calendar file.
    """
    from icalendar import Calendar

    before = _events_of(previous) if previous else {}
    calendar = _filled(
        Calendar(), prodid=PRODUCT, version="2.0", calscale="GREGORIAN", method="PUBLISH", name=NAME
    )
    calendar.add("x-wr-calname", NAME)
    for entry in sorted(entries, key=lambda entry: (entry.starts, entry.key)):
        event = _event(entry, uid_of(entry.key, shop), stamp)
        earlier = before.pop(str(event["UID"]), None)
        event.add("sequence", _sequence(event, earlier))
        same = earlier is not None and event["SEQUENCE"] == _sequence_of(earlier)
        kept = earlier.get("LAST-MODIFIED") if same and earlier is not None else None
        event.add("last-modified", kept.dt if kept is not None else stamp.to_stdlib())
        calendar.add_component(event)
    for event in before.values():
        if _is_to_come(event, stamp):
            calendar.add_component(_cancelled(event, stamp))
    return bytes(calendar.to_ical())


def _filled(component: Component, **values: object) -> Component:
    for name, value in values.items():
        if value is not None:
            component.add(name, value)
    return component


def _event(entry: CalendarEntry, uid: str, stamp: Instant) -> Component:
    from icalendar import Alarm, Event

    starts = entry.starts.round("second")
    event = _filled(
        Event(),
        uid=uid,
        dtstamp=stamp.round("second").to_stdlib(),
        dtstart=starts.to_stdlib(),
        dtend=starts.add(seconds=round(max(SHORTEST_S, entry.lasts_s))).to_stdlib(),
        summary=entry.summary,
        description=entry.description or None,
        status="CONFIRMED",
    )
    for before_s in entry.alarms_before_s:
        rings = -timedelta(seconds=round(before_s))
        text = entry.summary
        event.add_component(_filled(Alarm(), action="DISPLAY", description=text, trigger=rings))
    return event


def _events_of(previous: bytes) -> dict[str, Component]:
    from icalendar import Calendar

    try:
        calendar = Calendar.from_ical(previous)
    except ValueError as error:
        raise CalendarFileError(
            "The earlier calendar file can't be read, so its events can't be brought up to date; "
            "export under another name, or remove it first."
        ) from error
    return {str(event["UID"]): event for event in calendar.walk("VEVENT") if "UID" in event}


def _sequence(event: Component, before: Component | None) -> int:
    if before is None:
        return 0
    number = _sequence_of(before)
    return number + 1 if _content(event) != _content(before) else number


def _sequence_of(event: Component) -> int:
    text = str(event.get("SEQUENCE", 0))
    return int(text) if text.isdigit() else 0


def _content(event: Component) -> tuple[list[bytes | None], list[bytes]]:
    """What a reader would notice: the properties shown, and the alarms."""
    values = [event.get(name) for name in _COMPARED]
    alarms = sorted(alarm.to_ical() for alarm in event.walk("VALARM"))
    return [None if value is None else value.to_ical() for value in values], alarms


def _is_to_come(event: Component, stamp: Instant) -> bool:
    start = getattr(event.get("DTSTART"), "dt", None)
    return isinstance(start, datetime) and start > stamp.to_stdlib()


def _cancelled(event: Component, stamp: Instant) -> Component:
    """The event as cancelled; one that was so before stays as it is until its time is past."""
    if str(event.get("STATUS")) == "CANCELLED":
        return event
    number = _sequence_of(event) + 1
    for name in ("STATUS", "SEQUENCE", "DTSTAMP", "LAST-MODIFIED"):
        event.pop(name, None)
    event.subcomponents.clear()
    stamped = stamp.round("second").to_stdlib()
    event.add("last-modified", stamp.to_stdlib())
    return _filled(event, status="CANCELLED", sequence=number, dtstamp=stamped)
