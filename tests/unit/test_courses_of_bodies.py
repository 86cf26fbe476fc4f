"""The weight that a piece is heading for, where several parts are filled or glued to one body."""

from pathlib import Path

import pytest

from benchmate.job.weights.courses import trace
from benchmate.landing.course import LayerCourse
from tests.unit.loop_help import Worked


@pytest.mark.parametrize("procedure", ["built-up-hammer", "square-lamp-base", "candle-holders"])
def test_before_anything_is_done_it_is_heading_for_the_plan(tmp_path: Path, procedure: str) -> None:
    """Blank, all stages and all that is joined come to what the plan has for the last weighing."""
    job = Worked(tmp_path).start(procedure)
    plan = job.plan
    assert plan is not None
    traced = trace(job, plan, plan.pieces[0], {})
    assert traced is not None
    will_weigh = traced.course.blank.g
    for stage in traced.course.stages:
        will_weigh += (
            stage.shot_g + stage.resin_g if isinstance(stage, LayerCourse) else stage.adds_g
        )
    last = [s.weigh for s in plan.steps if s.piece == plan.pieces[0].name and s.weigh][-1]
    assert will_weigh == pytest.approx(last.plan_g)


def test_a_weighed_layer_goes_into_its_own_void(tmp_path: Path) -> None:
    worked = Worked(tmp_path)
    worked.start("built-up-hammer")
    act = worked.until("left-cheek.back-pocket/pour#1")
    worked.weigh(act.address, "11.5 g")
    job = worked.state
    assert job.plan is not None
    traced = trace(job, job.plan, job.plan.pieces[0], {})
    assert traced is not None
    weighed = [s for s in traced.course.stages if isinstance(s, LayerCourse) and s.gain is not None]
    assert [s.name for s in weighed] == [
        "layer 1 of the front pocket of the left cheek",
        "layer 1 of the back pocket of the left cheek",
    ]
    assert weighed[1].gain is not None
    assert weighed[1].gain.g == 11.5
