"""Run rules: patterns on a chart that chance alone seldom makes.

Source: the Western Electric and the Nelson rules as published (wording from memory; the behaviour
of the Western Electric set is confirmed by its run length). Our conventions where texts differ:
"beyond" is strict, and what is not beyond a line is within it; a rule fires at the last point of
its pattern, which for two of three and four of five must itself lie beyond the line; a point on
the centre line breaks a run, equal neighbours break a trend.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import NamedTuple


class RuleSet(StrEnum):
    """Which rules a chart of individuals is read by; `NONE` is the control limits alone."""

    NONE = "none"
    WESTERN_ELECTRIC = "we"
    NELSON = "nelson"


@dataclass(frozen=True, slots=True)
class Fired:
    """A rule that fires at a point (index from 1)."""

    index: int
    rule: str
    pattern: str


Finder = Callable[[Sequence[float], float], Iterator[int]]


class _Rule(NamedTuple):
    name: str
    pattern: str
    find: Finder


def _streak(flags: Sequence[bool], length: int) -> Iterator[int]:
    """Places where at least `length` flags in a row are set."""
    run = 0
    for at, flag in enumerate(flags):
        run = run + 1 if flag else 0
        if run >= length:
            yield at


def _both_ways(find: Finder) -> Finder:
    """A rule for one side, applied to the upper side and to the mirrored values."""

    def both(z: Sequence[float], hair: float) -> Iterator[int]:
        yield from find(z, hair)
        yield from find([-value for value in z], hair)

    return both


def _beyond(limit: float) -> Finder:
    return lambda z, hair: (at for at, value in enumerate(z) if abs(value) > limit + hair)


def _most_of(needed: int, window: int, limit: float) -> Finder:
    def find(z: Sequence[float], hair: float) -> Iterator[int]:
        beyond = [value > limit + hair for value in z]
        seen = 0
        for at, is_beyond in enumerate(beyond):
            seen += is_beyond - (at >= window and beyond[at - window])
            if is_beyond and seen >= needed:
                yield at

    return _both_ways(find)


def _one_side(length: int) -> Finder:
    return _both_ways(lambda z, hair: _streak([value > hair for value in z], length))


def _trend(length: int) -> Finder:
    def find(z: Sequence[float], hair: float) -> Iterator[int]:
        rising = [b - a > hair for a, b in pairwise(z)]
        return (at + 1 for at in _streak(rising, length - 1))

    return _both_ways(find)


def _alternating(length: int) -> Finder:
    def find(z: Sequence[float], hair: float) -> Iterator[int]:
        steps = [b - a for a, b in pairwise(z)]
        turns = [(a > hair and b < -hair) or (a < -hair and b > hair) for a, b in pairwise(steps)]
        return (at + 2 for at in _streak(turns, length - 2))

    return find


def _hugging(length: int) -> Finder:
    return lambda z, hair: _streak([abs(value) <= 1.0 + hair for value in z], length)


def _shunning(length: int) -> Finder:
    return lambda z, hair: _streak([abs(value) > 1.0 + hair for value in z], length)


_OUT = ("beyond three sigma", _beyond(3.0))
_TWO_OF_THREE = ("two of three beyond two sigma on one side", _most_of(2, 3, 2.0))
_FOUR_OF_FIVE = ("four of five beyond one sigma on one side", _most_of(4, 5, 1.0))

_RULES: dict[RuleSet, tuple[_Rule, ...]] = {
    RuleSet.NONE: (),
    RuleSet.WESTERN_ELECTRIC: (
        _Rule("WE1", *_OUT),
        _Rule("WE2", *_TWO_OF_THREE),
        _Rule("WE3", *_FOUR_OF_FIVE),
        _Rule("WE4", "eight in a row on one side of the centre", _one_side(8)),
    ),
    RuleSet.NELSON: (
        _Rule("N1", *_OUT),
        _Rule("N2", "nine in a row on one side of the centre", _one_side(9)),
        _Rule("N3", "six in a row steadily rising or falling", _trend(6)),
        _Rule("N4", "fourteen in a row alternating up and down", _alternating(14)),
        _Rule("N5", *_TWO_OF_THREE),
        _Rule("N6", *_FOUR_OF_FIVE),
        _Rule("N7", "fifteen in a row within one sigma", _hugging(15)),
        _Rule("N8", "eight in a row beyond one sigma, on either side", _shunning(8)),
    ),
}


def find_patterns(z: Sequence[float], rules: RuleSet, hair: float = 1e-9) -> list[Fired]:
    """Every point where a rule of the set fires, in order of the points.

    `z` are the values in sigmas from the centre; `hair` is how near to a line still counts as on
    it.
    """
    fired = [
        Fired(at + 1, rule.name, rule.pattern)
        for rule in _RULES[rules]
        for at in rule.find(z, hair)
    ]
    return sorted(fired, key=lambda found: (found.index, found.rule))
