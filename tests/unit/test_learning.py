"""What past jobs teach: how far a value moves, what is offered, what is said of two ways."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.learning.compare import Outcome, Words, compare
from benchmate.learning.offer import Offer, offer
from benchmate.learning.settle import Told, settle
from benchmate.learning.side_by_side import JobSummary, PieceSummary, side_by_side
from benchmate.learning.values import Driven, Measure, Observed, PlanValue, show_value

numbers = st.floats(-1e6, 1e6)
spreads = st.floats(1e-3, 1e4)
seen = st.lists(numbers, min_size=1, max_size=12)

PACKING = PlanValue(
    "packing/steel 2 mm",
    "packing of steel shot 2 mm",
    0.60,
    0.02,
    Measure.SHARE,
    driven=Driven("the shot of a layer", 127.0),
)
CUP = PlanValue("cup/slow casting epoxy", "resin left in the cup", 4.0, 2.0, Measure.MASS)


def observed(value: PlanValue, *values: float) -> list[Observed]:
    return [Observed(value.key, f"job {i}", found) for i, found in enumerate(values)]


def told(*values: float) -> list[Told]:
    return [Told(f"job {i}", value) for i, value in enumerate(values)]


class TestSettling:
    @given(seen)
    def test_the_mean_lies_among_the_jobs_and_inside_its_interval(self, found: list[float]) -> None:
        got = settle(told(*found))
        near = 1e-6 * (1.0 + max(abs(value) for value in found))
        assert min(found) - near <= got.value <= max(found) + near
        assert got.n + len(got.odd) <= len(found)
        if got.low is not None and got.high is not None:
            assert got.low <= got.value <= got.high

    def test_one_job_says_nothing_of_a_spread(self) -> None:
        got = settle(told(0.6))
        assert (got.value, got.n, got.spread, got.low, got.u) == (0.6, 1, None, None, None)

    def test_a_slip_is_set_apart_by_name_and_bends_nothing(self) -> None:
        got = settle(told(1.9, 2.1, 1.8, 19.2, 2.0, 2.2), floor=0.3)
        assert [one.job for one in got.odd] == ["job 3"]
        assert got.value == pytest.approx(2.0)
        assert got.n == 5

    def test_of_three_none_is_odd_without_a_floor(self) -> None:
        assert settle(told(1.0, 1.01, 2.0)).odd == ()

    def test_a_changed_shop_is_noticed_within_four_jobs_and_only_it_counts(self) -> None:
        before = (8.1, 7.6, 8.4, 7.9, 8.2, 7.7, 8.0, 8.3)
        after = (11.2, 10.7, 11.1, 10.9)
        noticed = [settle(told(*before, *after[:n])).since for n in range(1, 5)]
        assert noticed[0] is None
        assert "job 8" in noticed
        got = settle(told(*before, *after), floor=0.5)
        assert (got.since, got.n) == ("job 8", 4)
        assert got.value == pytest.approx(10.975)

    @pytest.mark.parametrize("bad", [float("nan"), float("inf"), 1e301])
    def test_what_is_no_number_is_refused(self, bad: float) -> None:
        with pytest.raises(ValueError):
            settle(told(1.0, bad))


class TestOffering:
    def test_a_clear_change_is_offered_with_what_it_would_do(self) -> None:
        found = offer([PACKING, CUP], observed(PACKING, 0.57, 0.572, 0.568, 0.571, 0.569))
        assert [(o.key, o.old, o.new, o.n) for o in found] == [(PACKING.key, 0.60, 0.57, 5)]
        assert found[0].effect == (
            "The shot of a layer would be planned as 120.7 g instead of 127 g."
        )

    def test_a_value_that_drives_nothing_says_itself(self) -> None:
        found = offer([CUP], observed(CUP, 9.0, 9.5, 8.5, 9.2, 9.1, 8.9))
        assert found[0].effect == "Resin left in the cup would be planned as 9 g instead of 4 g."

    @pytest.mark.parametrize(
        ("value", "records"),
        [
            (PACKING, ()),
            (PACKING, (0.50,)),
            (PACKING, (0.57, 0.63, 0.55, 0.62)),
            (PACKING, (0.601, 0.601, 0.601, 0.601)),
            (CUP, (4.3, 4.2, 4.1, 4.2)),
            (CUP, (3.0, 7.5)),
        ],
        ids=["no job", "one job", "noise", "below the grain", "small change", "two that differ"],
    )
    def test_no_nagging(self, value: PlanValue, records: tuple[float, ...]) -> None:
        assert offer([value], observed(value, *records)) == []

    def test_layers_of_one_job_count_as_one_job(self) -> None:
        layers = [Observed(PACKING.key, "job 1", 0.55) for _ in range(20)]
        assert offer([PACKING], layers) == []
        more = [Observed(PACKING.key, f"job {n}", 0.52) for n in range(2, 6) for _ in range(20)]
        assert [o.n for o in offer([PACKING], [*layers, *more])] == [5]

    def test_records_of_what_is_not_planned_are_passed_over(self) -> None:
        assert offer([PACKING], observed(CUP, 9.0, 9.0, 9.0)) == []

    @given(st.lists(st.floats(0.4, 0.75), max_size=10))
    def test_an_offer_changes_more_than_its_own_noise(self, found: list[float]) -> None:
        for one in offer([PACKING], observed(PACKING, *found)):
            assert isinstance(one, Offer)
            assert abs(one.new - one.old) > 1.95 * one.u - 0.005
            assert abs(one.new - one.old) >= 0.005 * (1 - 1e-9)
            assert 3 <= one.n <= len(found)

    @pytest.mark.parametrize(
        ("value", "measure", "shown"),
        [
            (0.585, Measure.SHARE, "0.585"),
            (12.5, Measure.MASS, "12.5 g"),
            (180.0, Measure.SPREAD_RATE, "180 g/m²"),
            (1500.0, Measure.DURATION, "25 min"),
        ],
    )
    def test_each_kind_is_shown_in_its_own_unit(
        self, value: float, measure: Measure, shown: str
    ) -> None:
        assert show_value(value, measure) == shown


class TestComparing:
    SHOTS = Words("fine shot", "coarse shot", "g")

    def test_a_clear_difference_is_said_with_its_interval(self) -> None:
        got = compare([118, 120, 119, 121], [126, 128, 127, 125], words=self.SHOTS)
        assert got.outcome is Outcome.DIFFER
        assert got.difference == pytest.approx(7.0)
        assert got.sentence == (
            "Coarse shot gives 7 g more than fine shot "
            "(with 95 % confidence between +4.77 and +9.23 g)."
        )

    @pytest.mark.parametrize(
        ("a", "b", "words"),
        [
            ([], [], "0 of fine shot and 0 of coarse shot"),
            ([1.0], [9.0], "at least 3 of each"),
            ([1.0, 2.0], [50.0, 51.0, 52.0], "at least 3 of each"),
            ([5.0, 5.0, 5.0], [6.0, 6.0, 6.0], "spread isn't known"),
            ([1.0, 9.0, 4.0], [2.0, 8.0, 7.0], "may be anywhere between"),
        ],
        ids=["none", "one", "two", "no spread", "noise"],
    )
    def test_too_few_to_say_when_so(self, a: list[float], b: list[float], words: str) -> None:
        got = compare(a, b, words=self.SHOTS)
        assert got.outcome is Outcome.TOO_FEW
        assert got.sentence.startswith("Too few to say: ")
        assert words in got.sentence

    def test_too_few_names_how_many_would_do(self) -> None:
        got = compare([1.0, 9.0, 4.0], [2.0, 8.0, 7.0], matters=4.0, words=self.SHOTS)
        assert got.needed is not None
        assert (
            f"about {got.needed} of each would most likely show a difference of 4 g."
            in got.sentence
        )
        far = compare([1.0, 9.0, 4.0], [2.0, 8.0, 7.0], matters=0.01)
        assert far.needed is None
        assert "about" not in far.sentence

    def test_many_alike_are_alike(self) -> None:
        got = compare([10.0, 10.2, 9.8, 10.1] * 4, [10.1, 10.0, 9.9, 10.2] * 4)
        assert got.outcome is Outcome.ALIKE
        assert got.sentence.startswith("No difference that matters")

    def test_a_sure_difference_too_small_to_matter_does_not_count(self) -> None:
        a, b = [10.0, 10.1, 9.9] * 6, [10.3, 10.4, 10.2] * 6
        assert compare(a, b).outcome is Outcome.DIFFER
        assert compare(a, b, matters=1.0).outcome is Outcome.ALIKE

    @given(st.lists(numbers, max_size=8), st.lists(numbers, max_size=8))
    def test_swapping_the_ways_only_turns_the_sign(self, a: list[float], b: list[float]) -> None:
        one, other = compare(a, b), compare(b, a)
        assert (one.outcome, one.needed) == (other.outcome, other.needed)
        if one.difference is not None:
            assert other.difference == -one.difference
        if one.lower is not None and one.upper is not None:
            assert (other.lower, other.upper) == pytest.approx((-one.upper, -one.lower))

    @pytest.mark.parametrize(
        "act",
        [
            lambda: compare([float("nan")], [1.0]),
            lambda: compare([1.0], [float("inf")]),
            lambda: compare([1.0], [1.0], matters=0.0),
        ],
    )
    def test_what_is_no_number_is_refused(self, act: Callable[[], object]) -> None:
        with pytest.raises(ValueError):
            act()


class TestSideBySide:
    @staticmethod
    def job(number: int, **more: object) -> JobSummary:
        start = 1_700_000_000.0 + number * 86_400.0
        return JobSummary(f"job {number}", "bookends", start, start + 7200.0, **more)  # type: ignore[arg-type]

    def test_the_last_five_stand_beside_each_other_oldest_first(self) -> None:
        jobs = [self.job(n) for n in (3, 1, 7, 2, 6, 5)]
        table = side_by_side(jobs, lambda s: f"day {int((s - 1_700_000_000) // 86_400)}")
        assert table.columns == ("job 2", "job 3", "job 5", "job 6", "job 7")
        rows = {row.name: row.cells for row in table.rows}
        assert rows["started"] == ("day 2", "day 3", "day 5", "day 6", "day 7")
        assert rows["took"] == ("2 h",) * 5

    def test_what_a_job_did_not_record_is_a_dash_and_what_none_did_is_left_out(self) -> None:
        a = PieceSummary("A", final_g=852.1, target_g=850.0, packing=0.601)
        jobs = [
            self.job(1, pieces=(a, PieceSummary("B")), left_in_cup_g=4.2, steps_s={"pour": 1500.0}),
            self.job(2, pieces=(PieceSummary("A", final_g=849.0),), outcome="a scratch"),
        ]
        table = side_by_side(jobs, str)
        rows = {row.name: row.cells for row in table.rows}
        assert rows["A, weight"] == ("852.1 g (+2.1 g)", "849 g")
        assert rows["A, packing"] == ("0.601", "–")
        assert rows["left in the cup"] == ("4.2 g", "–")
        assert rows["pour"] == ("25 min", "–")
        assert rows["how it turned out"] == ("–", "a scratch")
        assert not {"B, weight", "B, packing", "resin used"} & set(rows)

    def test_steps_stand_in_the_newest_jobs_order(self) -> None:
        jobs = [
            self.job(1, steps_s={"fill": 1.0, "old": 2.0}),
            self.job(2, steps_s={"cut": 3.0, "fill": 4.0}),
        ]
        names = [row.name for row in side_by_side(jobs, str).rows]
        assert names == ["started", "took", "cut", "fill", "old"]

    def test_a_job_of_unknown_start_counts_as_the_oldest(self) -> None:
        jobs = [JobSummary("old", "bookends"), *(self.job(n) for n in range(5))]
        assert "old" not in side_by_side(jobs, str).columns

    def test_no_jobs_make_an_empty_table(self) -> None:
        table = side_by_side([], str)
        assert (table.columns, table.rows) == ((), ())
