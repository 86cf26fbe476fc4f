"""The normal and t distributions: properties and refusals."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.reckon.weight.student import (
    coverage_factor,
    normal_cdf,
    normal_quantile,
    student_cdf,
    student_quantile,
)

dofs = st.floats(0.5, 1e8)
probabilities = st.floats(1e-9, 1 - 1e-9)


@given(probabilities, dofs)
def test_a_quantile_and_its_probability_are_each_others_inverse(p: float, dof: float) -> None:
    assert student_cdf(student_quantile(p, dof), dof) == pytest.approx(p, rel=1e-7, abs=1e-12)


@given(st.floats(0.0, 50.0), dofs)
def test_the_t_distribution_is_alike_on_both_sides(t: float, dof: float) -> None:
    assert student_cdf(-t, dof) == pytest.approx(1.0 - student_cdf(t, dof), rel=1e-6, abs=1e-12)


@given(st.floats(0.5, 0.9999), st.floats(1.0, 1e5), st.floats(1.01, 10.0))
def test_fewer_degrees_of_freedom_want_a_larger_factor(p: float, dof: float, more: float) -> None:
    assert coverage_factor(p, dof) >= coverage_factor(p, dof * more) * (1 - 1e-10)
    assert coverage_factor(p, dof) >= coverage_factor(p, math.inf) * (1 - 1e-10)


@pytest.mark.parametrize("dof", [1e6 * (1 - 1e-9), 1e6])
def test_there_is_no_step_where_the_expansion_takes_over(dof: float) -> None:
    assert coverage_factor(0.9545, dof) == pytest.approx(2.0000048, abs=1e-6)


@pytest.mark.parametrize("p", [0.0, 1.0, -0.1, 1.1, math.nan])
def test_a_probability_outside_0_to_1_is_refused(p: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        normal_quantile(p)
    with pytest.raises(ValueError, match="between 0 and 1"):
        student_quantile(p, 5)
    with pytest.raises(ValueError, match="between 0 and 1"):
        coverage_factor(p, 5)


@pytest.mark.parametrize("dof", [0.0, -1.0, math.nan])
def test_no_degrees_of_freedom_are_refused(dof: float) -> None:
    with pytest.raises(ValueError, match="more than none"):
        student_cdf(1.0, dof)
    with pytest.raises(ValueError, match="more than none"):
        student_quantile(0.9, dof)


def test_a_limit_too_far_out_is_refused_and_not_endless() -> None:
    with pytest.raises(ValueError, match="no such limit"):
        student_quantile(1e-12, 0.05)


def test_the_middle_is_zero() -> None:
    assert student_quantile(0.5, 3.0) == 0.0
    assert normal_cdf(0.0) == 0.5
