"""Shop hours against hands: what must lie between two sessions can't take longer than they are.

For every finish day of a job, each of its activities has an earliest start and a latest end. Over
all jobs, the hands of those that lie within some stretch of sessions have to fit into its hours.
These cuts follow from the model, and let its solver see at once what it would find out late
(energetic reasoning, Baptiste, Le Pape and Nuijten, Constraint-Based Scheduling, 2001).
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from typing import Any

from benchmate.planner.domains import Spans, domain_of, next_in
from benchmate.planner.grouping import in_order
from benchmate.planner.problem import HANDS, SHOP, Lag, PlannerProblem, day_of

MOST_DAYS = 60
"""Beyond so many finish days a job isn't cut any finer."""
Cut = dict[tuple[str, int], int]
"""By job and day: the minutes that are added where it is finished by then."""


def add_cuts(problem: PlannerProblem, model: Any, days: dict[str, Any]) -> None:
    """Tell the model; `days` are its variables for the jobs' finish days."""
    sessions = [s for s in problem.sessions.get(SHOP, ()) if s[1] <= problem.horizon]
    if not sessions or problem.day_min == 1:
        return
    by_then: dict[tuple[str, int], Any] = {}
    passes = _Passes(problem)
    for (p, q), cut in _cuts(problem, sessions, passes).items():
        room = sum(b - a for a, b in sessions[p : q + 1]) * problem.counts[HANDS]
        if sum(cut.values()) > room:
            terms = [minutes * _literal(model, days, by_then, key) for key, minutes in cut.items()]
            model.add(sum(terms) <= room)
    for job in {job for job, _ in by_then}:
        # A day more for each by which it isn't finished: what a linear relaxation sees of it.
        first, last = passes.first_day(job), max(d for j, d in by_then if j == job)
        literals = [_literal(model, days, by_then, (job, d)) for d in range(first, last + 1)]
        model.add(days[job] >= first + sum(1 - x for x in literals))


def _literal(
    model: Any, days: dict[str, Any], by_then: dict[tuple[str, int], Any], key: Any
) -> Any:
    """Whether a job is finished by a day."""
    if key not in by_then:
        job, day = key
        literal = by_then[key] = model.new_bool_var(f"{job} by {day}")
        model.add(days[job] <= day).only_enforce_if(literal)
        model.add(days[job] > day).only_enforce_if(~literal)
    return by_then[key]


def _cuts(
    problem: PlannerProblem, sessions: list[tuple[int, int]], pass_: _Passes
) -> dict[tuple[int, int], Cut]:
    """By first and last session: what each job puts between them, by its finish day."""
    opens, closes = [a for a, _ in sessions], [b for _, b in sessions]
    cuts: dict[tuple[int, int], Cut] = defaultdict(lambda: defaultdict(int))
    last_day = day_of(problem, problem.horizon)
    for job, members in pass_.members.items():
        first = pass_.first_day(job)
        seen: dict[int, int] = {}
        # From the latest day down: what a day adds to the one after it.
        for day in range(min(last_day, first + MOST_DAYS), first - 1, -1):
            ends = pass_.latest_ends(job, problem.day_starts + day * problem.day_min)
            for i in members:
                p = bisect_right(opens, pass_.heads[i]) - 1
                q = bisect_left(closes, ends[i])
                before = seen.get(i, len(sessions))
                seen[i] = min(before, q)
                if p >= 0 and pass_.hands[i]:
                    for at in range(seen[i], before):
                        for from_ in range(p + 1):
                            cuts[from_, at][job, day] += pass_.hands[i]
    return cuts


class _Passes:
    """Earliest starts, and latest ends for a finish, by orders, waits and hours alone."""

    def __init__(self, problem: PlannerProblem) -> None:
        self.problem = problem
        self.minutes = [a.minutes for a in problem.activities]
        self.domains = [domain_of(problem, a) for a in problem.activities]
        self.members: dict[str, list[int]] = {job: [] for job in problem.jobs}
        for i, activity in enumerate(problem.activities):
            if activity.job:
                self.members[activity.job].append(i)
        self.hands = [0] * len(self.minutes)
        for h in problem.holdings:
            if h.count == HANDS and h.first == h.last:
                self.hands[h.first] += h.amount * (h.ends - h.begins)
        self.ahead: dict[int, list[Lag]] = defaultdict(list)
        for lag in problem.lags:
            if lag.least >= 0 and problem.activities[lag.first].job:
                self.ahead[lag.first].append(lag)
        self.order = in_order(
            range(len(self.minutes)), ((x.first, x.then) for xs in self.ahead.values() for x in xs)
        )
        self.heads = [next_in(d, 0) or 0 for d in self.domains]
        for lag in problem.lags:
            if lag.least >= 0 and not problem.activities[lag.first].job:
                self._raise(lag.then, lag.least)
        for i in self.order:
            for lag in self.ahead[i]:
                self._raise(lag.then, self.heads[i] + lag.least)

    def _raise(self, i: int, minute: int) -> None:
        found = next_in(self.domains[i], max(minute, self.heads[i]))
        self.heads[i] = self.heads[i] if found is None else found

    def first_day(self, job: str) -> int:
        """The day on which a job is finished at the earliest."""
        ends = (self.heads[i] + self.minutes[i] for i in self.members[job])
        return max(day_of(self.problem, end) for end in ends)

    def latest_ends(self, job: str, finish: int) -> dict[int, int]:
        """Each activity's latest end where the whole job has ended by then."""
        mine = set(self.members[job])
        starts: dict[int, int] = {}
        for i in reversed(self.order):
            if i in mine:
                after = [starts[x.then] - x.least for x in self.ahead[i] if x.then in mine]
                starts[i] = _last_in(self.domains[i], min([finish - self.minutes[i], *after]))
        return {i: start + self.minutes[i] for i, start in starts.items()}


def _last_in(spans: Spans, minute: int) -> int:
    """The last allowed start up to a minute; what can't be at all stays where it is."""
    at = bisect_right(spans, (minute, minute)) - 1
    for low, high in spans[max(0, at) : at + 2][::-1]:
        if low <= minute:
            return min(minute, high)
    return minute


# Visits -----------------------------------------------------------------------------------------


def work_min(problem: PlannerProblem) -> int:
    """No shop time does with less than all hands' work, shared among the hands there are."""
    taken = (h.amount * (h.ends - h.begins) for h in problem.holdings if h.count == HANDS)
    return -(-sum(taken) // problem.counts[HANDS])


def fewest_visits(problem: PlannerProblem) -> int:
    """No plan does with fewer: a wait longer than any session leads into another one, and all work
    has to fit into the longest."""
    lengths = sorted(
        (b - a for a, b in problem.sessions[SHOP] if b <= problem.horizon), reverse=True
    )
    passes, visit = _Passes(problem), [1] * len(problem.activities)
    for i in passes.order:
        for lag in passes.ahead[i]:
            leaves = lag.least + passes.minutes[lag.then] > lengths[0]
            visit[lag.then] = max(visit[lag.then], visit[i] + leaves)
    room, work = 0, work_min(problem)
    while room < len(lengths) and sum(lengths[:room]) < work:
        room += 1
    return max(room, *visit)
