"""Quiet hours: from one local time of the day to another, also where the clocks change."""

from __future__ import annotations

from dataclasses import dataclass

from whenever import SYSTEM_TZ, Time, ZonedDateTime


@dataclass(frozen=True, slots=True)
class QuietHours:
    """Quiet from one time of the day until the next time the clock shows the other."""

    begins: Time
    ends: Time

    def around(self, wall: ZonedDateTime) -> tuple[ZonedDateTime, ZonedDateTime] | None:
        """The quiet hours this moment lies in (begin and end), or None outside them."""
        for days_back in (0, 1):
            start, end = self._night(wall, -days_back)
            if start <= wall < end:
                return start, end
        return None

    def _night(self, wall: ZonedDateTime, days: int) -> tuple[ZonedDateTime, ZonedDateTime]:
        first = wall.date().add(days=days)
        last = first if self.begins < self.ends else first.add(days=1)
        # Where the clock shows a time twice, quiet begins at the first and ends at the second,
        # so that it is one stretch; a time that is skipped counts as if the clock had not been
        # changed yet (RFC 5545, 3.3.5).
        zone = wall.tz_id or SYSTEM_TZ
        return (
            first.at(self.begins).assume_tz(zone, disambiguation="earlier"),
            last.at(self.ends).assume_tz(zone, disambiguation="later"),
        )


NIGHT = QuietHours(Time(22, 0), Time(7, 0))
"""For a maker who set nothing."""
