"""What is to be planned, as pure data: activities, lags, holdings, counts, sessions, dues.

All times are whole minutes from an origin (usually now). An activity is named by its place in
`Problem.activities`. Every rule has one form:

- an order, a wait and a window that closes are lags from start to start: S_then >= S_first + least;
  a window that closes is a negative lag backwards;
- whatever is taken (hands, clamps of a size, places in a box, the lathe, dust-free air) is a count,
  taken by a holding from one start plus an offset to another (or the same) start plus an offset;
- hours (the shop's, those in which noise is allowed) are a calendar of sessions, and part of an
  activity has to lie within one session of it.

The same form holds the published instances of project scheduling with minimal and maximal time lags
(Neumann, Schwindt, Zimmermann, Project Scheduling with Time Windows and Scarce Resources, 2003).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec

HANDS, DUST_FREE = "hands", "dust-free air"
SHOP, NOISE = "shop hours", "noise hours"
DAY_MIN = 1440
Missed = Literal["", "extra work", "spoils"]
"""What missing a lag costs; "" may never be missed."""


class _Data(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    pass


class Within(_Data, frozen=True):
    """So many minutes of an activity, from `at` on, lie in one session of a calendar."""

    calendar: str
    minutes: int
    at: int = 0


class Part(_Data, frozen=True):
    """A step inside a block of several: when it begins after the block's start, and its minutes."""

    key: str
    at: int
    minutes: int


class Activity(_Data, frozen=True):
    """One step, or several that are done in one go."""

    key: str
    minutes: int
    job: str = ""
    within: tuple[Within, ...] = ()
    earliest: int = 0
    latest: int | None = None
    """Latest start. Equal to `earliest` where it is pinned."""
    parts: tuple[Part, ...] = ()
    """Empty: the activity is one step, named by its key."""

    @property
    def steps(self) -> tuple[Part, ...]:
        """The steps in it."""
        return self.parts or (Part(key=self.key, at=0, minutes=self.minutes),)


class Lag(_Data, frozen=True):
    """The start of `then` comes at least so many minutes after the start of `first`."""

    first: int
    then: int
    least: int
    missed: Missed = ""
    name: str = ""
    """The clock that makes it, as people call it."""


class Holding(_Data, frozen=True):
    """So many of a count are taken from `first`'s start plus `begins` to `last`'s plus `ends`."""

    count: str
    amount: int
    first: int
    begins: int
    last: int
    ends: int


class Due(_Data, frozen=True):
    """A job is to be done by then; `promised` to somebody comes before what is only wished."""

    job: str
    by: int
    promised: bool = False


class PlannerProblem(_Data, frozen=True):
    """Everything that a plan has to keep."""

    activities: tuple[Activity, ...]
    lags: tuple[Lag, ...] = ()
    holdings: tuple[Holding, ...] = ()
    counts: dict[str, int] = {}
    sessions: dict[str, tuple[tuple[int, int], ...]] = {}
    dues: tuple[Due, ...] = ()
    horizon: int = 0
    """No activity ends later."""
    day_min: int = DAY_MIN
    """What finishing is counted in: days, or 1 for the minute itself."""
    day_starts: int = 0
    """A minute at which such a day begins. Nights are best: a clock change moves it by an hour."""

    @property
    def jobs(self) -> tuple[str, ...]:
        """The jobs in it, in their first activity's order."""
        return tuple(dict.fromkeys(a.job for a in self.activities if a.job))


class PlannerPlan(_Data, frozen=True):
    """A start for each activity."""

    starts: tuple[int, ...]
    missed: tuple[int, ...] = ()
    """Places in `Problem.lags` of the windows that it misses."""
    how: str = "greedy"
    """What made it: "greedy" or "solver"."""


AimName = Literal["spoiled", "extra work", "late days", "changes", "finish days", "visits", "idle"]


class PlannerAim(_Data, frozen=True):
    """How well a plan does in one aim, and what is known about how well it could."""

    name: AimName
    value: int
    bound: int | None = None

    @property
    def is_proven(self) -> bool:
        """Whether nothing better can be."""
        return self.bound is not None and self.bound >= self.value


def day_of(problem: PlannerProblem, minute: int) -> int:
    """The day in which something that ends at a minute has ended."""
    return -((problem.day_starts - minute) // problem.day_min)


def finishes(problem: PlannerProblem, starts: Sequence[int]) -> dict[str, int]:
    """When each job's last activity ends."""
    ends: dict[str, int] = {}
    for activity, start in zip(problem.activities, starts, strict=True):
        if activity.job:
            end = start + activity.minutes
            ends[activity.job] = max(ends.get(activity.job, end), end)
    return ends


def step_starts(problem: PlannerProblem, plan: PlannerPlan) -> dict[str, tuple[int, int]]:
    """Begin and end of every step, blocks taken apart again."""
    return {
        part.key: (start + part.at, start + part.at + part.minutes)
        for activity, start in zip(problem.activities, plan.starts, strict=True)
        if activity.job
        for part in activity.steps
    }
