"""Moments, and the one time line that all of them stand on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Protocol

import msgspec

NS = 1_000_000_000


class Moment(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """An instant as this machine saw it: the wall clock and, where there is one, the boot clock.

    `boot_ns` counts through sleep and never jumps, but starts anew with each boot; `wall_ns`
    (Unix time) goes on across boots, but people and time servers set it. Either alone lies
    sometimes. `boot_ns` may be negative: "ten minutes ago", said two minutes after a boot.
    """

    wall_ns: int
    boot_id: str | None = None
    boot_ns: int | None = None

    @property
    def wall_s(self) -> float:
        """The wall clock's reading, in Unix seconds."""
        return self.wall_ns / NS

    def shifted(self, seconds: float) -> Moment:
        """The moment so many seconds later (earlier when negative), on both clocks."""
        step = round(seconds * NS)
        boot = None if self.boot_ns is None else self.boot_ns + step
        return Moment(self.wall_ns + step, self.boot_id, boot)


class Sighting(Protocol):
    """What the time line learns from: an event of stream `clock`."""

    @property
    def recorded(self) -> Moment: ...  # noqa: D102


@dataclass(frozen=True)
class Timeline:
    """Places Moments on one line of seconds that no clock change bends.

    Within one boot a moment's place is the boot clock's; across boots it is the wall clock's,
    less all shifts of the wall that were noticed before. The line's zero is arbitrary; it is
    near Unix time, so that an unshifted machine reads the same on both.
    """

    bases_s: dict[str, float] = field(default_factory=dict)
    """Per boot: what to add to the boot clock."""
    shift_s: float = 0.0
    """Sum of the wall's noticed shifts so far."""
    last_s: float = float("-inf")
    """The latest place known: time never runs backwards over a restart."""

    def at(self, moment: Moment) -> float:
        """The moment's place on the line, in seconds."""
        if moment.boot_id is not None and moment.boot_ns is not None:
            base = self.bases_s.get(moment.boot_id)
            if base is not None:
                return base + moment.boot_ns / NS
        return moment.wall_s - self.shift_s

    def elapsed(self, since: Moment, until: Moment) -> float:
        """Seconds between two moments, through sleep, restarts and clock changes."""
        return self.at(until) - self.at(since)

    def wall_at(self, place_s: float, now: Moment) -> float:
        """What the wall clock, as it is set now, shows at a place on the line (Unix seconds)."""
        return now.wall_s + (place_s - self.at(now))

    def saw_boot(self, moment: Moment) -> Timeline:
        """The line after a boot is first seen. A wall clock that went back is not believed."""
        if moment.boot_id is None or moment.boot_ns is None or moment.boot_id in self.bases_s:
            return self
        place, shift = moment.wall_s - self.shift_s, self.shift_s
        if place < self.last_s:
            # A dead clock battery sets the wall back: no time at all is the least that passed.
            shift, place = moment.wall_s - self.last_s, self.last_s
        bases = {**self.bases_s, moment.boot_id: place - moment.boot_ns / NS}
        return Timeline(bases, shift, max(self.last_s, place))

    def saw_shift(self, moment: Moment, shift_s: float) -> Timeline:
        """The line after the wall was found shifted against the boot clock by so many seconds."""
        return Timeline(self.bases_s, self.shift_s + shift_s, max(self.last_s, self.at(moment)))

    def drift_of(self, moment: Moment) -> float:
        """By how much the wall has moved against the boot clock and nobody has noted yet."""
        if moment.boot_id is None or moment.boot_id not in self.bases_s:
            return 0.0
        return moment.wall_s - self.shift_s - self.at(moment)

    def passed(self, places_s: Iterable[float]) -> Timeline:
        """The line that has also seen these places (a journal's last events)."""
        return Timeline(self.bases_s, self.shift_s, max([self.last_s, *places_s]))
