"""An adjustment in a piece with two voids goes into the layer that it is meant for."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.state.state import JobState
from benchmate.job.weights.adjustments import take
from benchmate.job.weights.courses import trace
from benchmate.landing.adjusting.adjustment import LayerChange, PieceChange
from benchmate.landing.course import LayerCourse as CourseLayer
from benchmate.landing.course import Weight
from benchmate.plan.plan import Fill, Layer, PartPlan, Plan, Step
from tests.tui.benches import POUR, Shop, filled_plan
from tests.unit.shop_of_tests import pour

FOOT = "t/A/foot/pour#{}"


def in_foot(n: int) -> Step:
    """A layer of the second void, poured after the first void is full."""
    before = (FOOT.format(n - 1),) if n > 1 else (POUR.format("A", 2),)
    return msgspec.structs.replace(pour("A", n), address=FOOT.format(n), part="foot", after=before)


def two_voids() -> Plan:
    """Bookend A with a void in its block and one in its foot, two layers each."""
    plan = filled_plan()
    layers = tuple(
        Layer(address=FOOT.format(n), void_ml=25.0, shot_g=117.0, resin_g=11.0) for n in (1, 2)
    )
    fill: Fill = msgspec.structs.replace(plan.fills[0], part="foot", layers=layers)
    foot = PartPlan(piece="A", name="foot", mass_g=100.0, mass_u_g=5.0)
    at = next(i for i, s in enumerate(plan.steps) if s.address == POUR.format("A", 2)) + 1
    steps = (*plan.steps[:at], in_foot(1), in_foot(2), *plan.steps[at:])
    return msgspec.structs.replace(
        plan, steps=steps, fills=(*plan.fills, fill), parts=(*plan.parts, foot)
    )


@pytest.fixture
def job(tmp_path: Path) -> JobState:
    shop = Shop(tmp_path).small(two_voids())
    shop.mix()
    return shop.bench.shop.jobs["t"]


def change(job: JobState, which: int, shot_g: float) -> PieceChange:
    """More shot for the piece's layer of that place among all its layers."""
    assert job.plan is not None
    traced = trace(job, job.plan, job.plan.pieces[0], {})
    assert traced is not None
    places = [n for n, s in enumerate(traced.course.stages) if isinstance(s, CourseLayer)]
    stage = traced.course.stages[places[which]]
    assert isinstance(stage, CourseLayer)
    made = LayerChange(places[which], stage.name, 117.0, shot_g, 11.0, 10.0, address=stage.address)
    return PieceChange("bookend A", (made,), 800.0, Weight(810.0, 2.0))


ALL = (POUR.format("A", 1), POUR.format("A", 2), FOOT.format(1), FOOT.format(2))


@pytest.mark.parametrize("which", range(4), ids=ALL)
def test_each_layer_of_each_void_is_changed_by_itself(job: JobState, which: int) -> None:
    plan, amounts = take(job, [change(job, which, 124.0)])
    shot = {la.address: la.shot_g for f in plan.fills if f.piece == "A" for la in f.layers}
    assert shot == {a: 124.0 if a == ALL[which] else 117.0 for a in ALL}
    step = next(s for s in plan.steps if s.address == ALL[which])
    assert step.amounts[0].amount == 124.0
    assert [(a.address, a.what, a.old, a.new) for a in amounts] == [
        (ALL[which], "shot", 117.0, 124.0),
        (ALL[which], "resin", 11.0, 10.0),
    ]


def test_a_layer_that_was_left_out_shifts_none_of_the_others(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small(two_voids())
    shop.mix()
    shop.bench.do("t", cmd.Skip(address=ALL[1], reason="the void is shallow"))
    job = shop.bench.shop.jobs["t"]
    _, amounts = take(job, [change(job, 1, 124.0)])
    assert {a.address for a in amounts} == {FOOT.format(1)}
