"""A first plan without any solver: whole groups are placed one after another where they first fit.

A group is what closing windows or holdings tie together. Inside it an activity that comes too late
for a window pushes the one that opened it, and what was placed since is placed again (unscheduling,
after Franck, Neumann and Schwindt, "Truncated branch-and-bound, schedule-construction, and
schedule-improvement procedures for resource-constrained project scheduling", 2001).
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from random import Random

from benchmate.planner.domains import domain_of, next_in
from benchmate.planner.grouping import grouped
from benchmate.planner.measuring import Old, measure
from benchmate.planner.problem import DAY_MIN, Holding, Lag, Missed, PlannerPlan, PlannerProblem

PASSES = 8
PUSHES = 60
"""So often a group may push its own beginning before its windows are given up."""
_GIVEN_UP: tuple[tuple[Missed, ...], ...] = ((), ("extra work",), ("extra work", "spoils"))


def first(problem: PlannerProblem, seed: int = 1, passes: int = PASSES) -> PlannerPlan | None:
    """The best of a few greedy plans by several rules; None where no pass could place all."""
    shop = _Shop(problem, {})
    random = Random(seed)
    plans = (shop.plan(rule) for rule in _rules(problem, shop, random, passes))
    return min((p for p in plans if p), key=lambda p: measure(problem, p), default=None)


def kept(problem: PlannerProblem, old: Old) -> PlannerPlan | None:
    """What still can stand where it stood does, all else comes as soon after as it fits."""
    shop = _Shop(problem, {i: start for i, (start, _) in old.items()})
    stood = [max(shop.old.get(i, 0) for i in group) for group in shop.groups]
    stays = shop.staying()
    return shop.plan(lambda g: stood[g] + (0 if g in stays else problem.horizon))


Rule = Callable[[int], float]


def _rules(problem: PlannerProblem, shop: _Shop, random: Random, passes: int) -> list[Rule]:
    """Ranks of groups, the smallest is placed first: due dates, longest rest, the jobs in order."""
    by = {d.job: d.by - (DAY_MIN if d.promised else 0) for d in problem.dues}
    jobs = [problem.activities[min(group)].job for group in shop.groups]
    due = [by.get(job, problem.horizon) for job in jobs]
    rank = {job: (n, random.random()) for n, job in enumerate(problem.jobs)}
    tails = shop.tails

    def noisy(strength: float) -> Rule:
        noise = [random.random() for _ in jobs]
        return lambda g: -tails[g] * (1 + strength * (noise[g] - 0.5))

    fixed: list[Rule] = [
        lambda g: due[g] - tails[g],
        lambda g: -tails[g],
        lambda g: float(rank.get(jobs[g], (0, 0.0))[0]),
        lambda g: float(due[g]),
        lambda g: rank.get(jobs[g], (0, 0.0))[1],
    ]
    return (fixed + [noisy(0.3 + 0.1 * n) for n in range(passes)])[:passes]


class _Shop:
    """What stays the same from pass to pass."""

    def __init__(self, problem: PlannerProblem, old: Mapping[int, int]) -> None:
        self.problem, self.old = problem, old
        self.domains = [domain_of(problem, a) for a in problem.activities]
        self.into: dict[int, list[tuple[int, Lag]]] = defaultdict(list)
        self.out: dict[int, list[tuple[int, Lag]]] = defaultdict(list)
        for place, lag in enumerate(problem.lags):
            self.into[lag.then].append((place, lag))
            self.out[lag.first].append((place, lag))
        self.ends: dict[int, list[Holding]] = defaultdict(list)
        for holding in problem.holdings:
            if problem.counts.get(holding.count) is not None:
                self.ends[holding.last].append(holding)
        self.groups, self.before = grouped(problem)
        self.home = {i: g for g, group in enumerate(self.groups) for i in group}
        self.tails = self._tails()
        self.urgent = self._urgent()

    def _tails(self) -> list[float]:
        """Per group: the longest way from its start to the end of its job."""
        tail = [a.minutes for a in self.problem.activities]
        for i in reversed([i for group in self.groups for i in group]):
            ahead = [lag.least + tail[lag.then] for _, lag in self.out[i] if lag.least >= 0]
            tail[i] = max([tail[i], *ahead])
        return [float(max(tail[i] for i in group)) for group in self.groups]

    def _urgent(self) -> set[int]:
        """Groups that can't give way (a pin, a clock that runs already), and all before them."""
        activities = self.problem.activities
        ahead = [self.home[i] for i, a in enumerate(activities) if a.latest is not None]
        ahead += [self.home[x.first] for x in self.problem.lags if not activities[x.then].job]
        urgent: set[int] = set()
        while ahead:
            if (g := ahead.pop()) not in urgent:
                urgent.add(g)
                ahead += self.before[g]
        return urgent

    def staying(self) -> set[int]:
        """Groups that orders, waits and hours leave where they stood."""
        starts: dict[int, int] = {}
        for i in (i for group in self.groups for i in group):
            after = [starts[x.first] + x.least for _, x in self.into[i] if x.first in starts]
            least = max([self.old.get(i, 0), *after])
            starts[i] = max(least, next_in(self.domains[i], least) or 0)
        moved = {self.home[i] for i, start in self.old.items() if starts[i] > start}
        return set(range(len(self.groups))) - moved

    def plan(self, rule: Rule) -> PlannerPlan | None:
        """One pass: of the groups whose predecessors are placed, the smallest by the rule first."""
        placing = _Placing(self)
        left = set(range(len(self.groups)))
        while left:
            ready = [g for g in left if not (self.before[g] & left)]
            g = min(ready, key=lambda g: (g not in self.urgent, rule(g), g))
            left.discard(g)
            if not any(placing.group(self.groups[g], given_up) for given_up in _GIVEN_UP):
                return None
        starts = tuple(placing.starts[i] for i in range(len(self.domains)))
        return PlannerPlan(starts=starts, missed=missed_of(self.problem, starts))


def missed_of(problem: PlannerProblem, starts: Sequence[int]) -> tuple[int, ...]:
    """The closing windows that these starts miss."""
    return tuple(
        place
        for place, lag in enumerate(problem.lags)
        if lag.missed and starts[lag.then] < starts[lag.first] + lag.least
    )


class _Placing:
    """A plan in the making."""

    def __init__(self, shop: _Shop) -> None:
        self.shop = shop
        self.starts: dict[int, int] = {}
        self.busy: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
        """Per count: (begin, end, amount) of what is placed, in order."""
        self.longest: dict[str, int] = defaultdict(int)

    def group(self, members: Sequence[int], given_up: Sequence[Missed]) -> bool:
        """Place a whole group, or nothing of it."""
        least = dict.fromkeys(members, 0)
        placed: list[int] = []
        pushes = 0
        while len(placed) < len(members):
            i = members[len(placed)]
            start, blame = self._place(i, least[i], given_up)
            if start is not None:
                placed.append(i)
                continue
            pushes += 1
            culprit, by = blame
            if culprit not in placed or pushes > PUSHES:
                self._take_off(placed)
                return False
            least[culprit] = max(least[culprit], self.starts[culprit] + max(1, by))
            at = placed.index(culprit)
            self._take_off(placed[at:])
            del placed[at:]
        return True

    def _take_off(self, members: Sequence[int]) -> None:
        for i in members:
            for holding in self.shop.ends[i]:
                self.busy[holding.count].remove(self._span(holding, self.starts[i]))
        for i in members:
            del self.starts[i]

    def _span(self, holding: Holding, last_start: int) -> tuple[int, int, int]:
        begins = last_start if holding.first == holding.last else self.starts[holding.first]
        return begins + holding.begins, last_start + holding.ends, holding.amount

    def _place(
        self, i: int, least: int, given_up: Sequence[Missed]
    ) -> tuple[int | None, tuple[int, int]]:
        """Place one activity as early as it fits; else who is to be pushed, and by how much."""
        for _, lag in self.shop.into[i]:
            if lag.first in self.starts and not (lag.missed and lag.missed in given_up):
                least = max(least, self.starts[lag.first] + lag.least)
        start = self._fit(i, max(least, self.shop.old.get(i, 0)))
        if start is None:
            return None, (-1, 0)
        for holding in self.shop.ends[i]:
            if holding.first != i and (over := self._over(holding, start)):
                return None, (holding.first, over)
        for _, lag in self.shop.out[i]:
            if lag.then not in self.starts or (lag.missed and lag.missed in given_up):
                continue
            late = start + lag.least - self.starts[lag.then]
            if late > 0:
                return None, (lag.then, late)
        self.starts[i] = start
        for holding in self.shop.ends[i]:
            span = self._span(holding, start)
            insort(self.busy[holding.count], span)
            self.longest[holding.count] = max(self.longest[holding.count], span[1] - span[0])
        return start, (-1, 0)

    def _fit(self, i: int, least: int) -> int | None:
        """The first start from `least` on that its hours and what is left of the counts allow."""
        start = next_in(self.shop.domains[i], least)
        while start is not None:
            later = start
            for holding in self.shop.ends[i]:
                if holding.first == i:
                    later = max(later, start + self._over(holding, start))
            if later == start:
                return start
            start = next_in(self.shop.domains[i], later)
        return None

    def _over(self, holding: Holding, start: int) -> int:
        """By how much a holding has to be later to get what it takes; 0 where it fits."""
        begin, end, amount = self._span(holding, start)
        if begin >= end or not amount:
            return 0
        room = self.shop.problem.counts[holding.count] - amount
        if room < 0:
            return self.shop.problem.horizon
        busy = self.busy[holding.count]
        low = bisect_left(busy, (begin - self.longest[holding.count],))
        inside = [b for b in busy[low : bisect_left(busy, (end,))] if b[1] > begin]
        points = {begin, *(b[0] for b in inside if b[0] > begin)}
        worst = [
            point for point in points if sum(b[2] for b in inside if b[0] <= point < b[1]) > room
        ]
        if not worst:
            return 0
        last = max(worst)
        return min(b[1] for b in inside if b[0] <= last < b[1]) - begin
