"""The only place that reads clocks: Moments are made here.

The boot clock counts through sleep where the system has one that does: CLOCK_BOOTTIME on Linux,
CLOCK_MONOTONIC_RAW on macOS, GetTickCount64 on Windows. Where there is none the wall clock
stands alone, and the bench says so.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import Protocol

from benchmate.moment import Moment


class Clock(Protocol):
    """Whatever tells the time: the system, a test, or a demo at another pace."""

    def now(self) -> Moment:
        """The moment it is."""
        ...


class SystemClock:
    """This machine's clocks."""

    def __init__(self) -> None:
        self._boot_id = _boot_id()

    def now(self) -> Moment:
        """The moment it is, on the wall and (where there is one) on the boot clock."""
        boot_ns = _boot_ns() if self._boot_id else None
        return Moment(time.time_ns(), self._boot_id, boot_ns)


class PacedClock:
    """A clock that runs `speed` times as fast from the moment it was made: for the demo."""

    def __init__(self, base: Clock, speed: float, start: Moment | None = None) -> None:
        self._base, self.speed = base, speed
        self._from = base.now()
        self._start = start or self._from

    def now(self) -> Moment:
        """The paced moment."""
        real = self._base.now()
        if real.boot_ns is not None and self._from.boot_ns is not None:
            passed_ns = real.boot_ns - self._from.boot_ns
        else:
            passed_ns = real.wall_ns - self._from.wall_ns
        return self._start.shifted(passed_ns * self.speed / 1e9)


class SetClock:
    """A clock that stands until it is moved: for tests and rehearsals."""

    def __init__(self, moment: Moment) -> None:
        self.moment = moment

    def now(self) -> Moment:
        """The moment it was set to."""
        return self.moment

    def tick(self, seconds: float) -> Moment:
        """Let time pass on both clocks."""
        self.moment = self.moment.shifted(seconds)
        return self.moment


def steady_s() -> float:
    """Seconds on a clock that nobody sets, from anywhere: for how long something takes, and for
    giving up in time. What happened when is a Moment's to say."""
    return time.monotonic()


def wait_s(seconds: float) -> None:
    """Let this thread rest for so long."""
    time.sleep(seconds)


def _boot_ns() -> int:
    if sys.platform == "linux":
        return time.clock_gettime_ns(time.CLOCK_BOOTTIME)
    if sys.platform == "darwin":
        return time.clock_gettime_ns(time.CLOCK_MONOTONIC_RAW)
    return time.monotonic_ns()


def _boot_id() -> str | None:
    """A name for this boot; None where the system gives none that can be trusted."""
    if sys.platform == "linux":
        try:
            return Path("/proc/sys/kernel/random/boot_id").read_text().strip()[:36] or None
        except OSError:
            return None
    if sys.platform in ("darwin", "win32"):
        # The wall time at which the boot clock stood at zero names the boot; to ten minutes,
        # since the wall may be corrected between two looks.
        return f"boot-{round((time.time() - _boot_ns() / 1e9) / 600)}"
    return None
