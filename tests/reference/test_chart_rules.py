"""Run rules against worked cases, and the alarm intervals that are told against other ways to them.

Sources: the Western Electric and Nelson rules as published (wording from memory), cases worked by
hand; average run lengths as published by Lucas and Crosier, Lucas and Saccucci, and in the help
pages of a public statistics package, recalculated by integral equation; 91.75 for the four Western
Electric rules from memory (Champ and Woodall), here worked out again by a Markov chain over the
zones, which shares no code with the rules.
"""

from collections.abc import Callable, Sequence
from itertools import product
from math import sqrt
from random import Random

import numpy as np
import pytest
from scipy.sparse import lil_matrix
from scipy.sparse.linalg import spsolve
from scipy.stats import norm

from benchmate.charts import alarm, run_length
from benchmate.charts.runs import RuleSet, find_patterns
from tests.reference.outside import check

WE, NELSON = RuleSet.WESTERN_ELECTRIC, RuleSet.NELSON

MIXED = (0.5, -0.2, 0.3, 0.4, 0.1, 0.6, 0.2, 0.9, 0.3, 0.5, 0.2)

CASES: list[tuple[str, Sequence[float], RuleSet, list[tuple[str, int]]]] = [
    ("one beyond three", (0.2, -0.4, 3.1, 0.1), NELSON, [("N1", 3)]),
    ("eight on one side", MIXED, WE, [("WE4", 10), ("WE4", 11)]),
    ("nine on one side", MIXED, NELSON, [("N2", 11)]),
    ("six rising", (-1.2, -0.8, -0.3, 0.1, 0.4, 0.9, 0.2), NELSON, [("N3", 6)]),
    ("fourteen alternating", (0.5, -0.5) * 7, NELSON, [("N4", 14)]),
    ("two of three", (0.1, 2.2, 0.3, 2.4, -0.1), WE, [("WE2", 4)]),
    ("two of three", (0.1, 2.2, 0.3, 2.4, -0.1), NELSON, [("N5", 4)]),
    ("four of five", (1.2, 1.4, 0.5, 1.1, 1.6, 0.2), WE, [("WE3", 5)]),
    ("four of five", (1.2, 1.4, 0.5, 1.1, 1.6, 0.2), NELSON, [("N6", 5)]),
    ("two sides", (2.1, -0.3, -2.2, 0.4), WE, []),
    ("on the lines", (1.0, 1.0, 2.0, 2.0, 3.0), WE, []),
    ("on the lines", (1.0, 1.0, 2.0, 2.0, 3.0), NELSON, []),
    ("none within one", (1.2, -1.3, 1.4, -1.1, 1.6, -1.7, 1.2, -1.5), NELSON, [("N8", 8)]),
]


@pytest.mark.parametrize(
    ("z", "rules", "fires"), [case[1:] for case in CASES], ids=[f"{c[0]} {c[2]}" for c in CASES]
)
def test_rules_fire_where_the_published_wording_says(
    z: Sequence[float], rules: RuleSet, fires: list[tuple[str, int]]
) -> None:
    assert [(found.rule, found.index) for found in find_patterns(z, rules)] == fires


LUCAS = (
    "Lucas and Crosier; Lucas and Saccucci, as quoted in the help of a public statistics package"
)
INTEGRAL = "integral equation solved outside the project"

Figures = list[tuple[float, float]]
RUN_LENGTHS: list[tuple[str, Callable[[float], float | None], Figures, float, str]] = [
    (
        "cusum 0.5, 4",
        lambda s: run_length.two_cumulative_sums(0.5, 4, s),
        [(0, 167.684), (0.5, 26.630), (1, 8.383), (2, 3.343), (3, 2.194)],
        5e-4,
        INTEGRAL,
    ),
    (
        "cusum 0.5, 4 as published",
        lambda s: run_length.two_cumulative_sums(0.5, 4, s),
        [(0, 168), (0.5, 26.6), (1, 8.38), (2, 3.34), (3, 2.19)],
        0.5,
        LUCAS,
    ),
    (
        "cusum 0.5, 5",
        lambda s: run_length.two_cumulative_sums(0.5, 5, s),
        [(0, 465.444), (0.5, 37.996), (1, 10.376), (2, 4.009), (3, 2.573)],
        5e-4,
        INTEGRAL,
    ),
    (
        "one sum 0.5, 4",
        lambda s: run_length.cumulative_sum(0.5, 4, s),
        [(0, 335.368), (1, 8.383)],
        5e-4,
        INTEGRAL,
    ),
    (
        "one sum 0.5, 3",
        lambda s: run_length.cumulative_sum(0.5, 3, s),
        [(0, 117.596)],
        5e-4,
        INTEGRAL,
    ),
    (
        "ewma 0.1, 2.814",
        lambda s: run_length.weighted_mean(0.1, 2.814, s),
        [(0, 499.58), (0.5, 31.30), (1, 10.331), (2, 4.362), (3, 2.868)],
        6e-3,
        INTEGRAL,
    ),
    (
        "ewma 0.1, 2.7",
        lambda s: run_length.weighted_mean(0.1, 2.7, s),
        [(0, 368.99), (0.5, 28.19), (1, 9.730), (2, 4.179), (3, 2.759)],
        6e-3,
        INTEGRAL,
    ),
    (
        "ewma 0.2, 2.962",
        lambda s: run_length.weighted_mean(0.2, 2.962, s),
        [(0, 499.74), (0.5, 41.76), (1, 10.542), (2, 3.743), (3, 2.381)],
        6e-3,
        INTEGRAL,
    ),
    (
        "ewma 0.25, 3",
        lambda s: run_length.weighted_mean(0.25, 3, s),
        [(1, 11.154267016)],
        1e-8,
        "a public statistics manual",
    ),
    (
        "ewma 0.5, 3.071",
        lambda s: run_length.weighted_mean(0.5, 3.071, s),
        [(0, 500), (0.5, 88.8), (1, 17.5), (2, 3.63), (3, 1.93)],
        0.15,
        LUCAS,
    ),
    (
        "ewma 0.03, 2.437",
        lambda s: run_length.weighted_mean(0.03, 2.437, s),
        [(0, 500), (0.5, 29.3), (1, 12.6), (2, 5.99), (3, 4.03)],
        0.15,
        LUCAS,
    ),
    (
        "plain limits 3",
        lambda s: run_length.plain_limits(3, s),
        [(0, 370.398), (0.5, 155.224), (1, 43.895), (2, 6.303), (3, 2.000)],
        5e-4,
        INTEGRAL,
    ),
]


@pytest.mark.parametrize(
    ("length", "figures", "near", "source"),
    [row[1:] for row in RUN_LENGTHS],
    ids=[row[0] for row in RUN_LENGTHS],
)
def test_run_lengths_agree_with_the_published_figures(
    length: Callable[[float], float | None], figures: Figures, near: float, source: str
) -> None:
    got = [length(shift) for shift, _ in figures]
    check("run length", got, [points for _, points in figures], abs=near, source=source)


def test_the_moving_range_alone_calls_at_nine_in_a_thousand_points() -> None:
    beyond = 2.0 * norm.sf(3.686 / sqrt(2.0))
    found = alarm.of_ranges()
    assert found is not None
    assert found.points == pytest.approx(1.0 / beyond, rel=1e-9)
    assert beyond == pytest.approx(0.0092, abs=5e-5)


ZONES = (-3, -2, -1, 1, 2, 3)
EDGES = {-3: (-3, -2), -2: (-2, -1), -1: (-1, 0), 1: (0, 1), 2: (1, 2), 3: (2, 3)}


def markov_run_length(shift: float) -> float:
    """Mean run length of the four Western Electric rules; a point beyond three sigma ends it too.

    A state is the zones of the last four points and how long the last run on one side has lasted.
    """
    chance = {
        zone: norm.cdf(high - shift) - norm.cdf(low - shift) for zone, (low, high) in EDGES.items()
    }
    states: dict[tuple[tuple[int, ...], int], int] = {((), 0): 0}
    queue, moves = list(states), []
    for state in queue:
        for zone, share in chance.items():
            after = _next(state, zone)
            if after is None:
                continue
            if after not in states:
                states[after] = len(states)
                queue.append(after)
            moves.append((states[state], states[after], share))
    matrix = lil_matrix((len(states), len(states)))
    for start, end, share in moves:
        matrix[start, end] -= share
    matrix.setdiag(matrix.diagonal() + 1.0)
    return float(spsolve(matrix.tocsc(), np.ones(len(states)))[0])


def _next(state: tuple[tuple[int, ...], int], zone: int) -> tuple[tuple[int, ...], int] | None:
    before, run = state
    seen = (*before, zone)
    for side in (1, -1):
        if sum(side * z >= 3 for z in seen[-3:]) >= 2 or sum(side * z >= 2 for z in seen[-5:]) >= 4:
            return None
    run = run + 1 if before and before[-1] * zone > 0 else 1
    return None if run >= 8 else (seen[-4:], run)


def test_the_interval_told_for_western_electric_is_that_of_a_markov_chain() -> None:
    assert alarm.of_rules(WE).points == pytest.approx(markov_run_length(0.0), abs=0.01)
    assert markov_run_length(1.0) == pytest.approx(9.19, abs=0.05)


@pytest.mark.parametrize("rules", [WE, NELSON])
def test_the_intervals_told_are_those_of_the_rules_themselves(rules: RuleSet) -> None:
    """2,000 runs of chance, the seed fixed; five standard errors either way."""
    random = Random(8)
    lengths = [_first_alarm(rules, random) for _ in range(2000)]
    error = float(np.std(lengths)) / sqrt(len(lengths))
    assert float(np.mean(lengths)) == pytest.approx(alarm.of_rules(rules).points, abs=5 * error)


def _first_alarm(rules: RuleSet, random: Random) -> int:
    z: list[float] = []
    for size in (200, 400, 1600, 6400):
        z.extend(random.gauss(0, 1) for _ in range(size))
        fired = find_patterns(z, rules)
        if fired:
            return fired[0].index
    raise AssertionError("no alarm in 8,600 points")


def test_every_pattern_of_short_length_fires_as_a_plain_reading_of_the_rules_would() -> None:
    """All 4^6 sequences of six zone values, each rule written again in the plainest way."""
    for z in product((-2.5, -1.5, 0.5, 2.5), repeat=6):
        fired = {(found.rule, found.index) for found in find_patterns(z, WE)}
        assert fired == set(_plainly(z))


def _plainly(z: Sequence[float]) -> list[tuple[str, int]]:
    found = []
    for end in range(1, len(z) + 1):
        for side in (1, -1):
            up = [side * value for value in z[:end]]
            if up[-1] > 2 and sum(value > 2 for value in up[-3:]) >= 2:
                found.append(("WE2", end))
            if up[-1] > 1 and sum(value > 1 for value in up[-5:]) >= 4:
                found.append(("WE3", end))
    return found
