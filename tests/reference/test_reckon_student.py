"""Normal and Student t against a general scientific library and the printed table of factors."""

import math

import pytest
import scipy
from scipy import stats

from benchmate.reckon.weight.student import (
    coverage_factor,
    normal_cdf,
    normal_quantile,
    student_cdf,
    student_quantile,
)
from tests.reference.outside import check

SCIPY = f"scipy {scipy.__version__} stats.t and stats.norm"
DOFS = (0.5, 1, 1.5, 2, 3.357, 7, 16.656, 36, 59.0977, 144, 1e3, 1e4, 9e5, 1e7)


@pytest.mark.parametrize("dof", DOFS)
@pytest.mark.parametrize("t", [-40.0, -5.0, -2.5, -1.0, -0.1, -1e-3, 0.0, 0.7, 3.0])
def test_the_t_distribution_is_the_librarys(dof: float, t: float) -> None:
    check("student", student_cdf(t, dof), stats.t.cdf(t, dof), rel=1e-9, abs=1e-200, source=SCIPY)


@pytest.mark.parametrize("dof", DOFS)
@pytest.mark.parametrize("p", [1e-9, 1e-4, 0.02275, 0.1, 0.25, 0.45, 0.6, 0.9, 0.97725, 0.995])
def test_the_t_quantile_is_the_librarys(dof: float, p: float) -> None:
    check("student", student_quantile(p, dof), stats.t.ppf(p, dof), rel=1e-8, source=SCIPY)


@pytest.mark.parametrize("z", [-30.0, -6.0, -2.0, -0.5, 0.0, 1.0, 5.0])
def test_the_normal_distribution_is_the_librarys(z: float) -> None:
    check("student", normal_cdf(z), stats.norm.cdf(z), rel=1e-12, source=SCIPY)
    check("student", student_cdf(z, math.inf), stats.norm.cdf(z), rel=1e-12, source=SCIPY)


@pytest.mark.parametrize("p", [1e-12, 0.025, 0.5, 0.9, 0.97725])
def test_the_normal_quantile_is_the_librarys(p: float) -> None:
    check("student", normal_quantile(p), stats.norm.ppf(p), rel=1e-9, abs=1e-15, source=SCIPY)


@pytest.mark.parametrize(
    ("dof", "k"),
    [
        (1, 13.97),
        (2, 4.53),
        (3, 3.31),
        (4, 2.87),
        (5, 2.65),
        (6, 2.52),
        (7, 2.43),
        (8, 2.37),
        (10, 2.28),
        (20, 2.13),
        (50, 2.05),
        (math.inf, 2.00),
    ],
)
def test_coverage_factors_are_those_printed(dof: float, k: float) -> None:
    source = "EA-4/02 Appendix E, GUM Table G.2, 95.45 %"
    check("student", coverage_factor(0.9545, dof), k, abs=0.005, source=source)
