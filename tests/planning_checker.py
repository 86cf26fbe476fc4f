"""Checks a dated plan, sharing no code with what makes one: minutes are walked through one by one.

`complaints` reads a Problem as plain data; `trade_complaints` reads the frozen plans themselves and
the dates as a maker would, with the standard library's own calendar.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from benchmate.plan.plan import Plan, Step
from benchmate.planner.problem import PlannerProblem


def complaints(
    problem: PlannerProblem, starts: Sequence[int], missed: Sequence[int] = ()
) -> list[str]:
    """Every rule that these starts break, in words; empty where they keep them all."""
    wrong = []
    for number, lag in enumerate(problem.lags):
        is_short = starts[lag.then] - starts[lag.first] < lag.least
        if is_short and not (lag.missed and number in missed):
            wrong.append(f"lag {problem.activities[lag.first].key} {lag.least}")
    for activity, start in zip(problem.activities, starts, strict=True):
        if start < activity.earliest or start + activity.minutes > problem.horizon:
            wrong.append(f"earliest {activity.key}")
        if activity.latest is not None and start > activity.latest:
            wrong.append(f"latest {activity.key}")
        for part in activity.within:
            begin, end = start + part.at, start + part.at + part.minutes
            if not any(a <= begin and end <= b for a, b in problem.sessions[part.calendar]):
                wrong.append(f"hours {activity.key} {part.calendar}")
    for count, capacity in problem.counts.items():
        taken: Counter[int] = Counter()
        for holding in problem.holdings:
            if holding.count == count:
                begin = starts[holding.first] + holding.begins
                for minute in range(begin, starts[holding.last] + holding.ends):
                    taken[minute] += holding.amount
        if taken and max(taken.values()) > capacity:
            wrong.append(f"count {count}")
    return wrong


Pieces = Sequence[tuple[datetime, datetime]]
Dates = Mapping[str, Pieces]
"""By step: begin and end of its hands-on work, in pieces where it is gone on with another day."""


def trade_complaints(
    plans: Sequence[Plan],
    dates: Dates,
    hours: Mapping[int, Sequence[tuple[str, str]]],
    quiet: tuple[str, str],
    has: Mapping[str, int],
) -> list[str]:
    """What a maker would find wrong with the dates. `hours` by weekday, Monday 0, as "18:00"."""
    steps = {s.address: s for plan in plans for s in plan.steps}
    wrong = [f"date {a} missing" for a in steps if a not in dates]
    if wrong:
        return wrong
    for step in steps.values():
        wrong += _of_step(step, steps, dates)
        pieces = dates[step.address]
        if len(pieces) > 1 and not step.may_stop:
            wrong.append(f"stopped {step.address}")
        worked = sum((end - begin for begin, end in pieces), timedelta()).total_seconds()
        if worked < step.set_up_s + step.hands_s:
            wrong.append(f"short {step.address}")
        for begin, end in pieces:
            busy_until = end + timedelta(seconds=step.clean_up_s)
            if not _is_open(begin, busy_until, hours[begin.weekday()]):
                wrong.append(f"shop shut {step.address}")
            if step.noisy and _is_quiet(begin, end, quiet):
                wrong.append(f"noise {step.address}")
    return wrong + _of_hands(steps, dates) + _of_dust(steps, dates) + _of_things(steps, dates, has)


def _of_step(step: Step, steps: Mapping[str, Step], dates: Dates) -> list[str]:
    windows = {w.address: (s.address, w) for s in steps.values() for w in s.windows}
    begin, end = dates[step.address][0][0], dates[step.address][-1][1]
    wrong = [f"order {step.address}" for a in step.after if dates[a][-1][1] > begin]
    for name in step.waits:
        done, window = dates[windows[name][0]][-1][1], windows[name][1]
        wait = window.hold_s if window.hold_s is not None else window.opens_s
        if wait is not None and (begin - done).total_seconds() < wait:
            wrong.append(f"wait {step.address}")
    for name in step.waits_full:
        done, full = dates[windows[name][0]][-1][1], windows[name][1].full_s
        if full is not None and (begin - done).total_seconds() < full:
            wrong.append(f"full {step.address}")
    for name in step.within:
        done, closes = dates[windows[name][0]][-1][1], windows[name][1].closes_s
        if closes is not None and (end - done).total_seconds() > closes:
            wrong.append(f"closed {step.address}")
    return wrong


def _is_open(begin: datetime, end: datetime, hours: Sequence[tuple[str, str]]) -> bool:
    same_day = begin.date() == end.date()
    span = f"{begin:%H:%M}", f"{end:%H:%M}"
    return same_day and any(a <= span[0] and span[1] <= b for a, b in hours)


def _is_quiet(begin: datetime, end: datetime, quiet: tuple[str, str]) -> bool:
    from_, until = quiet
    minute = begin
    while minute < end:
        clock = f"{minute:%H:%M}"
        if (from_ <= clock or clock < until) if from_ > until else from_ <= clock < until:
            return True
        minute += timedelta(minutes=1)
    return False


def _busy(steps: Mapping[str, Step], dates: Dates) -> list[tuple[datetime, datetime, Step]]:
    return sorted(
        (
            (begin, end + timedelta(seconds=step.clean_up_s), step)
            for address, step in steps.items()
            for begin, end in dates[address]
        ),
        key=lambda piece: piece[:2],
    )


def _of_hands(steps: Mapping[str, Step], dates: Dates) -> list[str]:
    busy = _busy(steps, dates)
    return [
        f"hands {one[2].address} {other[2].address}"
        for i, one in enumerate(busy)
        for other in busy[i + 1 :]
        if other[0] < one[1]
    ]


def _of_dust(steps: Mapping[str, Step], dates: Dates) -> list[str]:
    wet = [
        (dates[a][0][0], dates[a][-1][1] + timedelta(seconds=s.wet_s), a)
        for a, s in steps.items()
        if s.wet_s and not s.dusty
    ]
    return [
        f"dust {step.address} {laid}"
        for begin, end, step in _busy(steps, dates)
        for from_, until, laid in wet
        if step.dusty and begin < until and from_ < end
    ]


def _of_things(steps: Mapping[str, Step], dates: Dates, has: Mapping[str, int]) -> list[str]:
    wrong = []
    for what, many in has.items():
        held = [
            (dates[a][0][0], dates[h.until or a][-1][1], h.count)
            for a, s in steps.items()
            for h in s.holds
            if h.what == what
        ]
        moments = {begin for begin, _, _ in held}
        if any(sum(n for b, e, n in held if b <= m < e) > many for m in moments):
            wrong.append(f"too few {what}")
    return wrong


def dated(
    starts: Mapping[str, tuple[int, int]], origin_wall: float, zone: str = "UTC"
) -> dict[str, list[tuple[datetime, datetime]]]:
    """Minutes from the origin as local times; the pieces of a step together."""
    tz = ZoneInfo(zone)

    def local(minute: int) -> datetime:
        return datetime.fromtimestamp(origin_wall + 60 * minute, tz)

    dates: dict[str, list[tuple[datetime, datetime]]] = {}
    for key, (begin, end) in sorted(starts.items(), key=lambda item: item[1]):
        dates.setdefault(key.partition("~")[0], []).append((local(begin), local(end)))
    return dates
