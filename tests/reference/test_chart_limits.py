"""Control charts against handbook and textbook examples. The data files name their sources."""

from math import pi, sqrt

import pytest

from benchmate.charts import Chart, cusum, ewma, individuals
from benchmate.charts.constants import MEAN_RANGE, RANGE_LIMIT, RANGE_LIMIT_SIGMA
from tests.reference.charting import column
from tests.reference.outside import check

HANDBOOK = "NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 to 6.3.2.4"
TEXTBOOK = "30-value teaching example of a textbook on statistical quality control"
BY_HAND = "worked by hand from the published formulas"
SHORT_RUN = "the idea of ISO 7870-8, from memory; worked by hand"


def out(chart: Chart | None) -> list[int]:
    assert chart is not None
    return [signal.index for signal in chart.signals]


def ranges_of(chart: Chart) -> Chart:
    assert chart.ranges is not None
    return chart.ranges


class TestConstants:
    """Against the closed forms for groups of two; the published tables print three decimals."""

    def test_the_factors_are_those_of_two_normal_values(self) -> None:
        d2, d3 = 2.0 / sqrt(pi), sqrt(2.0 - 4.0 / pi)
        exact = [d2, 1.0 + 3.0 * d3 / d2, d2 + 3.0 * d3]
        got = [MEAN_RANGE, RANGE_LIMIT, RANGE_LIMIT_SIGMA]
        check("chart factors", got, exact, abs=5e-4, source="d2 and d3 in closed form")


class TestIndividuals:
    FROZEN = (1203.5, 1198.2, 1201.1, 1207.4, 1196.8, 1199.9, 1204.2, 1200.6, 1195.3, 1202.7)

    def test_flow_rate_of_the_handbook(self) -> None:
        chart = individuals(column("handbook-imr-flowrate.csv"))
        got = [
            chart.centre,
            chart.upper,
            chart.lower,
            ranges_of(chart).centre,
            ranges_of(chart).upper,
        ]
        want = [50.81, 55.80409, 45.81591, 1.877778, 6.1347]
        check("individuals chart", got, want, abs=1e-4, source=HANDBOOK)
        assert out(chart) == out(chart.ranges) == []

    def test_a_frozen_base_shows_what_a_recomputed_one_hides(self) -> None:
        values = [*self.FROZEN, 1221.9, 1201.5]
        frozen, recomputed = individuals(values, base=10), individuals(values)
        got = [frozen.centre, frozen.upper, frozen.lower]
        check(
            "individuals chart", got, [1200.97, 1215.390804, 1186.549196], abs=1e-4, source=BY_HAND
        )
        ranges = [ranges_of(frozen).centre, ranges_of(frozen).upper]
        check("individuals chart", ranges, [5.422222, 17.7144], abs=1e-4, source=BY_HAND)
        assert out(frozen) == [11]
        assert out(frozen.ranges) == [11, 12]
        widened = [recomputed.lower, recomputed.upper]
        check("individuals chart", widened, [1181.385, 1224.132], abs=1e-3, source=BY_HAND)
        assert out(recomputed) == []


class TestWeightedMean:
    PRINTED = (
        50.60,
        49.52,
        50.56,
        50.18,
        50.16,
        49.21,
        49.75,
        49.85,
        50.26,
        50.33,
        50.11,
        49.36,
        49.52,
        50.05,
        49.38,
        49.92,
        50.73,
        51.23,
        51.94,
        51.99,
    )

    def test_the_handbook_with_steady_limits(self) -> None:
        values = column("handbook-ewma.csv")
        chart = ewma(values, target=50, sigma=2.0539, weight=0.3, width=3, steady=True)
        limits = [chart.upper, chart.lower]
        check("ewma chart", limits, [52.588432, 47.411568], abs=1e-5, source=HANDBOOK)
        assert {point.upper for point in chart.points} == {chart.upper}
        means = [point.statistic for point in chart.points]
        check("ewma chart", means, self.PRINTED, abs=0.00501, source=HANDBOOK)
        assert out(chart) == []

    def test_the_handbook_with_limits_that_widen(self) -> None:
        chart = ewma(column("handbook-ewma.csv"), target=50, sigma=2.0539, weight=0.3, width=3)
        got = [chart.points[index - 1].upper for index in (1, 2, 5)]
        check("ewma chart", got, [51.84851, 52.256394, 52.551611], abs=1e-5, source=BY_HAND)

    def test_the_textbook_case(self) -> None:
        values = column("textbook-cusum-ewma-30.csv")
        chart = ewma(values, target=10, sigma=1, weight=0.1, width=2.7)
        z = {point.index: point.statistic for point in chart.points}
        want = {1: 9.945, 2: 9.7495, 3: 9.70355, 28: 10.57314, 29: 10.64682, 30: 10.63414}
        check("ewma chart", z, want, abs=1e-4, source=TEXTBOOK)
        first, second = chart.points[:2]
        got = [first.lower, first.upper, second.lower, second.upper, chart.upper]
        limits = [9.73, 10.27, 9.636752, 10.363248, 10.619422]
        check("ewma chart", got, limits, abs=1e-6, source=BY_HAND)
        assert out(chart) == [29, 30]


class TestCumulativeSums:
    HANDBOOK_UPPER = {
        13: 3.0075,
        14: 4.94,
        15: 7.4475,
        16: 10.63,
        17: 11.9875,
        18: 14.445,
        19: 16.0025,
        20: 19.035,
    }
    HANDBOOK_LOWER = {4: 0.3325, 7: 0.5575, 8: 0.715, 11: 0.3125}
    TEXTBOOK_UPPER = {
        4: 1.16,
        5: 2.82,
        6: 2.50,
        7: 0.04,
        8: 1.00,
        20: 0.34,
        22: 0.0,
        24: 2.79,
        28: 4.47,
        29: 5.28,
        30: 5.30,
    }
    TEXTBOOK_LOWER = {1: 0.05, 2: 1.56, 3: 1.77, 7: 1.46, 9: 0.30, 19: 0.98}

    @staticmethod
    def sums(chart: Chart, side: int) -> dict[int, float]:
        return {point.index: point.sums[side] for point in chart.points if point.sums}

    def test_the_handbook_case(self) -> None:
        chart = cusum(column("handbook-cusum.csv"), target=325, k=0.3175, h=4.1959)
        check("cusum chart", self.sums(chart, 0), self.HANDBOOK_UPPER, abs=1e-6, source=HANDBOOK)
        check("cusum chart", self.sums(chart, 1), self.HANDBOOK_LOWER, abs=1e-6, source=HANDBOOK)
        assert [(s.index, s.rule) for s in chart.signals] == [(i, "C+") for i in range(14, 21)]

    @pytest.mark.parametrize("sigma", [None, 1.0], ids=["own units", "sigmas"])
    def test_the_textbook_case(self, sigma: float | None) -> None:
        values = column("textbook-cusum-ewma-30.csv")
        chart = cusum(values, target=10, sigma=sigma, k=0.5, h=5)
        check("cusum chart", self.sums(chart, 0), self.TEXTBOOK_UPPER, abs=1e-9, source=TEXTBOOK)
        check("cusum chart", self.sums(chart, 1), self.TEXTBOOK_LOWER, abs=1e-9, source=TEXTBOOK)
        assert out(chart) == [29, 30]
        assert "about point 23" in chart.signals[0].sentence


class TestShortRuns:
    TARGETS = (500, 500, 1200, 1200, 500, 250)
    MEASURED = (504, 498, 1206, 1199, 501, 247)

    def test_deviations_share_one_chart(self) -> None:
        chart = individuals([m - t for m, t in zip(self.MEASURED, self.TARGETS, strict=True)])
        assert [p.statistic for p in chart.points] == [4, -2, 6, -1, 1, -3]
        got = [
            chart.centre,
            chart.lower,
            chart.upper,
            ranges_of(chart).centre,
            ranges_of(chart).upper,
        ]
        want = [0.833333, -13.528369, 15.195035, 5.4, 17.6418]
        check("short-run chart", got, want, abs=1e-5, source=SHORT_RUN)
