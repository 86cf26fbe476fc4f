"""Run lengths where the integral equation is hard, and statistics of little or nothing."""

from math import inf, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.charts import alarm, run_length
from benchmate.charts.summary import lag_one, mean, standard_deviation, summarise


@pytest.mark.parametrize("width", [9.0, 40.0, 1000.0])
def test_limits_too_wide_to_be_passed_have_no_alarm_interval(width: float) -> None:
    assert alarm.of_limits(width) is None
    assert alarm.of_weighted_mean(0.2, width) is None


def test_a_very_long_interval_is_infinite_and_a_costly_one_is_not_worked_out() -> None:
    assert run_length.two_cumulative_sums(0.5, 40.0) == inf
    assert run_length.two_cumulative_sums(0.5, 400.0) is None
    assert run_length.weighted_mean(0.001, 3.0) is None
    assert alarm.of_cumulative_sums(0.5, 400.0) is None


@given(st.floats(0.05, 1.0), st.floats(1.0, 3.5))
def test_a_weight_of_one_is_plain_limits_and_wider_limits_call_more_seldom(
    weight: float, width: float
) -> None:
    assert run_length.weighted_mean(1.0, width) == pytest.approx(run_length.plain_limits(width))
    near = run_length.weighted_mean(weight, width)
    far = run_length.weighted_mean(weight, width + 0.2)
    assert near is not None
    assert far is not None
    assert 1.0 < near < far


@given(st.lists(st.floats(-1e6, 1e6), min_size=2, max_size=50), st.floats(-1e6, 1e6))
def test_the_spread_does_not_depend_on_where_the_values_lie(found: list[float], to: float) -> None:
    moved = [value + to for value in found]
    assert standard_deviation(moved) == pytest.approx(standard_deviation(found), abs=1e-8, rel=1e-8)
    assert mean(moved) == pytest.approx(mean(found) + to, abs=1e-8)


def test_a_mean_that_can_not_be_written_exactly_does_not_spoil_the_spread() -> None:
    far = 2.0**53
    assert standard_deviation([far, far + 2, far + 2]) == pytest.approx(sqrt(4 / 3), rel=1e-15)


@given(st.lists(st.floats(-1e6, 1e6), min_size=2, max_size=50))
def test_lag_one_lies_between_minus_one_and_one(found: list[float]) -> None:
    lag = lag_one(found)
    assert lag is None or -1.0 <= lag <= 1.0


def test_one_value_has_a_mean_and_no_spread() -> None:
    assert summarise([3.0]) == summarise((3.0,))
    assert (summarise([3.0]).sd, summarise([3.0]).lag1) == (None, None)


@pytest.mark.parametrize(
    "act",
    [
        lambda: mean([]),
        lambda: standard_deviation([1.0]),
    ],
)
def test_too_little_to_work_with_is_refused(act) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        act()
