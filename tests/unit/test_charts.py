"""Control charts: what holds for any values, where a line counts, and what is refused."""

from collections.abc import Callable
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.charts import (
    Chart,
    ChartError,
    Kind,
    Options,
    Reading,
    RuleSet,
    cusum,
    draw,
    ewma,
    individuals,
    of_shop,
)
from benchmate.charts.baseline import moving_ranges, robust_sigma, take_baseline
from benchmate.charts.chart import stretches
from benchmate.charts.runs import find_patterns
from benchmate.charts.shop import DO_NOTHING, LOOK

# Whole numbers and powers of two keep the arithmetic exact, so that equal really means equal.
values = st.lists(st.integers(-40, 40).map(float), min_size=6, max_size=60).filter(
    lambda found: len(set(found)) > 1
)
shifts = st.integers(-1000, 1000).map(float)
scales = st.sampled_from([0.25, 0.5, 2.0, 8.0, 1024.0])

DRAWINGS: dict[str, Callable[[list[float]], Chart]] = {
    "individuals": lambda v: individuals(v),
    "individuals by nelson": lambda v: individuals(v, rules=RuleSet.NELSON),
    "ewma": lambda v: ewma(v),
    "cusum": lambda v: cusum(v),
}
draws = st.sampled_from(sorted(DRAWINGS))


def fired(chart: Chart) -> list[tuple[int, str]]:
    return [(signal.index, signal.rule) for signal in chart.signals]


class TestAnyChart:
    @given(values, shifts, scales, draws)
    def test_moves_and_grows_with_its_values(
        self, found: list[float], shift: float, scale: float, name: str
    ) -> None:
        chart = DRAWINGS[name](found)
        moved = DRAWINGS[name]([scale * value + shift for value in found])
        origin = 0.0 if name == "cusum" else shift
        near = 1e-9 * (abs(shift) + scale * 40)
        assert moved.upper == pytest.approx(scale * chart.upper + origin, abs=near)
        assert moved.lower == pytest.approx(scale * chart.lower + origin, abs=near)
        assert [p.statistic for p in moved.points] == pytest.approx(
            [scale * p.statistic + origin for p in chart.points], abs=near
        )
        assert fired(moved) == fired(chart)

    @given(values, draws)
    def test_turned_upside_down_signals_at_the_same_points(
        self, found: list[float], name: str
    ) -> None:
        chart, mirrored = DRAWINGS[name](found), DRAWINGS[name]([-value for value in found])
        assert {s.index for s in mirrored.signals} == {s.index for s in chart.signals}
        assert mirrored.upper == pytest.approx(-chart.lower, abs=1e-9)

    @given(values, values, draws)
    def test_keeps_its_limits_when_new_values_come(
        self, first: list[float], later: list[float], name: str
    ) -> None:
        kind = name.partition(" ")[0]
        options = Options(kind=Kind(kind), base=len(first))
        before, after = draw(first, options), draw(first + later, options)
        assert (after.lower, after.upper) == (before.lower, before.upper)
        assert after.points[: len(first)] == before.points
        assert fired(after)[: len(before.signals)] == fired(before)

    @given(values, draws)
    def test_has_one_point_for_each_value_counted_from_one(
        self, found: list[float], name: str
    ) -> None:
        chart = DRAWINGS[name](found)
        assert [p.index for p in chart.points] == list(range(1, len(found) + 1))
        assert [p.value for p in chart.points] == found


class TestBreaks:
    @given(st.integers(1, 20), st.sets(st.integers(-2, 25)))
    def test_stretches_cover_every_point_once_and_in_order(
        self, count: int, breaks: set[int]
    ) -> None:
        parts = stretches(count, breaks)
        assert [at for part in parts for at in part] == list(range(count))
        assert all(part.start + 1 in breaks for part in parts[1:])

    def test_no_moving_range_is_taken_across_a_change_of_product(self) -> None:
        assert moving_ranges([10, 11, 500, 502], breaks=[3]) == [None, 1, None, 2]
        assert take_baseline([10, 11, 500, 502], breaks=[3]).mean_range == 1.5


class TestOnTheLine:
    """Decimals that stand on a line are on it, whatever binary makes of them."""

    def test_a_value_on_a_control_limit_is_inside(self) -> None:
        assert (10.3 - 10.0) / 0.1 > 3.0
        for rules in RuleSet:
            assert not individuals([10.0, 10.3], target=10.0, sigma=0.1, rules=rules).signals

    def test_a_value_just_beyond_it_is_out(self) -> None:
        chart = individuals([10.0, 10.3001], target=10.0, sigma=0.1)
        assert fired(chart) == [(2, "limit")]
        assert chart.signals[0].sentence == "Point 2 (10.3001) is above the upper limit of 10.3."

    def test_a_sum_that_equals_h_is_no_signal(self) -> None:
        assert not cusum([0.3, 0.3, 0.3], target=0, k=0.1, h=0.6).signals
        assert fired(cusum([0.3, 0.3, 0.31], target=0, k=0.1, h=0.6)) == [(3, "C+")]

    def test_a_sum_that_rounds_above_zero_is_zero_when_a_shift_is_dated(self) -> None:
        # 0.3 - 0.1 - 0.2 leaves 2.8e-17 above zero; the shift begins with the value after it.
        chart = cusum([0.3, 0.1 + 0.2, 0.1 + 0.2, 5.0], target=0.1, k=0.2, h=1)
        assert fired(chart) == [(4, "C+")]
        assert "about point 4" in chart.signals[0].sentence

    def test_a_value_on_the_centre_breaks_a_run(self) -> None:
        z = [0.5] * 7 + [0.0] + [0.5] * 7
        assert find_patterns(z, RuleSet.WESTERN_ELECTRIC) == []

    def test_a_value_that_rounds_above_the_centre_is_on_it(self) -> None:
        assert 0.1 + 0.2 > 0.3
        chart = individuals([0.1 + 0.2] * 9, target=0.3, sigma=1, rules=RuleSet.WESTERN_ELECTRIC)
        assert not chart.signals

    @pytest.mark.parametrize("value", [3.1, -1.1])
    def test_a_weighted_mean_on_its_limit_is_inside(self, value: float) -> None:
        assert abs(value - 1.0) > 3 * 0.7
        assert not ewma([value], target=1, sigma=0.7, weight=1, width=3).signals
        beyond = 1.0001 * (value - 1.0) + 1.0
        assert fired(ewma([beyond], target=1, sigma=0.7, weight=1, width=3)) == [(1, "limit")]

    def test_equal_neighbours_break_a_trend(self) -> None:
        assert find_patterns([0.1, 0.2, 0.3, 0.3, 0.4, 0.5, 0.6], RuleSet.NELSON) == []

    def test_fifteen_in_a_row_on_the_one_sigma_lines_are_within_them(self) -> None:
        z = [1.0, 0.0, -1.0, 0.0, 1.0] * 3
        assert [(f.rule, f.index) for f in find_patterns(z, RuleSet.NELSON)] == [("N7", 15)]


class TestCumulativeSum:
    def test_k_and_h_are_in_sigmas_only_when_sigma_is_given(self) -> None:
        found = [10.0, 12.0, 9.0, 13.0]
        in_sigmas = cusum(found, target=10, sigma=2, k=0.5, h=5)
        in_units = cusum(found, target=10, k=1, h=10)
        assert (in_sigmas.upper, in_units.upper) == (10, 10)
        assert in_sigmas.points == in_units.points

    def test_both_sums_are_told_and_the_statistic_is_the_farther_one(self) -> None:
        chart = cusum([8.0, 13.0], target=10, sigma=1, k=0.5, h=5)
        assert [p.sums for p in chart.points] == [(0.0, 1.5), (2.5, 0.0)]
        assert [p.statistic for p in chart.points] == [-1.5, 2.5]

    def test_a_falling_shift_is_dated_too(self) -> None:
        chart = cusum([10.0, 11.0, 7.0, 7.0, 7.0], target=10, sigma=1)
        assert fired(chart) == [(5, "C-")]
        assert "about point 3" in chart.signals[0].sentence


class TestWhatIsSaidBeside:
    def test_the_alarm_interval_shrinks_with_every_added_rule(self) -> None:
        told = [individuals([1.0, 2.0, 4.0], rules=rules).alarm for rules in RuleSet]
        assert [round(alarm.points) for alarm in told if alarm] == [370, 92, 74]
        assert all(alarm.source for alarm in told if alarm)

    def test_few_values_make_rough_limits(self) -> None:
        assert any("rough" in note for note in individuals([1.0, 2.0, 4.0]).notes)
        assert not any("rough" in n for n in individuals([1.0, 2.0, 4.0] * 10).notes)

    def test_values_that_lean_on_each_other_are_named(self) -> None:
        slow = [float(i // 5) for i in range(40)]
        assert any("lean on each other" in note for note in individuals(slow).notes)
        assert not any("lean" in note for note in individuals([1.0, 2.0] * 20).notes)

    def test_a_base_that_does_not_vary_is_named_and_any_other_value_is_out(self) -> None:
        chart = individuals([5.0, 5.0, 5.0, 5.1], base=3, rules=RuleSet.NELSON)
        assert any("don't vary" in note for note in chart.notes)
        assert fired(chart) == [(4, "limit")]
        assert chart.alarm is None

    def test_the_median_range_is_not_misled_by_one_outlier(self) -> None:
        found = [0.0, 1.0, 0.0, 30.0, 0.0, 1.0, 0.0]
        assert not individuals(found).signals
        assert fired(individuals(found, sigma=robust_sigma(found), target=0)) == [(4, "limit")]


def of_jobs(*offs: float, each: int = 2, target: float | None = 850.0) -> list[Reading]:
    return [
        Reading((target or 0.0) + off, target, "bookends", 3600.0 * n, f"job {n + 1}")
        for n, off in enumerate(offs)
        for _ in range(each)
    ]


class TestTheShopsChart:
    def test_has_one_point_a_job_about_the_target(self) -> None:
        found = of_shop(of_jobs(1.0, -2.0, 0.5, 1.5), "g").chart
        assert found.centre == 0.0
        assert [p.statistic for p in found.points] == pytest.approx([1.0, -2.0, 0.5, 1.5])

    def test_what_pairs_share_calls_no_oftener_than_is_promised(self) -> None:
        """Four fifths of the variance shared: single pieces would call every 40 points."""
        luck, calls, points = Random(5), 0, 0
        for _ in range(40):
            shared = [luck.gauss(0.0, 0.8**0.5) for _ in range(60)]
            rows = [
                Reading(s + luck.gauss(0.0, 0.2**0.5), 0.0, "", None, f"job {n}")
                for n, s in enumerate(shared)
                for _ in range(2)
            ]
            found = of_shop(rows).chart
            calls, points = calls + len(found.signals), points + len(found.points)
        assert calls / points < 1 / 150

    def test_an_odd_job_is_named_and_widens_nothing(self) -> None:
        plain = of_shop(of_jobs(1.0, -1.0, 1.5, -0.5, 1.0, -1.0, 0.5), "g")
        odd = of_shop(of_jobs(1.0, -1.0, 1.5, 30.0, 1.0, -1.0, 0.5), "g")
        assert odd.chart.upper < 1.5 * plain.chart.upper
        assert [s.index for s in odd.chart.signals] == [4]
        said = " ".join(odd.lines)
        assert "job 4 is +30 g off" in said
        assert "job 4 alone would have widened the limits" in said
        assert LOOK in odd.lines
        assert DO_NOTHING in plain.lines

    def test_a_plan_that_is_off_is_told_from_a_day_that_was(self) -> None:
        said = " ".join(of_shop(of_jobs(3.0, 2.0, 4.0, 3.5, 2.5, 3.0), "g").lines)
        assert "that is the plan, not the day" in said

    def test_another_shot_is_not_compared_with_the_one_before(self) -> None:
        rows = [
            Reading(v, None, p, None, str(n))
            for n, (v, p) in enumerate(
                [(0.60, "2 mm"), (0.602, "2 mm"), (0.70, "1 mm"), (0.702, "1 mm")]
            )
        ]
        ranges = of_shop(rows).chart.ranges
        assert ranges is not None
        assert [p.index for p in ranges.points] == [2, 4]

    def test_a_scale_is_judged_by_its_own_doubt(self) -> None:
        rows = [Reading(500.0 + off, 500.0, "", None, str(off), 0.1) for off in (0.0, 0.1, 0.8)]
        found = of_shop(rows, "g")
        assert [s.index for s in found.chart.signals] == [3]
        assert "the scale's own doubt allows" in found.lines[0]

    @pytest.mark.parametrize("offs", [(1.0, 2.0), (1.0, 1.0, 1.0, 1.0)])
    def test_too_few_or_too_alike_is_said(self, offs: tuple[float, ...]) -> None:
        with pytest.raises(ChartError):
            of_shop(of_jobs(*offs))


REFUSED: list[tuple[str, Callable[[], object], str]] = [
    ("no values", lambda: individuals([]), "no values"),
    ("nan", lambda: ewma([1.0, float("nan")]), "Value 2 is nan"),
    ("infinite", lambda: cusum([1.0, float("inf")]), "Value 2 is inf"),
    ("huge", lambda: individuals([1e200, 1.0]), "Value 1 is 1e\\+200"),
    ("one value", lambda: individuals([1.0]), "two in a row"),
    ("all breaks", lambda: individuals([1.0, 2.0], breaks=[2]), "two in a row"),
    ("base too long", lambda: individuals([1.0, 2.0], base=3), "only 2 values"),
    ("base too short", lambda: individuals([1.0, 2.0], base=1), "at least two"),
    ("sigma of zero", lambda: individuals([1.0, 2.0], sigma=0), "sigma is 0"),
    ("sigma not a number", lambda: cusum([1.0, 2.0], sigma=float("nan")), "sigma is nan"),
    ("target", lambda: individuals([1.0, 2.0], target=float("inf")), "target is inf"),
    ("width", lambda: individuals([1.0, 2.0], width=-1), "limit width is -1"),
    ("width with rules", lambda: individuals([1.0, 2.0], width=2, rules=RuleSet.NELSON), "at 3"),
    ("weight above one", lambda: ewma([1.0, 2.0], weight=1.5), "at most 1"),
    ("weight of zero", lambda: ewma([1.0, 2.0], weight=0), "above 0"),
    ("flat ewma", lambda: ewma([2.0, 2.0]), "don't vary"),
    ("flat cusum", lambda: cusum([2.0, 2.0]), "don't vary"),
    ("h of zero", lambda: cusum([1.0, 2.0], h=0), "limit h is 0"),
    ("k below zero", lambda: cusum([1.0, 2.0], k=-1), "slack k is -1"),
    ("rules on ewma", lambda: draw([1.0], Options(Kind.EWMA, rules=RuleSet.NELSON)), "Run rules"),
    ("weight on cusum", lambda: draw([1.0, 2.0], Options(Kind.CUSUM, weight=0.2)), "ewma chart"),
    ("steady on individuals", lambda: draw([1.0, 2.0], Options(steady=True)), "ewma chart"),
    ("h on ewma", lambda: draw([1.0, 2.0], Options(Kind.EWMA, h=5)), "cusum chart"),
    ("width on cusum", lambda: draw([1.0, 2.0], Options(Kind.CUSUM, limit_width=3)), "is h"),
]


@pytest.mark.parametrize(("act", "words"), [r[1:] for r in REFUSED], ids=[r[0] for r in REFUSED])
def test_what_can_not_be_drawn_is_refused_in_a_sentence(
    act: Callable[[], object], words: str
) -> None:
    with pytest.raises(ChartError, match=words) as refusal:
        act()
    assert str(refusal.value).endswith(".")


def test_statistics_can_be_given_without_any_base() -> None:
    assert individuals([7.0], target=5, sigma=0.5).signals
    assert not individuals([6.0], target=5, sigma=0.5).notes
