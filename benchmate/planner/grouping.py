"""What is placed together by the greedy planner: all that a closing window or a holding ties."""

from __future__ import annotations

from collections import defaultdict

from benchmate.planner.problem import Problem


def grouped(problem: Problem) -> tuple[list[tuple[int, ...]], list[set[int]]]:
    """Groups of activities, each in an order that its lags allow, and per group those before it.

    Groups are the strongly connected components of "comes after": a closing window leads back to
    what opened it, and a holding's end leads back to its beginning (Tarjan, 1972).
    """
    ahead: dict[int, set[int]] = defaultdict(set)
    for lag in problem.lags:
        if problem.activities[lag.then].job:  # nothing comes before this moment
            ahead[lag.first].add(lag.then)
    for holding in problem.holdings:
        if holding.first != holding.last:
            ahead[holding.first].add(holding.last)
            ahead[holding.last].add(holding.first)
    components = _components(len(problem.activities), ahead)
    groups = [_in_order(problem, component) for component in components]
    home = {i: g for g, group in enumerate(groups) for i in group}
    before: list[set[int]] = [set() for _ in groups]
    for i, others in ahead.items():
        for j in others:
            if home[i] != home[j]:
                before[home[j]].add(home[i])
    return groups, before


def _components(size: int, ahead: dict[int, set[int]]) -> list[set[int]]:
    """Strongly connected components, without recursion: plans may be long chains."""
    index: dict[int, int] = {}
    low: dict[int, int] = {}
    stack: list[int] = []
    on_stack: set[int] = set()
    components: list[set[int]] = []
    for root in range(size):
        work = [(root, iter(sorted(ahead.get(root, ()))))] if root not in index else []
        while work:
            i, ways = work[-1]
            if i not in index:
                index[i] = low[i] = len(index)
                stack.append(i)
                on_stack.add(i)
            for j in ways:
                if j not in index:
                    work.append((j, iter(sorted(ahead.get(j, ())))))
                    break
                if j in on_stack:
                    low[i] = min(low[i], index[j])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[i])
                if low[i] == index[i]:
                    components.append(_popped(stack, on_stack, i))
    return components


def _popped(stack: list[int], on_stack: set[int], until: int) -> set[int]:
    component: set[int] = set()
    while until not in component:
        member = stack.pop()
        on_stack.discard(member)
        component.add(member)
    return component


def _in_order(problem: Problem, members: set[int]) -> tuple[int, ...]:
    """The members so that each comes after those that its orders and waits name."""
    before = {i: set[int]() for i in members}
    for lag in problem.lags:
        if lag.least >= 0 and lag.first in members and lag.then in members:
            before[lag.then].add(lag.first)
    for holding in problem.holdings:
        if holding.first != holding.last and {holding.first, holding.last} <= members:
            before[holding.last].add(holding.first)
    order: list[int] = []
    while len(order) < len(members):
        left = sorted(members - set(order))
        ready = [i for i in left if not before[i] - set(order)]
        order.append((ready or left)[0])
    return tuple(order)
