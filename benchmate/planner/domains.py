"""When an activity may start: the hours it has to lie in, as a list of closed intervals."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from benchmate.planner.problem import Activity, PlannerProblem, Within

Spans = tuple[tuple[int, int], ...]


def domain_of(problem: PlannerProblem, activity: Activity) -> Spans:
    """All starts that the hours and the activity's own earliest and latest leave open."""
    last = problem.horizon - activity.minutes
    if activity.latest is not None:
        last = min(last, activity.latest)
    spans: Spans = ((activity.earliest, last),) if activity.earliest <= last else ()
    for part in activity.within:
        spans = _common(spans, _starts_in(problem, part))
    return spans


def _starts_in(problem: PlannerProblem, part: Within) -> Spans:
    sessions = problem.sessions.get(part.calendar, ())
    starts = [(opens - part.at, closes - part.at - part.minutes) for opens, closes in sessions]
    return tuple((a, b) for a, b in starts if a <= b)


def _common(one: Spans, other: Spans) -> Spans:
    common, i, j = [], 0, 0
    while i < len(one) and j < len(other):
        low, high = max(one[i][0], other[j][0]), min(one[i][1], other[j][1])
        if low <= high:
            common.append((low, high))
        if one[i][1] < other[j][1]:
            i += 1
        else:
            j += 1
    return tuple(common)


def next_in(spans: Spans, minute: int) -> int | None:
    """The first allowed start from a minute on."""
    at = bisect_left(spans, minute, key=lambda span: span[1])
    return max(minute, spans[at][0]) if at < len(spans) else None


def session_of(sessions: Sequence[tuple[int, int]], minute: int) -> int | None:
    """Which session a minute lies in."""
    at = bisect_left(sessions, minute, key=lambda span: span[1])
    return at if at < len(sessions) and sessions[at][0] <= minute else None
