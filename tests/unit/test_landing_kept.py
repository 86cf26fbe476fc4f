"""Thresholds and signs of landing, each at its edge: a mutant of any would live without these.

Where only a few numbers of a reach matter, it is given as those numbers.
"""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any, cast

import pytest

from benchmate.landing.adjusting.adjustment import PieceChange, _change, _fewest, worth_it
from benchmate.landing.adjusting.alternatives import DenserShot
from benchmate.landing.adjusting.matching import Adjustment, NotReachable, _is_astray, adjustment
from benchmate.landing.adjusting.reach import Reach, Slot, reach_of
from benchmate.landing.adjusting.reason import SAME_G, reason
from benchmate.landing.adjusting.saying import not_reachable_sentence
from benchmate.landing.course import CourseChange, LayerCourse, Weight
from benchmate.landing.follow import follow
from benchmate.landing.likely import Thresholds, judge, remedies_for
from benchmate.landing.outlook import course_plot, expected, last_chance
from benchmate.landing.pour import FILL as FILL_PLACE
from benchmate.landing.pour import (
    LINE,
    NEW_LINE,
    SCATTER,
    SHOT,
    VOID,
    amounts,
    to_the_line,
)
from benchmate.landing.pour import RESIN as RESIN_PLACE
from benchmate.landing.question import DoubtAsked, Twin, WeightQuestion, question
from benchmate.landing.verdict import Verdict, simple_verdict
from benchmate.landing.will_weigh import all_will_weigh, will_weigh
from benchmate.landing.words import grams, light_or_heavy
from benchmate.reckon.weight.conformity import probability_inside
from benchmate.reckon.weight.weighing import Scale, combine, net_terms
from tests.unit.landing_help import FILL, GAIN_G, LEATHER, SHOT_G, bookend, layer, poured
from tests.unit.test_landing_adjustment import roomy


def slot(up_g: float = 10.0, down_g: float = 100.0, by: str = "line") -> Any:
    return SimpleNamespace(up_g=up_g, down_g=down_g, layer=SimpleNamespace(by=by))


def reach(*slots: Any, **more: Any) -> Reach:
    """A reach as far as these tests need one: heading for 900 g ± 1 g, up to 930 g."""
    numbers: dict[str, Any] = {
        "slots": slots,
        "will_weigh": Weight(900.0, 1.0),
        "high_g": 930.0,
        "low_g": 600.0,
        "land_u_g": 1.0,
        "fill_u_g": 1.5,
        "moves_g": 0.0,
    }
    return cast(Reach, SimpleNamespace(**numbers | more))


class TestWorthOffering:
    @pytest.mark.parametrize(
        ("wanted_g", "division_g", "worth"),
        [(1.5, 1.0, False), (1.51, 1.0, True), (-1.51, 1.0, True), (2.0, 2.0, False)],
    )
    def test_is_more_than_the_doubt_and_the_division(
        self, wanted_g: float, division_g: float, *, worth: bool
    ) -> None:
        for by in ("line", "weight"):
            assert worth_it(reach(slot(by=by)), wanted_g, division_g) is worth

    def test_is_a_last_layer_to_the_line_that_would_lose_what_is_right(self) -> None:
        last = slot(by="line")
        assert not worth_it(reach(last, fill_u_g=0.1), 0.0, 0.1)
        doubtful = {"will_weigh": Weight(900.0, 2.5), "land_u_g": 1.5}  # by the line: 2.0
        assert worth_it(reach(last, fill_u_g=1.9, **doubtful), 0.0, 0.1)
        assert not worth_it(reach(last, fill_u_g=2.0, **doubtful), 0.0, 0.1)

    def test_is_nothing_without_a_layer_to_come(self) -> None:
        assert not worth_it(reach(), 50.0, 1.0)

    @pytest.mark.parametrize(("moves_g", "worth"), [(4.9, True), (5.0, False)])
    def test_is_more_than_the_weighings_to_come_would_bring(
        self, moves_g: float, *, worth: bool
    ) -> None:
        assert worth_it(reach(slot(), slot(), moves_g=moves_g), -5.0, 1.0) is worth


class TestTheFewestLayers:
    """Three layers, 10 g of room up in each of 30 g, 100 g down."""

    THREE = (slot(), slot(), slot())

    @pytest.mark.parametrize(
        ("wanted_g", "moves_g", "layers"),
        [
            (10.0, 0.0, 1),
            (10.1, 0.0, 2),
            (20.0, 0.0, 2),
            (20.1, 0.0, 3),
            (8.0, 1.0, 1),
            (8.1, 1.0, 2),
            (-100.0, 0.0, 1),
            (-100.1, 0.0, 2),
            (-95.0, 5.0, 1),
            (-95.0, 5.1, 2),
            (-250.0, 0.0, 3),
        ],
    )
    def test_that_have_the_room(self, wanted_g: float, moves_g: float, layers: int) -> None:
        found = _fewest(reach(*self.THREE, moves_g=moves_g), wanted_g)
        assert len(found) == layers


class TestALayersChange:
    def slot(self, **more: Any) -> Slot:
        one = replace(layer(3, by="weight"), shot_g=120.0, address="t/A/b/pour#3")
        return replace(Slot(2, one, 120.0, 124.0, 130.0, 0.86), **more)

    @pytest.mark.parametrize(
        ("shot_g", "planned_g", "new_g"),
        [
            (120.0, 120.0, None),
            (121.0, 120.52, None),
            (121.0, 120.49, 121.0),
            (119.0, 120.0, 119.0),
        ],
    )
    def test_is_none_within_half_a_division(
        self, shot_g: float, planned_g: float, new_g: float | None
    ) -> None:
        one = self.slot()
        found = _change(replace(one, layer=replace(one.layer, shot_g=planned_g)), shot_g, 1.0)
        assert (None if found is None else found.new_shot_g) == new_g

    @pytest.mark.parametrize(("loose_g", "tapped"), [(124.52, False), (124.49, True)])
    def test_is_tapped_from_half_a_division_over_loose_on(
        self, loose_g: float, *, tapped: bool
    ) -> None:
        found = _change(self.slot(loose_g=loose_g), 125.0, 1.0)
        assert found is not None
        assert found.tapped is tapped
        assert found.address == "t/A/b/pour#3"


class TestASet:
    def test_of_one_goes_for_its_own_target_though_it_is_to_match(self) -> None:
        course = poured(roomy(tolerance_g=5.0), GAIN_G - 4.0, GAIN_G, GAIN_G - 4.0)
        alone, matched = adjustment([course], 1.0), adjustment([course], 1.0, match_g=5.0)
        assert isinstance(alone, Adjustment)
        assert isinstance(matched, Adjustment)
        assert matched.pieces == alone.pieces

    def test_can_not_land_where_one_of_it_can_not(self) -> None:
        fine = poured(roomy("A"), GAIN_G, GAIN_G, GAIN_G)
        far = poured(roomy("B", target_g=990.0), GAIN_G, GAIN_G, GAIN_G)
        found = adjustment([fine, far], 1.0)
        assert isinstance(found, NotReachable)
        assert found.short_g[0] == 0.0
        assert found.short_g[1] < -9.5

    @pytest.mark.parametrize(("g_cm3", "helps"), [(11.3, True), (7.8, False), (7.4, False)])
    def test_only_denser_shot_helps_a_light_piece(self, g_cm3: float, *, helps: bool) -> None:
        far = poured(roomy("B", target_g=990.0), GAIN_G, GAIN_G, GAIN_G)
        found = adjustment([far], 1.0, denser=[DenserShot("other shot", g_cm3)])
        assert isinstance(found, NotReachable)
        assert any(a.kind == "denser shot" for a in found.alternatives) is helps

    @pytest.mark.parametrize(
        ("target_g", "tolerance_g", "astray"),
        [(900.0, 5.0, False), (1000.0, 20.0, False), (1000.0, 19.9, False), (None, 5.0, False)],
    )
    def test_a_piece_near_its_target_is_not_astray(
        self, target_g: float | None, tolerance_g: float, *, astray: bool
    ) -> None:
        course = SimpleNamespace(target_g=target_g, tolerance_g=tolerance_g)
        assert _is_astray(reach(course=course)) is astray


def test_two_layers_to_come_still_move_what_it_will_weigh() -> None:
    three, two, one = (reach_of(follow(poured(bookend(), *[GAIN_G] * n))) for n in (1, 2, 3))
    assert three.moves_g > two.moves_g > 0.0
    assert one.moves_g == 0.0
    assert len(two.slots) == 2


class TestWhy:
    def said(self, aim_g: float, division_g: float, *targets: float | None) -> str:
        reaches = [
            reach(
                slot(),
                course=SimpleNamespace(piece=name, target_g=target_g, tolerance_g=8.0),
            )
            for name, target_g in zip("AB", targets, strict=True)
        ]
        change = cast(Any, SimpleNamespace(new_shot_g=1.0))
        pieces = [PieceChange(name, (change,), 900.0, Weight(905.0, 1.0)) for name in "AB"]
        return reason(reaches, pieces, aim_g, division_g, grams)

    @pytest.mark.parametrize(
        ("off_g", "division_g", "planned"),
        [
            (SAME_G - 0.01, 0.1, True),
            (SAME_G, 0.1, False),
            (1.99, 2.0, True),
            (2.0, 2.0, False),
        ],
    )
    def test_near_the_target_it_is_called_the_plan(
        self, off_g: float, division_g: float, *, planned: bool
    ) -> None:
        words = self.said(910.0 - off_g, division_g, 910.0, 910.0)
        assert ("smallest correction" not in words) is planned

    def test_a_common_weight_is_held_against_the_first_pieces_target(self) -> None:
        assert self.said(905.0, 0.1, None, 910.0).endswith("between what they are heading for")
        assert self.said(905.0, 0.1, 910.0, None).endswith("well inside 910 g ± 8 g")

    @pytest.mark.parametrize(
        ("aim_g", "says"),
        [
            (930.0, "the most that A can be brought to"),
            (929.5, "the most that A can be brought to"),
            (929.4, "the smallest correction"),
        ],
    )
    def test_the_end_of_the_reach_is_named(self, aim_g: float, says: str) -> None:
        assert says in self.said(aim_g, 0.1, 950.0, 950.0)

    @pytest.mark.parametrize(
        ("aim_g", "says"),
        [
            (600.0, "the least that A can be brought to"),
            (600.5, "the least that A can be brought to"),
            (600.6, "the smallest correction"),
        ],
    )
    def test_and_its_other_end(self, aim_g: float, says: str) -> None:
        assert says in self.said(aim_g, 0.1, 500.0, 500.0)


def test_taking_what_is_offered_lands_where_it_says() -> None:
    course = poured(roomy(tolerance_g=5.0), GAIN_G - 4.0, GAIN_G, GAIN_G - 4.0)
    found = adjustment([course], 1.0)
    assert isinstance(found, Adjustment)
    stage = course.stages[3]
    assert isinstance(stage, LayerCourse)
    assert stage.shot_g < SHOT_G
    assert will_weigh(course).mass_g < found.pieces[0].lands.g


class TestWhatIsSaidOfAPairThatCanNotLand:
    def said(self, *missed: float) -> str:
        reaches = [
            reach(course=SimpleNamespace(piece=n, target_g=900.0, tolerance_g=5.0)) for n in "AB"
        ]
        pieces = [
            PieceChange(n, (), 900.0, Weight(900.0 + off, 1.0))
            for n, off in zip("AB", missed, strict=True)
        ]
        return not_reachable_sentence(reaches, pieces, missed, 20.0, 1.0, grams)

    def test_both_are_off_together(self) -> None:
        assert self.said(8.0, 12.0).startswith("The pair can match at 910 g, 12.0 g heavy")

    def test_one_of_it_is_off_alone(self) -> None:
        assert self.said(0.0, 12.0).startswith("B can be brought to 912.0 g")


class TestMoisture:
    @pytest.mark.parametrize(("own_pct", "wood_g", "u_g"), [(1.0, 420.0, 4.2), (2.0, 300.0, 6.0)])
    def test_of_its_own_is_a_share_of_the_wood(
        self, own_pct: float, wood_g: float, u_g: float
    ) -> None:
        dry = replace(bookend(), moisture_u_pct=0.0, wood_g=wood_g)
        wet = replace(dry, moisture_own_u_pct=own_pct)
        more = will_weigh(wet).u_g ** 2 - will_weigh(dry).u_g ** 2
        assert more == pytest.approx(u_g**2)

    def test_of_the_shop_moves_all_pieces_alike(self) -> None:
        shared = will_weigh(replace(bookend(), moisture_u_pct=1.0)).shared
        assert shared["moisture"] == pytest.approx(4.2)


class TestPoolingWhatTheShotIs:
    def test_one_piece_alone_is_taught_by_nobody(self) -> None:
        course = poured(bookend("A"), GAIN_G - 6.0, GAIN_G - 6.0)
        (together,) = all_will_weigh([course])
        assert together == will_weigh(course)

    def test_two_pieces_of_one_shot_teach_each_other(self) -> None:
        light, new = poured(bookend("A"), GAIN_G - 8.0, GAIN_G - 8.0), bookend("B")
        alone = will_weigh(new).mass_g
        assert all_will_weigh([light, new])[1].mass_g < alone - 5.0

    def test_where_the_shot_is_known_for_sure_there_is_nothing_to_teach(self) -> None:
        sure = replace(FILL, packing=replace(FILL.packing, shot_u=0.0))
        light, new = (bookend(n, *(layer(i, fill=sure) for i in range(1, 5))) for n in "AB")
        light = poured(light, GAIN_G - 8.0, GAIN_G - 8.0)
        assert all_will_weigh([light, new])[1].mass_g == pytest.approx(will_weigh(new).mass_g)


class TestVerdictsAtTheirLimits:
    def test_out_is_called_at_the_threshold_itself(self) -> None:
        p = probability_inside(5.0, 1.0, None, 4.0)
        rules = Thresholds(inside=0.95, outside=p)
        assert judge(105.0, 1.0, 100.0, 4.0, thresholds=rules).verdict is Verdict.OFF_PLAN
        stricter = Thresholds(inside=0.95, outside=p * 0.999)
        assert judge(105.0, 1.0, 100.0, 4.0, thresholds=stricter).verdict is Verdict.CANT_TELL

    def test_in_is_called_at_the_threshold_itself(self) -> None:
        p = probability_inside(1.0, 1.0, -4.0, 4.0)
        assert judge(101.0, 1.0, 100.0, 4.0, thresholds=Thresholds(p)).verdict is Verdict.ON_PLAN
        above = Thresholds(p * 1.0001)
        assert judge(101.0, 1.0, 100.0, 4.0, thresholds=above).verdict is Verdict.NEAR_THE_EDGE

    def test_what_would_settle_it_is_three_readings_or_one_on_a_finer_scale(self) -> None:
        mine, finer = Scale(1.0, 0.5, 10, 1.0), Scale(0.1, 0.2, 10, 0.2)
        thrice, other = remedies_for(mine, {"fine": finer})
        assert thrice.u_g == combine(net_terms(mine, 3, 3)).u
        assert (other.words, other.u_g) == ("The fine", combine(net_terms(finer, 1, 1)).u)

    @pytest.mark.parametrize(
        ("off_g", "division_g", "verdict"),
        [
            (4.0, 1.0, Verdict.ON_PLAN),
            (4.01, 1.0, Verdict.NEAR_THE_EDGE),
            (6.0, 1.0, Verdict.NEAR_THE_EDGE),
            (6.01, 1.0, Verdict.OFF_PLAN),
            (5.0, 6.0, Verdict.NEAR_THE_EDGE),
            (0.0, 6.5, Verdict.CANT_TELL),
            (12.5, 6.5, Verdict.CANT_TELL),
            (12.51, 6.5, Verdict.OFF_PLAN),
        ],
    )
    def test_by_the_reading_alone(self, off_g: float, division_g: float, verdict: Verdict) -> None:
        for value_g in (100.0 + off_g, 100.0 - off_g):
            assert simple_verdict(value_g, 100.0, 6.0, division_g).verdict is verdict

    @pytest.mark.parametrize(
        ("tolerance_g", "division"),
        [(3.0, "1 g"), (2.9, "0.5 g"), (6.0, "2 g"), (15.0, "5 g"), (0.3, "0.1 g"), (0.6, "0.2 g")],
    )
    def test_a_scale_is_named_that_sees_a_third_of_the_tolerance(
        self, tolerance_g: float, division: str
    ) -> None:
        found = simple_verdict(100.0, 100.0, tolerance_g, 2.0 * tolerance_g)
        assert f"use one that shows {division}, or" in found.lines[1]


class TestTheLastChance:
    def test_is_the_last_layer_and_then_it_only_loses(self) -> None:
        found = last_chance(poured(bookend(), GAIN_G, GAIN_G))
        assert found is not None
        assert (found.stage, found.is_next, found.takes_only) == ("layer 4", False, False)
        assert found.sentence.endswith("then it only loses.")
        later = last_chance(poured(bookend(), GAIN_G, GAIN_G, GAIN_G))
        assert later is not None
        assert later.is_next

    def test_is_taking_off_once_the_fill_is_done(self) -> None:
        found = last_chance(poured(bookend(), *[GAIN_G] * 4))
        assert found is not None
        assert (found.stage, found.is_next, found.takes_only) == ("sanding", True, True)

    def test_is_over_where_nothing_can_change(self) -> None:
        fixed = poured(bookend(later=(LEATHER,)), *[GAIN_G] * 4)
        assert last_chance(fixed) is None

    def test_ends_as_it_is_where_nothing_comes_off(self) -> None:
        found = last_chance(bookend(later=(LEATHER,)))
        assert found is not None
        assert found.sentence.endswith("then it stays as it is.")

    def test_a_step_that_changes_nothing_can_still_add(self) -> None:
        even = CourseChange("trim", 0.0, 1.0, adjustable=True)
        found = last_chance(poured(bookend(later=(even,)), *[GAIN_G] * 4))
        assert found is not None
        assert not found.takes_only


def test_what_a_stage_should_weigh_and_the_piece_after_it() -> None:
    course = poured(bookend(), GAIN_G)
    found = expected(course, 2)
    assert found.gain.g == pytest.approx(GAIN_G, abs=1e-6)
    assert found.whole.g == pytest.approx(420.0 + 3 * GAIN_G, abs=0.5)
    assert found.whole.u_g > found.gain.u_g
    with pytest.raises(ValueError, match="layer 1 is done"):
        expected(course, 0)


def test_the_drawn_course_runs_from_the_planned_blank_to_the_finish() -> None:
    course = replace(poured(bookend(), GAIN_G), blank_plan_g=415.0)
    plot = course_plot(course)
    assert plot.plan[:3] == pytest.approx((415.0, 415.0 + GAIN_G, 415.0 + 2 * GAIN_G))
    assert plot.records[:3] == (420.0, 420.0 + GAIN_G, None)
    assert plot.kind[:3] == ("done", "done", "to come")
    wide = plot.high[2] - plot.middle[2]
    assert wide == pytest.approx(1.959964 * expected(course, 1).whole.u_g, rel=1e-6)
    assert plot.middle[2] - plot.low[2] == pytest.approx(wide)


class TestAmounts:
    """By hand, of a layer of 27 ml: shot at 7.8 g/cm³, resin at 1.1."""

    def test_to_the_line_packing_drives_out_resin(self) -> None:
        found = to_the_line(layer(1))
        assert (found.shot_g, found.resin_g) == pytest.approx((27 * 0.6 * 7.8, 27 * 0.4 * 1.1))
        assert found.gain[SHOT] == found.gain[FILL_PLACE] == pytest.approx(27 * 6.7)
        assert found.gain[RESIN_PLACE] == pytest.approx(27 * 0.4 * 1.1)
        per_ml = 0.6 * 7.8 + 0.4 * 1.1
        assert found.gain[NEW_LINE] == pytest.approx(per_ml) == -found.gain[LINE]
        assert found.gain[VOID] == pytest.approx(27 * per_ml)

    def test_weighed_out_only_the_resin_follows_the_room(self) -> None:
        found = amounts(layer(1, by="weight"))
        assert found.shot == {SCATTER: 1.0}
        assert found.gain[SCATTER] == pytest.approx(1.0 - 1.1 / 7.8)
        assert found.gain[RESIN_PLACE] == pytest.approx(1.1 * 27 * 0.4)
        assert found.gain[NEW_LINE] == pytest.approx(1.1) == -found.gain[LINE]


class TestAQuestion:
    """100 g expected ± 1 g, read to nothing: a spread of 1 g."""

    def asked(self, value_g: float, **more: Any) -> WeightQuestion | None:
        numbers: dict[str, Any] = {
            "kind": "gain",
            "piece": "B",
            "expected_g": 100.0,
            "expected_u_g": 1.0,
            "u_g": 0.0,
        }
        return question(value_g, DoubtAsked(**numbers | more))

    @pytest.mark.parametrize("off_g", [10.0, -10.0])
    def test_is_asked_out_of_reach_only(self, off_g: float) -> None:
        assert self.asked(100.0 + off_g) is None
        found = self.asked(100.0 + 1.01 * off_g)
        assert found is not None
        assert (found.slip, found.suggested_g, found.impossible) == ("unknown", None, False)

    @pytest.mark.parametrize(("tare_g", "slip"), [(6.9, "tare forgotten"), (4.0, None)])
    def test_needs_five_spreads_and_a_slip_that_comes_back_within_two(
        self, tare_g: float, slip: str | None
    ) -> None:
        assert self.asked(105.0, tare_g=5.0) is None
        found = self.asked(106.0, tare_g=tare_g)
        # Undone, 106 g less 4 g are two spreads off: no nearer than chance.
        assert (found.slip if found else None) == slip

    @pytest.mark.parametrize(("value_g", "asked"), [(-2.9, False), (-3.1, True)])
    def test_less_than_nothing_goes_in_only_within_the_readings_doubt(
        self, value_g: float, *, asked: bool
    ) -> None:
        found = self.asked(value_g, expected_g=0.0, expected_u_g=5.0, u_g=1.0)
        assert (found is not None and found.impossible) is asked

    @pytest.mark.parametrize(("value_g", "impossible"), [(0.1, False), (0.0, True)])
    def test_a_whole_piece_weighs_something(self, value_g: float, *, impossible: bool) -> None:
        found = self.asked(value_g, kind="whole")
        assert found is not None
        assert found.impossible is impossible

    @pytest.mark.parametrize(("value_g", "impossible"), [(81.0, False), (81.6, True)])
    def test_no_more_goes_in_than_solid_metal(self, value_g: float, *, impossible: bool) -> None:
        # 10 ml ± 1.5 %: 10 · 1.045 · 7.8 = 81.51 g.
        found = self.asked(value_g, void_ml=10.0, metal_g_cm3=7.8)
        assert found is not None
        assert found.impossible is impossible

    @pytest.mark.parametrize(
        ("value_g", "unit", "slip", "suggested_g"),
        [
            (3.527396, "g", "ounces for grams", 100.0),
            (2834.952, "oz", "grams for ounces", 100.0),
            (10.0, "g", "decimal point", 100.0),
            (1000.0, "g", "decimal point", 100.0),
            (1.0, "g", "decimal point", 100.0),
            (10000.0, "g", "decimal point", 100.0),
        ],
    )
    def test_each_slip_undone_is_what_was_expected(
        self, value_g: float, unit: str, slip: str, suggested_g: float
    ) -> None:
        found = self.asked(value_g, unit=unit)
        assert found is not None
        assert found.slip == slip
        assert found.suggested_g == pytest.approx(suggested_g, abs=1e-3)

    @pytest.mark.parametrize(
        ("value_g", "u_g", "slip"),
        [
            (450.0, 1.0, "one digit"),
            (450.9, 1.0, "one digit"),
            (451.1, 1.0, None),
            (450.0, 10.1, None),
            (1450.0, 1.0, "one digit"),
            (550.0, 1.0, None),
        ],
    )
    def test_a_digit_is_worth_ten_spreads_and_comes_within_one(
        self, value_g: float, u_g: float, slip: str | None
    ) -> None:
        found = self.asked(value_g, expected_g=550.0, expected_u_g=u_g)
        assert (found.slip if found and found.slip != "unknown" else None) == slip

    @pytest.mark.parametrize(
        ("kind", "value_g", "before_g", "slip"),
        [
            ("gain", 540.0, 440.0, "whole for gain"),
            ("whole", 60.0, 40.0, "gain for whole"),
            ("gain", -100.0, None, "before and after swapped"),
        ],
    )
    def test_the_piece_for_the_gain_and_the_gain_for_the_piece(
        self, kind: str, value_g: float, before_g: float | None, slip: str
    ) -> None:
        found = self.asked(value_g, kind=kind, before_g=before_g)
        assert found is not None
        assert (found.slip, found.suggested_g) == (slip, 100.0)

    @pytest.mark.parametrize(
        ("read_g", "slip"), [(None, "other piece"), (101.9, "other piece"), (102.1, None)]
    )
    def test_a_twin_owns_it_when_its_own_reading_belongs_here(
        self, read_g: float | None, slip: str | None
    ) -> None:
        twin = Twin("A", 109.0, 1.0, read_g, "t/A/all/w#1")
        found = self.asked(109.5, twins=(twin,))
        assert (found.slip if found else None) == slip
        if found is not None:
            assert (found.other, found.suggested_g) == ("t/A/all/w#1", read_g)


class TestWhatPiecesShare:
    def test_the_shots_packing_by_what_a_share_of_it_weighs(self) -> None:
        found = will_weigh(bookend()).shared
        slope = 4 * 27.0 * (7.8 - 1.1)
        assert found[f"shot {FILL.shot}"] == pytest.approx(slope * FILL.packing.shot_u)
        assert found["moisture"] == pytest.approx(420.0 * 0.6 / 100.0)

    def test_nothing_of_ones_own_and_nothing_that_is_nothing(self) -> None:
        sure = replace(FILL, packing=replace(FILL.packing, shot_u=0.0))
        course = bookend("B", *(layer(n, fill=sure) for n in range(1, 5)))
        found = will_weigh(replace(course, moisture_u_pct=0.0, moisture_own_u_pct=1.0)).shared
        assert set(found) == {"scale scale"}

    def test_without_a_fill_there_is_no_shot_to_share(self) -> None:
        course = replace(bookend(), stages=(LEATHER,))
        assert set(will_weigh(course).shared) == {"moisture", "scale scale"}

    @pytest.mark.parametrize("u_g", [0.05, 5.0])
    def test_the_shares_of_the_doubt_make_a_whole(self, u_g: float) -> None:
        felt = CourseChange("felt", 8.0, u_g)
        course = replace(
            bookend(), blank=Weight(420.0, u_g), stages=(felt,), moisture_u_pct=0.0, scale_u_g=0.0
        )
        found = will_weigh(course)
        assert found.u_g == pytest.approx(u_g * 2**0.5)
        assert [part.share for part in found.contributions] == pytest.approx([0.5, 0.5])


@pytest.mark.parametrize(
    ("off_g", "step_g", "says"),
    [(0.49, 1.0, "spot on"), (-0.049, 0.1, "spot on"), (-0.6, 1.0, "1 g light")],
)
def test_less_than_half_a_step_is_right_on_it(off_g: float, step_g: float, says: str) -> None:
    assert light_or_heavy(off_g, step_g, grams) == says
