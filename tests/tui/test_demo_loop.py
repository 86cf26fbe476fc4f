"""The weight loop on the demo: its light layer, the adjustment by m and m, the piece lands."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from benchmate.bench import Bench
from benchmate.bench.trying.demo import LIGHT_G, LIGHT_JOB, LIGHT_LAYER, make_demo
from benchmate.bench.trying.rehearsal import Rehearsal, as_planned
from benchmate.clock import SetClock
from benchmate.job.events import stored as ev
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.words.event_text import change_lines
from benchmate.settings import Settings
from benchmate.tui.app import BenchApp
from tests.tui.benches import START
from tests.tui.painting import said, to_offer

JOB = LIGHT_JOB
PAUSE_S = 30.0


class Demo:
    """The demo's bench at the moment it is opened on, and what its scale would show."""

    def __init__(self, home: Path) -> None:
        self.clock = SetClock(START)
        self.bench = Bench.open(make_demo(home, self.clock), Settings(), clock=self.clock)

    @property
    def job(self) -> JobState:
        found = self.bench.job(JOB)
        assert found is not None
        return found

    def reads(self, act: Act) -> str:
        """A gain is what the plan asks for, give or take; a whole is what its parts add up to."""
        point = act.step.weigh if act.step else None
        if act.job != JOB or point is None or point.weighed != "whole":
            return as_planned(act)
        return f"{self.stands_g(act.piece, act.address):.1f} g"

    def stands_g(self, piece: str, until: str) -> float:
        """Parts and gains as they were weighed, with what was taken off and put on since."""
        total_g = 0.0
        for step in self.job.steps.values():
            if step.piece != piece:
                continue
            point, record = step.weigh, self.job.weighing_at(step.address)
            if record is not None and point is not None and point.weighed != "whole":
                total_g += record.net_g
            else:
                total_g += step.adds_g - step.takes_g
            if step.address == until:
                break
        return total_g


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    made = Demo(tmp_path_factory.mktemp("demo"))
    yield made
    made.bench.close()


class Keys:
    """One maker at the demo's keyboard."""

    def __init__(self, demo: Demo, app: BenchApp, pilot: Pilot[None]) -> None:
        self.demo, self.app, self.pilot = demo, app, pilot

    async def press(self, *keys: str) -> None:
        for key in keys:
            self.demo.clock.tick(PAUSE_S)
            await self.pilot.press(key)
            await self.pilot.pause()

    def shows(self) -> str:
        return said(self.app)

    def will_weigh_g(self, label: str) -> float:
        all_will_weigh = self.app.thoughts.all_will_weigh(self.demo.job)
        return next(h.mass_g for h in all_will_weigh if h.piece == label)

    async def pour_and_weigh(self) -> None:
        """The glove key for the pour, then the weight of what went in."""
        await self.press("space", "space")
        act = self.demo.bench.agenda().next
        assert act is not None
        assert act.kind == "weigh"
        self.app.screen.query_one(Input).value = self.demo.reads(act)
        await self.press("enter")


async def test_by_keys_the_demos_light_layer_is_made_up_for_and_its_pair_lands_together(
    demo: Demo,
) -> None:
    piece = next(p for p in demo.job.plan.pieces if p.name == "B") if demo.job.plan else None
    assert piece is not None
    assert piece.target_g is not None
    assert piece.tolerance_g is not None
    light = demo.job.weighing_at(f"{JOB}/{LIGHT_LAYER}")
    assert light is not None
    app = BenchApp(demo.bench)
    async with app.run_test(size=(160, 50)) as pilot:
        keys = Keys(demo, app, pilot)
        await pilot.pause()
        app.screen.look()  # type: ignore[attr-defined]
        before = keys.shows()
        assert f"{LIGHT_G} g light" in before
        assert "adjustment  to match bookend A (5), already full, heading for" in before
        moved_g = keys.will_weigh_g("bookend B (5)") - piece.target_g
        assert -LIGHT_G - 4.0 < moved_g < -LIGHT_G + 4.0, "it is heading for what is missing"

        await keys.press("f")
        to_offer(app)
        await keys.press("enter")
        offered = keys.shows()
        assert "To match bookend A (5), already full, heading for" in offered
        await keys.press("1", "escape")
        (change,) = [r.event for r in demo.job.records if isinstance(r.event, ev.PlanChanged)]
        assert all(text in offered for text in change_lines(change)), (
            "old and new stood there before"
        )
        assert all(" → " in text for text in change_lines(change))
        assert abs(keys.will_weigh_g("bookend B (5)") - piece.target_g) < 2.0
        for layer in (3, 4):
            await keys.pour_and_weigh()
            assert demo.job.weighing_at(f"{JOB}/B/block/pour#{layer}") is not None

    hands = Rehearsal(demo.bench, demo.clock, demo.reads)
    hands.run(demo.bench.now_s() + 30 * 86400.0, {})
    ended = demo.job
    final = {
        p: ended.weighing_at(f"{JOB}/{p}/all/weigh-finished#1") for p in "AB"
    }  # what its parts came to, not what was planned
    weights = {p: w.net_g for p, w in final.items() if w is not None}
    assert set(weights) == {"A", "B"}
    for name, weight_g in weights.items():
        assert abs(weight_g - piece.target_g) <= piece.tolerance_g, name
    match_g = ended.plan.match_g if ended.plan else None
    assert match_g is not None
    assert abs(weights["A"] - weights["B"]) <= match_g
    assert weights["B"] - weights["A"] > -LIGHT_G + 2.0, "without it B would be that much lighter"
