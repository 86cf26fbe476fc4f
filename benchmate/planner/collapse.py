"""Steps that hang together so tightly that they are one block, joined before anything is planned.

Steps tied by a closing window of up to two hours (mix, pours, cap; spread, close, clamp; oil, wipe)
get fixed places in a rigid block, as early as their lags allow; the hands stay free where the block
only waits. Then plain runs of up to an hour are joined. A block is restricted in what it can do:
before a problem is called impossible it is looked at step by step again.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from msgspec.structs import replace

from benchmate.planner.grouping import components
from benchmate.planner.problem import (
    DUST_FREE,
    HANDS,
    Activity,
    Holding,
    Lag,
    PlannerProblem,
    Within,
)

TIGHT_MIN = 120
RUN_MIN = 60


def collapse(problem: PlannerProblem, old: Mapping[str, int] | None = None) -> PlannerProblem:
    """The problem with blocks in place of tightly bound steps and short runs. `old`: by step, the
    starts of a plan to be kept: what stood apart in it is no run."""
    problem = _joined(problem, _tight(problem))
    for groups in (_siblings, _runs):
        runs = groups(problem)
        problem = _joined(problem, [r for r in runs if _stood_together(problem, r, old or {})])
    return problem


def _stood_together(
    problem: PlannerProblem, run: Mapping[int, int], old: Mapping[str, int]
) -> bool:
    stood = {
        old[part.key] - part.at - at if part.key in old else None
        for i, at in run.items()
        for part in problem.activities[i].steps
    }
    return len(stood) == 1


# Tight windows ----------------------------------------------------------------------------------


def _tight(problem: PlannerProblem) -> list[dict[int, int]]:
    """Groups of activities with each one's place after the group's start."""
    ways: dict[int, set[int]] = defaultdict(set)
    for lag in problem.lags:
        if lag.least >= 0 or _is_tight(problem, lag):
            ways[lag.first].add(lag.then)
    held = _held(problem)
    bound = [c for c in components(len(problem.activities), ways) if len(c) > 1]
    placed = (_places(problem, members, held) for members in bound)
    return [places for places in placed if places is not None]


def _is_tight(problem: PlannerProblem, lag: Lag) -> bool:
    both = problem.activities[lag.first], problem.activities[lag.then]
    return all(a.job for a in both) and -lag.least - both[1].minutes <= TIGHT_MIN


Held = Mapping[int, list[Holding]]


def _held(problem: PlannerProblem) -> Held:
    """By activity: the holdings that it begins or ends."""
    held: dict[int, list[Holding]] = defaultdict(list)
    for h in problem.holdings:
        for i in {h.first, h.last}:
            held[i].append(h)
    return held


def _places(problem: PlannerProblem, members: set[int], held: Held) -> dict[int, int] | None:
    """The members' places, hands never needed twice at once; None where it can't be rigid."""
    order = sorted(members)
    lags = [lag for lag in problem.lags if lag.first in members and lag.then in members]
    busy = {m: _busy(problem, m, held) for m in order}
    for _ in range(len(order) * len(order) + 1):
        places = _earliest(order, lags)
        if places is None or max(places[m] for m in order) > 2 * TIGHT_MIN:
            return None
        clash = _clash(held, places)
        if clash is None:
            return places if _fits(problem, places, held) else None
        first, then = clash
        lags.append(Lag(first=first, then=then, least=busy[first]))
    return None


def _earliest(order: list[int], lags: list[Lag]) -> dict[int, int] | None:
    """Longest paths from the group's start (Bellman and Ford); None for a circle that grows."""
    places = dict.fromkeys(order, 0)
    for _ in range(len(order) + 1):
        moved = False
        for lag in lags:
            least = places[lag.first] + lag.least
            if least > places[lag.then]:
                places[lag.then], moved = least, True
        if not moved:
            return places
    return None


def _clash(held: Held, places: Mapping[int, int]) -> tuple[int, int] | None:
    """Two members that need hands at once: the one that goes first, and the other."""
    busy = sorted(
        (places[h.first] + h.begins, places[h.last] + h.ends, h.first)
        for i in places
        for h in held.get(i, ())
        if h.count == HANDS and h.first == h.last
    )
    for (_, end, one), (begin, _, other) in pairwise(busy):
        if begin < end and one != other:
            return one, other
    return None


def _fits(problem: PlannerProblem, places: Mapping[int, int], held: Held) -> bool:
    """Whether the block keeps its own pins, and takes no more of anything than there is."""
    inner = [(problem.activities[i], at) for i, at in places.items()]
    latest = [a.latest - at for a, at in inner if a.latest is not None]
    if latest and max(a.earliest - at for a, at in inner) > min(latest):
        return False
    inside = [h for i in places for h in held.get(i, ()) if h.first == i and h.last in places]
    for count, capacity in problem.counts.items():
        changes = []
        for h in (h for h in inside if h.count == count):
            changes.append((places[h.first] + h.begins, h.amount))
            changes.append((places[h.last] + h.ends, -h.amount))
        taken = 0
        for _, change in sorted(changes):
            taken += change
            if taken > capacity:
                return False
    return True


# Runs -------------------------------------------------------------------------------------------


def _siblings(problem: PlannerProblem) -> list[dict[int, int]]:
    """Steps with the same before and after them (weigh block, weigh cover), one after another."""
    alike: dict[object, list[int]] = defaultdict(list)
    ways: dict[int, set[tuple[int, int]]] = defaultdict(set)
    for lag in problem.lags:
        ways[lag.then].add((lag.first, lag.least))
        # What follows counts from the end: two siblings of other lengths are siblings still.
        wait = lag.least - problem.activities[lag.first].minutes
        ways[lag.first].add((-1 - lag.then, wait))
    held = _held(problem)
    tied = {i for h in problem.holdings if h.first != h.last for i in (h.first, h.last)}
    tied |= {lag.then for lag in problem.lags if lag.least < 0}
    for i, activity in enumerate(problem.activities):
        if i not in tied and _is_free(activity):
            alike[activity.job, frozenset(ways[i]), _kind(held, i)].append(i)
    return [run for group in alike.values() for run in _packed(problem, group, held)]


def _runs(problem: PlannerProblem) -> list[dict[int, int]]:
    """Chains in which each member directly follows its only predecessor."""
    activities = problem.activities
    after = Counter(lag.first for lag in problem.lags)
    before = Counter(lag.then for lag in problem.lags)
    follows = {
        lag.first: lag.then
        for lag in problem.lags
        if after[lag.first] == before[lag.then] == 1
        and lag.least == activities[lag.first].minutes
        and _is_free(activities[lag.first])
        and _is_free(activities[lag.then])
    }
    held = _held(problem)
    runs: list[dict[int, int]] = []
    for first in sorted(follows.keys() - set(follows.values())):
        chain = [first]
        while chain[-1] in follows:
            chain.append(follows[chain[-1]])
        runs += _packed(problem, chain, held)
    return runs


def _packed(problem: PlannerProblem, chain: list[int], held: Held) -> Iterator[dict[int, int]]:
    """Runs of up to an hour; dust and what is wet never stand in one."""
    run: dict[int, int] = {}
    end, kind = 0, frozenset[int]()
    for i in [*chain, -1]:
        busy = _busy(problem, i, held) if i >= 0 else 0
        both = kind | _kind(held, i)
        if i < 0 or end + busy > RUN_MIN or len(both) > 1:
            if len(run) > 1 and _fits(problem, run, held):
                yield run
            run, end, both = {}, 0, _kind(held, i)
        run[i], end, kind = end, end + busy, both


def _busy(problem: PlannerProblem, i: int, held: Held) -> int:
    """How long an activity keeps the hands: clean-up goes on when it is done."""
    own = (h.ends for h in held.get(i, ()) if h.count == HANDS and h.first == h.last)
    return max(problem.activities[i].minutes, *own, 0)


def _kind(held: Held, i: int) -> frozenset[int]:
    """What of the air's cleanness it takes."""
    return frozenset(h.amount for h in held.get(i, ()) if h.count == DUST_FREE)


def _is_free(activity: Activity) -> bool:
    return bool(activity.job) and activity.latest is None and activity.earliest == 0


# Joining ----------------------------------------------------------------------------------------


def _joined(problem: PlannerProblem, blocks: list[dict[int, int]]) -> PlannerProblem:
    """The problem with each block as one activity."""
    home: dict[int, tuple[int, int]] = {}
    activities: list[Activity] = []
    block_of = {min(block): block for block in blocks}
    inside = {i for block in blocks for i in block}
    for i, activity in enumerate(problem.activities):
        block = block_of.get(i)
        if block is not None:
            home.update({member: (len(activities), at) for member, at in block.items()})
            activities.append(_block(problem, block))
        elif i not in inside:
            home[i] = (len(activities), 0)
            activities.append(activity)
    return replace(
        problem,
        activities=tuple(activities),
        lags=tuple(_moved_lags(problem.lags, home)),
        holdings=tuple(_runs_on(_moved(holding, home) for holding in problem.holdings)),
    )


def _block(problem: PlannerProblem, block: Mapping[int, int]) -> Activity:
    members = sorted(block.items(), key=lambda member: member[1])
    inner = [(problem.activities[i], at) for i, at in members]
    minutes = max(at + a.minutes for a, at in inner)
    latest = [a.latest - at for a, at in inner if a.latest is not None]
    within = [replace(w, at=w.at + at) for a, at in inner for w in a.within]
    return Activity(
        key=inner[0][0].key,
        job=inner[0][0].job,
        minutes=minutes,
        within=_whole(within),
        earliest=max(a.earliest - at for a, at in inner),
        latest=min(latest, default=None),
        parts=tuple(replace(p, at=p.at + at) for a, at in inner for p in a.steps),
    )


def _whole(within: list[Within]) -> tuple[Within, ...]:
    """One visit: each calendar's parts lie in one session, from the first to the last."""
    merged = []
    for calendar in dict.fromkeys(w.calendar for w in within):
        mine = [w for w in within if w.calendar == calendar]
        begins, ends = min(w.at for w in mine), max(w.at + w.minutes for w in mine)
        merged.append(Within(calendar=calendar, at=begins, minutes=ends - begins))
    return tuple(merged)


def _moved_lags(lags: Iterable[Lag], home: Mapping[int, tuple[int, int]]) -> Iterator[Lag]:
    """Lags between blocks, only the strictest of those that say the same."""
    strictest: dict[tuple[int, int, str], Lag] = {}
    for lag in lags:
        (first, at), (then, then_at) = home[lag.first], home[lag.then]
        if first == then:
            continue
        moved = replace(lag, first=first, then=then, least=lag.least + at - then_at)
        key = (first, then, lag.missed)
        if key not in strictest or moved.least > strictest[key].least:
            strictest[key] = moved
    yield from strictest.values()


def _moved(holding: Holding, home: Mapping[int, tuple[int, int]]) -> Holding:
    (first, at), (last, last_at) = home[holding.first], home[holding.last]
    return replace(
        holding,
        first=first,
        begins=holding.begins + at,
        last=last,
        ends=holding.ends + last_at,
    )


def _runs_on(holdings: Iterable[Holding]) -> Iterator[Holding]:
    """Holdings of which one begins where the other ends in the same block are one: the solver is
    three times as quick with them."""
    open_: dict[tuple[str, int, int], Holding] = {}
    for h in sorted(holdings, key=lambda h: h.begins):
        if h.first != h.last:
            yield h
            continue
        key = h.count, h.first, h.amount
        old = open_.get(key)
        if old is not None and old.ends == h.begins:
            h = replace(old, ends=h.ends)
        elif old is not None:
            yield old
        open_[key] = h
    yield from open_.values()
