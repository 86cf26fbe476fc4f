"""Moments, and the one time line that all of them stand on."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

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
    shift_before_s: float = 0.0
    """The sum of shifts when the present boot was first seen."""
    was_base_s: float | None = None
    """What the present boot's base was before it was put right; None: it never was."""

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

    def boot_base(self, moment: Moment) -> tuple[float, float]:
        """For a boot not seen before: what to add to its clock, and the wall's shift by then.

        A wall clock that went back over a restart is not believed.
        """
        place, shift = moment.wall_s - self.shift_s, self.shift_s
        if place < self.last_s:
            # A dead clock battery sets the wall back: no time at all is the least that passed.
            shift, place = moment.wall_s - self.last_s, self.last_s
        return place - (moment.boot_ns or 0) / NS, shift

    def put_right(self, moment: Moment) -> tuple[float, float]:
        """For a boot whose wall clock was wrong when it was first seen, and is right now: what to
        add to its clock, and the wall's shift, as if it had been right from the start."""
        place = moment.wall_s - self.shift_before_s
        return place - (moment.boot_ns or 0) / NS, self.shift_before_s

    def undone(self, moment: Moment) -> tuple[float, float] | None:
        """The other reading of the last time that the wall was set in this boot: what `put_right`
        took for a wrong start was a shift, or what was taken for a shift was a wrong start. None:
        it wasn't set."""
        if self.was_base_s is not None:
            place = self.was_base_s + (moment.boot_ns or 0) / NS
            return self.was_base_s, moment.wall_s - place
        return self.put_right(moment) if self.shift_s != self.shift_before_s else None

    def saw_boot(self, boot_id: str, base_s: float, shift_s: float) -> Timeline:
        """The line after a boot is first seen, or its base put right."""
        old_s = self.bases_s.get(boot_id)
        before_s, last_s = self.shift_s, self.last_s
        if old_s is not None:
            before_s = self.shift_before_s
            last_s += base_s - old_s if last_s >= old_s else 0.0
        return Timeline({**self.bases_s, boot_id: base_s}, shift_s, last_s, before_s, old_s)

    def saw_shift(self, shift_s: float) -> Timeline:
        """The line after the wall was found shifted against the boot clock by so many seconds."""
        return replace(self, shift_s=self.shift_s + shift_s)

    def knows(self, moment: Moment) -> bool:
        """Whether the moment's boot has been seen (or there is no boot clock to see)."""
        return moment.boot_id is None or moment.boot_id in self.bases_s

    def drift_of(self, moment: Moment) -> float:
        """By how much the wall has moved against the boot clock and nobody has noted yet."""
        if moment.boot_id is None or moment.boot_id not in self.bases_s:
            return 0.0
        return moment.wall_s - self.shift_s - self.at(moment)

    def passed(self, place_s: float) -> Timeline:
        """The line that has also seen this place."""
        if place_s <= self.last_s:
            return self
        return replace(self, last_s=place_s)
