"""What jobs teach, against a general scientific library and a general numerical one.

Sources: Student's interval, Welch's interval and the power of a t test by scipy.stats; the linear
Gaussian update in its information form by numpy.linalg; how often intervals hold, by counting.
"""

from collections.abc import Sequence
from math import sqrt
from random import Random
from typing import Any

import numpy as np
import pytest
from scipy import stats

from benchmate.learning.compare import Outcome, compare
from benchmate.learning.settle import Settled, Told, settle
from benchmate.learning.waits import Span, likelihood
from benchmate.learning.weighings import HARDLY_DRAWN, Stretch, UnknownValue, teach
from tests.reference.outside import check

STUDENT = "scipy.stats.t.interval"
CENSORED = "scipy.stats.norm.fit of scipy.stats.CensoredData"
WELCH = "scipy.stats.ttest_ind, equal_var=False"

ROWS: list[Sequence[float]] = [
    (0.575, 0.585, 0.580),
    (9.5, 8.0, 11.0, 10.5, 9.0),
    (1900.0, 2100.0),
    (2.0, 2.5, 2.2, 2.1, 2.6, 2.4, 1.9),
]


@pytest.mark.parametrize("seen", ROWS)
def test_the_interval_of_a_row_is_students(seen: Sequence[float]) -> None:
    got = settle([Told(str(i), value) for i, value in enumerate(seen)])
    low, high = stats.t.interval(0.95, len(seen) - 1, np.mean(seen), stats.sem(seen))
    check("learned value", [got.low or 0.0, got.high or 0.0], [low, high], rel=1e-9, source=STUDENT)
    check("learned value", got.value, float(np.mean(seen)), rel=1e-12, source=STUDENT)


def by_matrices(prior: Any, cov: Any, rows: Any, seen: Any, doubts: Any) -> tuple[Any, Any]:
    """The linear Gaussian update all at once, in its information form."""
    weight = np.linalg.inv(cov) + rows.T @ np.diag(1.0 / doubts**2) @ rows
    after = np.linalg.inv(weight)
    return after @ (np.linalg.inv(cov) @ prior + rows.T @ (seen / doubts**2)), after


def test_values_seen_together_are_the_linear_update() -> None:
    acts = [
        UnknownValue("takes/outside", 8.0, 1.7, 1.7, 8.0),
        UnknownValue("adds/glue", 0.7, 0.3, 0.3, 0.7),
        UnknownValue("adds/oil", 1.0, 0.4, 0.4, 1.0),
    ]
    sanded, oiled = {"takes/outside": -1.0, "adds/glue": 1.0}, {"adds/oil": 3.0, "adds/glue": 0.5}
    seen = [
        Stretch(name, f"job {n}", "A", g, 0.1, of)
        for n, (one, other) in enumerate([(-8.6, 4.4), (-9.0, 4.6), (-8.9, 4.2), (-8.7, 4.4)] * 2)
        for name, g, of in (("sanded", one, sanded), ("oiled", other, oiled))
    ]
    got = {one.key: one for one in teach(acts, seen)}
    rows = np.array([[-1.0, 1.0, 0.0], [0.0, 0.5, 3.0]])
    file = np.array([one.value for one in acts])
    settled = [got["takes/outside"].settled, got["adds/oil"].settled]
    doubts = np.array([doubt_of_row(one) for one in settled])
    value, cov = by_matrices(
        np.zeros(3),
        widened(np.diag([one.u**2 for one in acts]), rows, settled, doubts),
        rows,
        np.array([one.value for one in settled]),
        doubts,
    )
    for at, one in enumerate(acts):
        source = "numpy.linalg, information form of the linear Gaussian update"
        check("learned weights", got[one.key].value, file[at] + value[at], rel=1e-9, source=source)
        check("learned weights", got[one.key].u, sqrt(cov[at][at]), rel=1e-9, source=source)


def doubt_of_row(settled: Settled) -> float:
    """A row's standard uncertainty, widened as Student's t is wider than the normal."""
    assert settled.u is not None
    t = stats.t.ppf(0.975, settled.n - 1) / stats.norm.ppf(0.975)
    return float(settled.u * t)


def widened(cov: Any, rows: Any, settled: Sequence[Settled], doubts: Any) -> Any:
    """The prior as wide as the jobs contradict it; both rows here stay within it but the first."""
    for row, one, u in zip(rows, settled, doubts, strict=True):
        doubt, beyond = row @ cov @ row, max(one.value**2 - u**2, HARDLY_DRAWN * u**2)
        assert beyond < doubt, "the case is chosen so that no prior has to be widened"
    return cov


@pytest.mark.parametrize("off", [0.0, 2.0, 4.0])
@pytest.mark.parametrize("sd", [0.5, 2.0])
def test_intervals_hold_as_often_as_they_say(off: float, sd: float) -> None:
    luck = Random(int(10 * off + sd))
    for n in (2, 3, 5, 9, 16, 30):
        rows = [[luck.gauss(off, sd) for _ in range(n)] for _ in range(1000)]
        held = 0
        for row in rows:
            got = settle([Told(str(i), value) for i, value in enumerate(row)])
            held += (got.low or 0.0) <= off <= (got.high or 0.0)
        assert 0.92 <= held / len(rows) <= 0.98, (off, sd, n)


@pytest.mark.parametrize(("spread", "limit"), [(1.0, 1.6), (3.0, 4.0), (2.0, 1.5)])
def test_so_many_of_each_show_a_difference_four_times_in_five(spread: float, limit: float) -> None:
    step = spread * sqrt(1.5)
    row = [-step, 0.0, 0.0, step]  # its standard deviation is `spread`
    got = compare(row, [value + 0.9 * limit for value in row], matters=limit)
    assert got.needed is not None

    def power(n: int) -> float:
        dof, apart = 2 * (n - 1), limit / (spread * sqrt(2.0 / n))
        return float(1.0 - stats.nct.cdf(stats.t.ppf(0.975, dof), dof, apart))

    check("sample size", power(got.needed), 0.80, abs=0.05, source="noncentral t of scipy.stats")
    assert power(got.needed) >= 0.79
    assert power(got.needed - 1) < 0.82


COMPARED: list[tuple[Sequence[float], Sequence[float]]] = [
    ((10.1, 9.8, 10.4), (12.0, 12.5, 11.9)),
    ((10.1, 9.8, 10.4, 10.0), (10.0, 10.6, 9.5, 10.3, 10.2)),
    ((0.61, 0.60, 0.59, 0.605, 0.61, 0.598), (0.58, 0.585, 0.575)),
    ((5.0, 5.0, 5.0), (6.0, 7.0, 9.0, 6.5)),
    ((1000.0, 1200.0, 900.0, 1500.0), (1.0, 1.1, 0.9)),
]


@pytest.mark.filterwarnings("ignore:Precision loss")  # three equal values, on purpose
@pytest.mark.parametrize(("a", "b"), COMPARED)
def test_a_comparison_is_welch_s_interval(a: Sequence[float], b: Sequence[float]) -> None:
    got = compare(a, b)
    welch = stats.ttest_ind(b, a, equal_var=False)
    interval = welch.confidence_interval(0.95)
    check("comparison", got.dof, float(welch.df), rel=1e-9, source=WELCH)
    check("comparison", got.lower, float(interval.low), rel=1e-8, source=WELCH)
    check("comparison", got.upper, float(interval.high), rel=1e-8, source=WELCH)
    assert (got.outcome is Outcome.DIFFER) == (welch.pvalue < 0.05)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_likelihood_of_waits_is_that_of_interval_censored_data(seed: int) -> None:
    luck, spans = Random(seed), []
    for n in range(12):
        took = np.exp(luck.gauss(0.2, 0.25))
        low = 0.0 if n % 5 == 0 else took * luck.uniform(0.6, 1.0)
        high = np.inf if n % 5 == 4 else took * luck.uniform(1.0, 1.5)
        spans.append(Span(low, float(high)))
    ends = np.log([(max(s.low, 1e-300), s.high) for s in spans])
    ends[[s.low == 0.0 for s in spans], 0] = -np.inf
    data = stats.CensoredData(interval=ends)

    def theirs(mean: float, spread: float) -> float:
        cdf = stats.norm.cdf(ends, mean, spread)
        return float(np.log(cdf[:, 1] - cdf[:, 0]).sum())

    def ours(mean: float, spread: float) -> float:
        return float(sum(np.log(likelihood(s, mean, spread, slip=0.0)) for s in spans))

    tries = [(0.0, 0.15), (0.2, 0.25), (0.35, 0.4)]
    got, want = [ours(*at) for at in tries], [theirs(*at) for at in tries]
    check("wait", got, want, rel=1e-9, source=CENSORED)
    best = stats.norm.fit(data)
    near = [(best[0] + a, best[1] + b) for a in (-0.02, 0.0, 0.02) for b in (-0.02, 0.0, 0.02)]
    assert max(near, key=lambda at: ours(*at)) == near[4]
