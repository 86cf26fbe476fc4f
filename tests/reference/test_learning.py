"""What jobs teach, against closed forms, numerical integration and a general scientific library.

Sources: the conjugate update of a normal mean as any textbook of Bayesian statistics gives it
(precision-weighted mean), integrated here by quadrature without using it; Welch's interval by
scipy.stats.ttest_ind(equal_var=False).
"""

from collections.abc import Sequence
from math import exp, inf, sqrt

import pytest
from scipy import integrate, stats

from benchmate.learning import Outcome, compare, shrink
from tests.reference.outside import check

CLOSED = "normal conjugate update in closed form"
QUADRATURE = "prior times likelihood integrated by quadrature"
WELCH = "scipy.stats.ttest_ind, equal_var=False"

LEARNT: list[tuple[float, float, Sequence[float], float]] = [
    (0.60, 0.02, (0.575,), 0.01),
    (0.60, 0.02, (0.575, 0.585, 0.580), 0.015),
    (12.0, 4.0, (9.5, 8.0, 11.0, 10.5, 9.0), 2.0),
    (1500.0, 300.0, (1900.0, 2100.0), 250.0),
    (-3.0, 0.5, (2.0, 2.5), 5.0),
]


def by_quadrature(prior: float, u: float, seen: Sequence[float], sd: float) -> tuple[float, float]:
    """Mean and standard deviation of the posterior, from moments of prior times likelihood."""
    middle = (prior + sum(seen)) / (1 + len(seen))

    def density(t: float) -> float:
        off = ((t - prior) / u) ** 2 + sum(((x - t) / sd) ** 2 for x in seen)
        least = ((middle - prior) / u) ** 2 + sum(((x - middle) / sd) ** 2 for x in seen)
        return exp(-0.5 * (off - least))

    reach = 12.0 * max(u, abs(middle - prior))
    low, high = min(prior, *seen) - reach, max(prior, *seen) + reach

    def moment(power: int) -> float:
        return float(
            integrate.quad(
                lambda t: (t - middle) ** power * density(t),
                low,
                high,
                limit=500,
                epsabs=0,
                epsrel=1e-11,
                points=[middle],
            )[0]
        )

    total = moment(0)
    mean = moment(1) / total
    return middle + mean, sqrt(moment(2) / total - mean**2)


@pytest.mark.parametrize(("prior", "u", "seen", "sd"), LEARNT)
def test_a_learned_value_is_the_conjugate_update(
    prior: float, u: float, seen: Sequence[float], sd: float
) -> None:
    got = shrink(prior, u, seen, sd)
    weights = [1.0 / u**2, *[1.0 / sd**2] * len(seen)]
    mean = sum(w * x for w, x in zip(weights, [prior, *seen], strict=True)) / sum(weights)
    check("learned value", got.value, mean, rel=1e-12, source=CLOSED)
    check("learned value", got.u, 1.0 / sqrt(sum(weights)), rel=1e-12, source=CLOSED)
    check("learned value", got.weight, 1.0 - weights[0] / sum(weights), rel=1e-12, source=CLOSED)
    integrated = by_quadrature(prior, u, seen, sd)
    check("learned value", [got.value, got.u], integrated, rel=1e-7, source=QUADRATURE)


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


def test_as_many_as_are_needed_are_enough_for_the_difference_named() -> None:
    """The half width of Welch's interval for equal spreads, by scipy, just below what matters."""
    got = compare([10.0, 11.0, 12.0], [10.5, 11.5, 12.5], matters=1.0)
    assert got.needed is not None
    counts = (got.needed - 1, got.needed)
    half = [stats.t.ppf(0.975, 2 * (count - 1)) * sqrt(2.0 / count) for count in counts]
    assert half[0] > 1.0 >= half[1]
    assert got.lower is not None
    assert -inf < got.lower < 0.0
