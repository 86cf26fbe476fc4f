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
from benchmate.landing.course import Layer, Weight
from benchmate.landing.follow import follow
from benchmate.landing.will_weigh import will_weigh
from benchmate.landing.words import grams
from tests.unit.landing_help import GAIN_G, SHOT_G, bookend, layer, poured
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
        course = poured(roomy(), GAIN_G - 4.0, GAIN_G, GAIN_G - 4.0)
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
        assert words.startswith("to bring the pair to the 910 g planned") is planned

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
    course = poured(roomy(), GAIN_G - 4.0, GAIN_G, GAIN_G - 4.0)
    found = adjustment([course], 1.0)
    assert isinstance(found, Adjustment)
    stage = course.stages[3]
    assert isinstance(stage, Layer)
    assert stage.shot_g < SHOT_G
    assert will_weigh(course).mass_g < found.pieces[0].lands.g
