"""Thresholds and signs in what weights mean for a job, each at its edge: a mutant of any would live
without these."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import msgspec
import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.events.stored import ScaleDescribed
from benchmate.job.state.state import JobState
from benchmate.job.weights.adjustments import offer, take
from benchmate.job.weights.courses import SCATTER, courses, scale_of, trace
from benchmate.job.weights.drift import to_see
from benchmate.job.weights.shot_packing import (
    LINE_U,
    READ_U_G,
    SURE,
    TAPPED_GAIN,
    packing_when_full,
)
from benchmate.landing.adjusting.adjustment import LayerChange, PieceChange
from benchmate.landing.course import CourseChange, Weight
from benchmate.landing.course import LayerCourse as CourseLayer
from benchmate.plan.plan import Fill, Plan, Step, WeighPoint
from tests.tui.benches import POUR, Shop, filled_plan
from tests.unit.shop_of_tests import moment
from tests.unit.test_landing_two_voids import two_voids

BLANK = "t/{}/block/weigh#1"


def with_target(plan: Plan) -> Plan:
    """The pair is to weigh 556 ± 8 g each, and its blanks are weighed first."""
    pieces = tuple(msgspec.structs.replace(p, target_g=556.0, tolerance_g=8.0) for p in plan.pieces)
    blanks = tuple(
        Step(
            address=BLANK.format(p),
            do="Weigh the blank",
            act="weighed",
            piece=p,
            part="block",
            weigh=WeighPoint(kind="whole", plan_g=300.0, weighed="blank", what="blank"),
        )
        for p in "AB"
    )
    fills = tuple(
        msgspec.structs.replace(
            f, layers=tuple(msgspec.structs.replace(la, by_weight=True) for la in f.layers)
        )
        for f in plan.fills
    )
    return msgspec.structs.replace(plan, pieces=pieces, fills=fills, steps=(*blanks, *plan.steps))


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path).small(with_target(filled_plan()))


def job_of(shop: Shop) -> JobState:
    return shop.bench.shop.jobs["t"]


def weigh(shop: Shop, address: str, net_g: float, **split: float) -> None:
    shop.bench.do("t", cmd.Weigh(address=address, net_g=net_g, split=split, u_g=0.1))


class TestAnOffer:
    def test_waits_until_both_blanks_are_weighed(self, shop: Shop) -> None:
        weigh(shop, BLANK.format("A"), 270.0)
        assert offer(job_of(shop), {}) is None
        weigh(shop, BLANK.format("B"), 300.0)
        assert offer(job_of(shop), {}) is not None

    def test_is_none_once_nothing_is_left_to_pour(self, shop: Shop) -> None:
        for piece in "AB":
            weigh(shop, BLANK.format(piece), 270.0)
        shop.mix()
        for address in (POUR.format(p, n) for p in "AB" for n in (1, 2)):
            weigh(shop, address, 128.0)
        assert offer(job_of(shop), {}) is None

    def test_is_made_for_a_twin_that_is_still_poured_beside_a_full_one(self, shop: Shop) -> None:
        for piece, net_g in (("A", 300.0), ("B", 270.0)):
            weigh(shop, BLANK.format(piece), net_g)
        shop.mix()
        for n in (1, 2):
            weigh(shop, POUR.format("A", n), 128.0)
        assert offer(job_of(shop), {}) is not None

    def test_that_is_taken_has_its_layers_weighed_out(self, tmp_path: Path) -> None:
        job = Shop(tmp_path).small(filled_plan()).bench.shop.jobs["t"]
        assert job.plan is not None
        assert not any(la.by_weight for fill in job.plan.fills for la in fill.layers)
        change = LayerChange(0, "layer 1", 117.0, 124.0, 11.0, 10.0, address=POUR.format("A", 1))
        plan, _ = take(job, [PieceChange("bookend A", (change,), 540.0, Weight(556.0, 1.0))])
        weighed_out = [la.address for fill in plan.fills for la in fill.layers if la.by_weight]
        assert weighed_out == [POUR.format("A", 1)]
        step = next(s for s in plan.steps if s.address == POUR.format("A", 1))
        assert step.weigh is not None
        assert step.weigh.plan_g == 134.0
        assert [a.amount for a in step.amounts] == [124.0, 10.0]


class TestACourse:
    def first_layer(self, shop: Shop) -> CourseLayer:
        found = next(s for s in courses(job_of(shop), {})[0].stages if isinstance(s, CourseLayer))
        assert isinstance(found, CourseLayer)
        return found

    @pytest.mark.parametrize(("resin_g", "apart"), [(0.0, False), (0.05, True)])
    def test_counts_only_what_went_in(self, shop: Shop, resin_g: float, *, apart: bool) -> None:
        shop.mix()
        weigh(shop, POUR.format("A", 1), 117.0, shot=117.0, resin=resin_g)
        layer = self.first_layer(shop)
        assert layer.shot_in is not None
        assert (layer.resin_in is not None) is apart

    def test_names_the_void_only_where_there_are_several(self, tmp_path: Path) -> None:
        for plan, wanted in ((filled_plan(), "layer 1"), (two_voids(), "layer 1 of the block")):
            job = Shop(tmp_path / plan.title / wanted).small(plan).bench.shop.jobs["t"]
            assert job.plan is not None
            traced = trace(job, job.plan, job.plan.pieces[0], {})
            assert traced is not None
            layers = [s.name for s in traced.course.stages if isinstance(s, CourseLayer)]
            assert layers[0] == wanted

    @pytest.mark.parametrize(
        ("act", "adds_g"),
        [
            ({"act": "poured", "takes_g": 9.0}, -9.0),
            ({"act": "glued", "weigh": WeighPoint(kind="gain", plan_g=9.0)}, 9.0),
        ],
        ids=["taken", "gained"],
    )
    def test_doubts_what_nobody_bounded_by_a_share_of_it(
        self, tmp_path: Path, act: dict[str, Any], adds_g: float
    ) -> None:
        plan = filled_plan()
        step = Step(address="t/A/block/trim#1", do="Trim", piece="A", part="block", **act)
        job = Shop(tmp_path).small(msgspec.structs.replace(plan, steps=(*plan.steps, step)))
        change = courses(job_of(job), {})[0].stages[-1]
        assert isinstance(change, CourseChange)
        wanted = SCATTER * 9.0 / math.sqrt(3.0)
        assert (change.adds_g, change.u_g) == pytest.approx((adds_g, wanted))

    @pytest.mark.parametrize(("n", "kept"), [(1, None), (2, 2), (10, 10)])
    def test_believes_a_repeatability_from_two_readings_on(self, n: int, kept: int | None) -> None:
        described = ScaleDescribed(
            happened=moment(),
            recorded=moment(),
            name="s",
            division_g=0.1,
            repeatability_g=0.2,
            repeatability_n=n,
        )
        unsaid = msgspec.structs.replace(described, repeatability_n=None)
        wanted = scale_of(unsaid, None).repeatability_n if kept is None else kept
        assert scale_of(described, None).repeatability_n == wanted


def test_work_without_a_plan_departs_from_none(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    shop.bench.do("f", cmd.StartJob(job="f", title="Odd jobs"))
    shop.bench.do("f", cmd.DoFreely(act="spread", name="lid"))
    job = shop.bench.shop.jobs["f"]
    assert to_see(job, shop.bench.shop.around, shop.bench.now_s()) == ()


class TestPackingOfAFullLayer:
    """Layers of 25 ml: 117 g of shot at 7.8 g/cm³ and 11 g of resin at 1.1 were weighed out."""

    DOUBT_G = ((1.1 * 25.0 * (LINE_U**2 + 0.01**2) ** 0.5) ** 2 + READ_U_G**2) ** 0.5

    def seen(self, shop: Shop, *nets_g: float, **split: float) -> float | None:
        shop.mix()
        for n, net_g in enumerate(nets_g, 1):
            weigh(shop, POUR.format("A", n), net_g, **split)
        job = job_of(shop)
        assert job.plan is not None
        fill: Fill = job.plan.fills[0]
        return packing_when_full(job, fill)

    @pytest.mark.parametrize(("short", "full"), [(SURE - 0.002, False), (SURE + 0.002, True)])
    def test_a_layer_was_full_when_it_is_surely_short(
        self, shop: Shop, short: float, *, full: bool
    ) -> None:
        assert (self.seen(shop, 128.0 - short * self.DOUBT_G) is not None) is full

    def test_of_shot_weighed_apart_the_reading_alone_decides(self, shop: Shop) -> None:
        assert self.seen(shop, 126.0, shot=117.0 - SURE * READ_U_G + 0.01) is None

    def test_metal_over_volume_as_the_balance_has_it(self, shop: Shop) -> None:
        # By hand: 115 g in 25 ml, (115 - 25 · 1.1)/(7.8 - 1.1) = 13.060 ml of metal.
        found = self.seen(shop, 115.0)
        assert found == pytest.approx(13.0597 / 25.0 - TAPPED_GAIN, abs=1e-5)

    def test_of_shot_weighed_apart_it_is_its_own_volume(self, shop: Shop) -> None:
        found = self.seen(shop, 120.0, shot=110.0)
        assert found == pytest.approx(110.0 / 7.8 / 25.0 - TAPPED_GAIN, abs=1e-9)

    def test_half_of_the_layers_must_have_been_full(self, shop: Shop) -> None:
        # The second layer took all: one of two is enough, and only the first counts.
        found = self.seen(shop, 115.0, 128.0)
        assert found == pytest.approx(13.0597 / 25.0 - TAPPED_GAIN, abs=1e-5)

    def test_layers_up_to_the_last_full_one_count(self, shop: Shop) -> None:
        # The first layer took all: what it takes of the second's room counts too.
        found = self.seen(shop, 128.0, 115.0)
        metal_ml = (128.0 - 27.5) / 6.7 + (115.0 - 27.5) / 6.7
        assert found == pytest.approx(metal_ml / 50.0 - TAPPED_GAIN, abs=1e-9)
