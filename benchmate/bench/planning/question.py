"""What the planner is asked: all open jobs and some wishes, in this shop's hours and air."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from benchmate.air.what_if import daily
from benchmate.bench.service import Bench
from benchmate.job.events.of_jobs import Begun, Checked, Done, Weighed
from benchmate.job.events.of_shop import OtherHours
from benchmate.job.state.state import JobState
from benchmate.job.windows.windows import SHOP, Around
from benchmate.localtime import next_at
from benchmate.plan.plan import Plan
from benchmate.planner.from_jobs import Wanted, problem_of
from benchmate.planner.hours import HoursChange, ShopTimes, shop_sessions
from benchmate.planner.problem import PlannerProblem
from benchmate.planner.wire import Request
from benchmate.quantities import parse_duration_s, show_duration
from benchmate.refusal import Refused
from benchmate.settings import Settings
from benchmate.settings.shop import counts_of, curve_of, days_of
from benchmate.settings.spans import Span

HANDS_ON = (Begun, Done, Weighed, Checked)
AT_WORK_S, STAYS_S = 15 * 60.0, 3600.0
LONGER = 1.1
"""A wait so much longer than its label's is said."""
NOTHING = "Nothing to plan: no job with a plan is running. `benchmate start` starts one."


@dataclass(frozen=True)
class Question:
    """A problem, and what is needed to read the answer."""

    problem: PlannerProblem
    now_wall: float
    jobs: Mapping[str, JobState]
    wishes: Mapping[str, Plan] = field(default_factory=dict)

    def wall(self, minute: int) -> float:
        """Unix seconds of a minute of the plan."""
        return self.now_wall + 60.0 * minute

    def minute(self, wall_s: float) -> int:
        """The minute of the plan at a Unix time."""
        return round((wall_s - self.now_wall) / 60)

    def request(self, seconds: float, old: Mapping[str, float] | None = None) -> Request:
        """As the planner's process takes it. `old`: dates to keep where they can be."""
        kept = {a: self.minute(at) for a, at in (old or {}).items() if at > self.now_wall}
        return Request(kind="plan", problem=self.problem, seconds=seconds, old=kept)


def question_of(
    bench: Bench,
    wishes: Sequence[Plan] = (),
    *,
    hours: Sequence[OtherHours] = (),
    after: Mapping[str, float] | None = None,
) -> Question:
    """All open jobs as they stand now. To try what was not said: `hours` other than the week's, and
    steps that come only `after` some time.

    Raises Refused where there is nothing to plan.
    """
    now = bench.now()
    # From the next whole minute on: dates that are planned again come out the same.
    now_wall = math.ceil(now.wall_s / 60) * 60.0
    now_s, sheet = bench.now_s(now) + now_wall - now.wall_s, bench.shop.dates
    jobs = {j.job: j for j in bench.shop.live if j.status == "open" and j.plan is not None}
    if not jobs and not wishes:
        raise Refused(NOTHING)
    awaited = {a: d.comes for d in (sheet.awaited.values() if sheet else ()) for a in d.steps}
    said = (*(sheet.hours if sheet else ()), *hours)
    times = times_of(bench.settings)
    changes = tuple(HoursChange(h.begins, h.ends, h.opens) for h in said)
    wanted = Wanted(
        pins=sheet.pins if sheet else {},
        changes=(*changes, *_at_work(bench, times, changes, now_wall)),
        arrives={**awaited, **(after or {})},
        dues={j: (p.by, bool(p.to)) for j, p in (sheet.promises if sheet else {}).items()},
    )
    problem = problem_of(
        jobs.values(),
        wishes,
        times,
        expected_air(bench, now_s, now_wall),
        now_s,
        now_wall,
        wanted,
    )
    return Question(problem, now_wall, jobs, {p.job: p for p in wishes})


def _at_work(
    bench: Bench, times: ShopTimes, changes: Sequence[HoursChange], now_wall: float
) -> Iterator[HoursChange]:
    """Whoever has just done something is in the shop, whatever its hours: for a while yet."""
    last = [j.records[-1].event for j in bench.shop.live if j.records]
    busy = any(isinstance(e, HANDS_ON) and now_wall - e.recorded.wall_s < AT_WORK_S for e in last)
    if busy and not any(a <= 0 < b for a, b in shop_sessions(times, now_wall, 1, changes)):
        # Nothing has to be set up once more.
        yield HoursChange(now_wall - 60.0 * times.set_up_min, now_wall + STAYS_S, opens=True)


def times_of(settings: Settings) -> ShopTimes:
    """The settings as the planner takes them."""
    shop, quiet = settings.shop, Span.read(settings.shop.quiet)
    week = tuple(
        tuple((s.begins_min, s.ends_min) for s in settings.hours.on(day) if not s.is_empty)
        for day in range(7)
    )
    return ShopTimes(
        week=week,
        quiet=(quiet.begins_min, quiet.ends_min),
        hands=shop.hands,
        has=counts_of(shop.has),
        days_off=days_of(shop.days_off),
        set_up_min=round(parse_duration_s(shop.set_up) / 60),
        clean_up_min=round(parse_duration_s(shop.clean_up) / 60),
    )


def expected_air(bench: Bench, now_s: float, now_wall: float) -> Around:
    """The air to reckon with: the shop's as it was read, then the daily curve of the settings."""
    around, curve = bench.shop.around, curve_of(bench.settings.shop.temperature)
    if not curve:
        return around
    midnight_s = now_s + next_at(now_wall, 0, 0, 0) - now_wall
    expected = daily(bench.shop.air_of(SHOP), now_s, curve, midnight_s)
    return replace(around, air={**around.air, SHOP: expected})


def air_text(bench: Bench, question: Question) -> str:
    """Where the air expected decides: the wait that it lengthens most; empty where labels hold."""
    from benchmate.planner.waits import Waits

    now = bench.now()
    now_s = bench.now_s(now)
    expected, label = (
        Waits(around, now_s)
        for around in (expected_air(bench, now_s, now.wall_s), Around(bench.shop.timeline))
    )
    longer: list[tuple[int, int, str]] = []
    for job in question.jobs.values():
        for step in job.steps.values():
            for window in () if job.is_settled(step.address) else step.windows:
                wait, usual = (
                    w.full or w.opens or 0 for w in (expected.of(window), label.of(window))
                )
                if wait > usual * LONGER:
                    longer.append((wait - usual, wait, window.label))
    if not longer:
        return ""
    _, wait, name = max(longer)
    return f"Planned with the temperature expected: {name} takes {show_duration(wait * 60)}."
