"""Open jobs and wishes as one problem: what their frozen plans say, from where they stand now."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from benchmate.job.state.state import JobState
from benchmate.job.windows.windows import Around, WindowView, window_views
from benchmate.plan.plan import Plan, Step, Window
from benchmate.planner.hours import (
    HoursChange,
    ShopTimes,
    day_starts,
    noise_sessions,
    shop_sessions,
)
from benchmate.planner.problem import (
    DAY_MIN,
    DUST_FREE,
    HANDS,
    NOISE,
    SHOP,
    Activity,
    Due,
    Holding,
    Lag,
    Missed,
    PlannerProblem,
    Within,
)
from benchmate.planner.waits import Waits

WEEKS = 10
"""How far ahead hours are laid out; what doesn't fit into them can't be planned."""
NOW = "now"
"""The activity that stands for this moment: windows that run already hang on it."""
WET_PLACES = 100
"""The count of dust-free air: what is wet takes one, what makes dust takes all."""
SPLIT_MIN = 60
"""A step that may be stopped is planned in pieces of at most so long."""
SLACK_MIN = 15
"""A step that starts something which spoils isn't begun without so much left before closing."""
AGAIN = "~"
"""Follows a step's address where it is gone on with."""


@dataclass(frozen=True)
class Wanted:
    """What the maker has said about the days, in Unix seconds: pins, hours, deliveries, dues."""

    pins: Mapping[str, float] = field(default_factory=dict)
    changes: tuple[HoursChange, ...] = ()
    arrives: Mapping[str, float] = field(default_factory=dict)
    """By step: what it waits for comes then."""
    dues: Mapping[str, tuple[float, bool]] = field(default_factory=dict)
    """By job: when it is to be done, and whether that was promised."""


def problem_of(
    jobs: Iterable[JobState],
    wishes: Iterable[Plan],
    times: ShopTimes,
    around: Around,
    now_s: float,
    now_wall: float,
    wanted: Wanted | None = None,
) -> PlannerProblem:
    """One problem of all that is open and wished for, in minutes from now.

    `around` holds the air expected, from now on. Done steps are no part of it: what still follows
    from them are windows with their real anchors.
    """
    making = _Making(times, Waits(around, now_s), now_s, now_wall, wanted or Wanted())
    for job in jobs:
        if job.status == "open" and job.plan is not None:
            making.job(job, {v.address: v for v in window_views(job, around, now_s)})
    for plan in wishes:
        making.steps(plan.job, {s.address: s for s in plan.steps}, {}, frozenset())
    return making.problem()


class _Making:
    def __init__(
        self, times: ShopTimes, waits: Waits, now_s: float, now_wall: float, wanted: Wanted
    ) -> None:
        self.times, self.waits, self.wanted = times, waits, wanted
        self.now_s, self.now_wall = now_s, now_wall
        self.activities = [Activity(key=NOW, minutes=0, latest=0)]
        self.lags: list[Lag] = []
        self.holdings: list[Holding] = []
        self.first: dict[str, int] = {}
        """By address: the step's activity, the first one where it is in pieces."""
        self.last: dict[str, int] = {}

    def problem(self) -> PlannerProblem:
        """All that was put in."""
        days = WEEKS * 7
        counts = {HANDS: self.times.hands, DUST_FREE: WET_PLACES, **self.times.has}
        jobs = {a.job for a in self.activities}
        return PlannerProblem(
            activities=tuple(self.activities),
            lags=tuple(self.lags),
            holdings=tuple(self.holdings),
            counts=counts,
            sessions={
                SHOP: tuple(shop_sessions(self.times, self.now_wall, days, self.wanted.changes)),
                NOISE: tuple(noise_sessions(self.times, self.now_wall, days)),
            },
            dues=tuple(
                Due(job=job, by=self._minute(by), promised=promised)
                for job, (by, promised) in self.wanted.dues.items()
                if job in jobs
            ),
            horizon=days * DAY_MIN,
            day_starts=day_starts(self.now_wall, self.times.zone),
        )

    def job(self, job: JobState, views: Mapping[str, WindowView]) -> None:
        """A running job: its settled steps are facts."""
        gone = frozenset(a for a in job.steps if job.is_settled(a))
        self.steps(job.job, job.steps, views, gone)

    def steps(
        self,
        job: str,
        steps: Mapping[str, Step],
        views: Mapping[str, WindowView],
        gone: frozenset[str],
    ) -> None:
        """A job's steps that are still to be done."""
        pending = [s for a, s in steps.items() if a not in gone]
        windows = {w.address: (s, w) for s in pending for w in s.windows}
        for step in pending:
            self._activities(job, step)
        for step in pending:
            for address in step.after:
                self._after(address, step)
            for late in step.before:
                self._after(step.address, steps.get(late))
            for name in (*step.waits, *step.waits_full):
                self._opens(name, step, windows, views, full=name in step.waits_full)
            for name in step.within:
                self._closes(name, step, windows, views)
            for held in step.holds:
                self._holds(held.what, math.ceil(held.count), step.address, held.until)
        for step in (steps[a] for a in gone):
            for held in step.holds:
                if held.until and held.until not in gone:
                    self._holds(held.what, math.ceil(held.count), "", held.until)

    # One step -------------------------------------------------------------------------------

    def _activities(self, job: str, step: Step) -> None:
        work, clean = _minutes(step.set_up_s + step.hands_s), _minutes(step.clean_up_s)
        pieces = math.ceil(work / SPLIT_MIN) if step.may_stop else 1
        slack = SLACK_MIN if any(w.missed.startswith("spoils") for w in step.windows) else 0
        for n in range(pieces):
            minutes = work * (n + 1) // pieces - work * n // pieces
            place = len(self.activities)
            key = step.address if n == 0 else f"{step.address}{AGAIN}{n + 1}"
            calendars = (SHOP, NOISE) if step.noisy else (SHOP,)
            spans = {SHOP: minutes + max(clean, slack), NOISE: minutes}
            self.activities.append(
                Activity(
                    key=key,
                    job=job,
                    minutes=minutes,
                    within=tuple(Within(calendar=c, minutes=spans[c]) for c in calendars),
                    earliest=max(0, self._minute(self.wanted.arrives.get(step.address, 0.0))),
                )
            )
            if n:
                self._lag(place - 1, place, self.activities[place - 1].minutes)
            else:
                self.first[step.address] = place
                self._pin(place, step.address)
            self.last[step.address] = place
            self._take(HANDS, 1, place, 0, place, minutes + clean)
            if step.dusty:
                self._take(DUST_FREE, WET_PLACES, place, 0, place, minutes + clean)
            elif step.wet_s > 0:
                self._take(DUST_FREE, 1, place, 0, place, minutes + _minutes(step.wet_s))

    def _pin(self, place: int, address: str) -> None:
        at = self.wanted.pins.get(address)
        if at is not None:
            from msgspec.structs import replace

            minute = max(0, self._minute(at))
            pinned = replace(self.activities[place], earliest=minute, latest=minute)
            self.activities[place] = pinned

    def _after(self, address: str, step: Step | None) -> None:
        if address in self.last and step is not None and step.address in self.first:
            before = self.last[address]
            self._lag(before, self.first[step.address], self.activities[before].minutes)

    def _opens(
        self,
        name: str,
        step: Step,
        windows: Mapping[str, tuple[Step, Window]],
        views: Mapping[str, WindowView],
        *,
        full: bool,
    ) -> None:
        view = views.get(name)
        if view is not None:
            edge = view.full if full else view.opens
            if edge is not None:
                self._not_before(step, math.ceil((edge.at - self.now_s) / 60))
            return
        if name not in windows:
            return
        starter, window = windows[name]
        waits = self.waits.of(window)
        wait = waits.full if full else waits.opens
        if wait is not None:
            from_place, done = self._anchor(starter, window)
            self._lag(from_place, self.first[step.address], done + wait, name=window.label)

    def _closes(
        self,
        name: str,
        step: Step,
        windows: Mapping[str, tuple[Step, Window]],
        views: Mapping[str, WindowView],
    ) -> None:
        """To be done, to the last minute of its hands, before it closes (as the agenda says)."""
        view, last = views.get(name), self.last[step.address]
        needs = self.activities[last].minutes
        if view is not None:
            if view.closes is not None and view.state in ("shut", "open", "closing"):
                close = math.floor((view.closes.at - self.now_s) / 60)
                self._lag(last, 0, needs - close, _missed(view.window), view.window.label)
            return
        if name not in windows:
            return
        starter, window = windows[name]
        closes = self.waits.of(window).closes
        if closes is not None:
            place, done = self._anchor(starter, window)
            self._lag(last, place, needs - done - closes, _missed(window), window.label)

    def _anchor(self, starter: Step, window: Window) -> tuple[int, int]:
        """The activity that a window counts from, and how long after its start."""
        if window.anchor == "begun":
            return self.first[starter.address], _minutes(starter.set_up_s)
        place = self.last[starter.address]
        return place, self.activities[place].minutes

    def _not_before(self, step: Step, minute: int) -> None:
        self._lag(0, self.first[step.address], max(0, minute))

    def _holds(self, what: str, count: int, taker: str, until: str) -> None:
        """What a step takes; a taker that is done already has it since before now."""
        if what not in self.times.has:
            return
        last = self.last.get(until or taker)
        if last is not None:
            first = self.first[taker] if taker else 0
            self._take(what, count, first, 0, last, self.activities[last].minutes)

    def _take(self, count: str, amount: int, first: int, begins: int, last: int, ends: int) -> None:
        self.holdings.append(
            Holding(count=count, amount=amount, first=first, begins=begins, last=last, ends=ends)
        )

    def _lag(self, first: int, then: int, least: int, missed: Missed = "", name: str = "") -> None:
        self.lags.append(Lag(first=first, then=then, least=least, missed=missed, name=name))

    def _minute(self, wall_s: float) -> int:
        return round((wall_s - self.now_wall) / 60)


def _minutes(seconds: float) -> int:
    return math.ceil(seconds / 60 - 1e-9)


def _missed(window: Window) -> Missed:
    """What missing it costs; a window that costs nothing still is kept, as extra work is."""
    return "spoils" if window.missed.startswith("spoils") else "extra work"
