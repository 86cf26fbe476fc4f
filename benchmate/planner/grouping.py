"""Who comes before whom: what hangs together, and in which order it can be done."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from benchmate.planner.problem import PlannerProblem

Ways = Mapping[int, Collection[int]]
Pair = tuple[int, int]


def reach(members: Iterable[int], ways: Ways) -> set[int]:
    """All that ways lead to from some members; these themselves only where one leads back."""
    reached: set[int] = set()
    ahead = list(members)
    while ahead:
        fresh = set(ways.get(ahead.pop(), ())) - reached
        reached |= fresh
        ahead += fresh
    return reached


def components(size: int, ways: Ways) -> list[set[int]]:
    """Those that lead to each other and back (strongly connected components)."""
    back: dict[int, set[int]] = defaultdict(set)
    for i, others in ways.items():
        for j in others:
            back[j].add(i)
    home: set[int] = set()
    parts: list[set[int]] = []
    for i in range(size):
        if i not in home:
            parts.append({i} | (reach([i], ways) & reach([i], back)))
            home |= parts[-1]
    return parts


def in_order(members: Iterable[int], pairs: Iterable[Pair]) -> list[int]:
    """The members so that of each pair the first comes first; as they were, where that's a ring."""
    before: dict[int, list[int]] = {i: [] for i in members}
    for first, then in pairs:
        if first in before and then in before:
            before[then].append(first)
    try:
        return list(TopologicalSorter(before).static_order())
    except CycleError:
        return list(before)


def orders(problem: PlannerProblem) -> Iterator[Pair]:
    """Who comes before whom by orders, waits and holdings."""
    yield from ((lag.first, lag.then) for lag in problem.lags if lag.least >= 0)
    yield from ((h.first, h.last) for h in problem.holdings if h.first != h.last)


def grouped(problem: PlannerProblem) -> tuple[list[list[int]], list[set[int]]]:
    """What the greedy planner places at once, all that a closing window or a holding ties: groups
    in an order that can be kept, their members too, and per group those before it."""
    ahead: dict[int, set[int]] = defaultdict(set)
    for lag in problem.lags:
        if problem.activities[lag.then].job:  # nothing comes before this moment
            ahead[lag.first].add(lag.then)
    for holding in problem.holdings:
        if holding.first != holding.last:
            ahead[holding.first].add(holding.last)
            ahead[holding.last].add(holding.first)
    pairs = list(orders(problem))
    groups = [in_order(sorted(c), pairs) for c in components(len(problem.activities), ahead)]
    home = {i: g for g, group in enumerate(groups) for i in group}
    ways = [(home[i], home[j]) for i, js in ahead.items() for j in js if home[i] != home[j]]
    order = in_order(range(len(groups)), ways)
    place = {g: n for n, g in enumerate(order)}
    before: list[set[int]] = [set() for _ in groups]
    for first, then in ways:
        before[place[then]].add(place[first])
    return [groups[g] for g in order], before
