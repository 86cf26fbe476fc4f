"""The search for a whole number of steps at which a measure comes nearest to what is wanted.

What is tried may be impossible (a void deeper than its part, a wall too thin); such tries lie
beyond one end. The measure is taken to rise or fall throughout, as a weight does with a depth.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")


@dataclass(frozen=True)
class Try(Generic[T]):
    """One value tried: what came of it, or why it can't be."""

    step: int
    made: T | None
    why: str = ""


@dataclass(frozen=True)
class Outcome(Generic[T]):
    """The best try, its neighbour on the other side of the goal, and what stood in the way.

    `reached` is False where even the best try lies beyond half a step from the goal. `limit` says
    why it goes no further: empty where that is the end of the range, `at_top` says which end.
    """

    best: Try[T]
    beside: Try[T] | None
    reached: bool
    limit: str = ""
    at_top: bool = False


def search(
    low: int,
    high: int,
    attempt: Callable[[int], Try[T]],
    measure: Callable[[T], float],
    wanted: float,
) -> Outcome[T]:
    """Try steps from `low` to `high` until two neighbours hold the wanted measure between them."""
    tried: dict[int, Try[T]] = {}

    def at(step: int) -> Try[T]:
        if step not in tried:
            tried[step] = attempt(step)
        return tried[step]

    bottom, top = at(low), at(high)
    if bottom.made is None and top.made is None:
        return Outcome(bottom, None, reached=False, limit=bottom.why or top.why)
    if bottom.made is None or top.made is None:
        return _towards_a_limit(bottom, top, at, measure, wanted)
    if _across(bottom, top, measure, wanted):
        return _between(bottom, top, at, measure, wanted)
    at_top = abs(_off(top, measure, wanted)) < abs(_off(bottom, measure, wanted))
    best, beside = (top, bottom) if at_top else (bottom, top)
    return Outcome(best, beside, reached=False, at_top=at_top)


def _towards_a_limit(
    bottom: Try[T],
    top: Try[T],
    at: Callable[[int], Try[T]],
    measure: Callable[[T], float],
    wanted: float,
) -> Outcome[T]:
    """From the end that can be made towards the one that can't, halving, until the goal lies
    between two tries or nothing lies between what can be and what can't."""
    upwards = top.made is None
    start, beyond = (bottom, top) if upwards else (top, bottom)
    near = before = start
    while abs(beyond.step - near.step) > 1:
        tried = at((near.step + beyond.step) // 2)
        if tried.made is None:
            beyond = tried
            continue
        if _across(near, tried, measure, wanted):
            ends = (near, tried) if near.step < tried.step else (tried, near)
            return _between(*ends, at, measure, wanted)
        before, near = near, tried
    if abs(_off(start, measure, wanted)) <= abs(_off(near, measure, wanted)):
        # The goal lies the other way: the end of the range is in the way, not what can be made.
        return Outcome(start, near, reached=False, at_top=not upwards)
    return Outcome(near, before, reached=False, limit=beyond.why, at_top=upwards)


def _across(one: Try[T], two: Try[T], measure: Callable[[T], float], wanted: float) -> bool:
    """Whether the goal lies between two tries."""
    return _off(one, measure, wanted) * _off(two, measure, wanted) <= 0.0


def _between(
    one: Try[T],
    two: Try[T],
    at: Callable[[int], Try[T]],
    measure: Callable[[T], float],
    wanted: float,
) -> Outcome[T]:
    rounds = 0
    while two.step - one.step > 1:
        rounds += 1
        off_one, off_two = (_off(t, measure, wanted) for t in (one, two))
        share = 0.5 if rounds % 3 == 0 or off_one == off_two else off_one / (off_one - off_two)
        step = one.step + round(share * (two.step - one.step))
        found = at(min(two.step - 1, max(one.step + 1, step)))
        if found.made is None:  # A hole amid what can be: the nearer side of it has to do.
            two = found if two.made is None else two
            break
        if (_off(found, measure, wanted) > 0) == (off_two > 0):
            two = found
        else:
            one = found
    best, beside = sorted((one, two), key=lambda t: abs(_off(t, measure, wanted)))
    return Outcome(best, beside, reached=True)


def _off(tried: Try[T], measure: Callable[[T], float], wanted: float) -> float:
    assert tried.made is not None
    return measure(tried.made) - wanted
