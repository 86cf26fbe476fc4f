"""The whole weight loop by keys: a light layer, the heading moves, an adjustment is offered and
taken, and the piece lands on its weight, with voids that know nothing of the plan."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from benchmate.bench.trying.rehearsal import good_answer
from benchmate.job.events import stored as ev
from benchmate.job.windows.agenda import Act
from benchmate.job.words.event_text import change_lines
from benchmate.plan.plan import Fill
from benchmate.tui.app import BenchApp
from tests.tui.painting import said, to_offer
from tests.unit.loop_help import Worked

TARGET_G, TOLERANCE_G, MATCH_G = 830.0, 8.0, 5.0
PAUSE_S = 30.0
"""Between two presses: longer than what counts as one."""


@dataclass
class Void:
    """A piece as it really is; the plan takes the void for a little smaller and its shot for a
    little denser."""

    blank_g: float
    cover_g: float
    scale: float
    packing: float
    tapped: float
    held_back_g: float = 0.0
    """Shot that the hand holds back from the first layer."""
    mass_g: float = 0.0

    def pour(self, fill: Fill, number: int, shot_g: float) -> float:
        """Shot as asked for, as far as it goes in when tapped, then resin to the line: the gain."""
        room_ml = fill.layers[number - 1].void_ml * self.scale
        if number == 1:
            shot_g -= self.held_back_g
        metal_ml = min(shot_g / fill.shot_density_g_cm3, (self.packing + self.tapped) * room_ml)
        resin_g = 0.99 * (room_ml - metal_ml) * fill.resin_density_g_cm3
        return metal_ml * fill.shot_density_g_cm3 + resin_g


class World:
    """Two pieces on one scale of 0.1 g: what it shows follows from what the hands did."""

    def __init__(self, shop: Worked) -> None:
        self.shop = shop
        self.voids = {
            "A": Void(292.9, 39.7, 1.006, 0.598, 0.022, held_back_g=12.0),
            "B": Void(292.5, 39.4, 0.997, 0.606, 0.022),
        }

    def reads(self, act: Act) -> str:
        """What stands on the display."""
        return f"{self.weight_g(act):.1f} g"

    def weight_g(self, act: Act) -> float:
        assert act.step is not None
        assert act.step.weigh is not None
        void, address = self.voids[act.piece], act.address
        if "weigh-blanks" in address:
            return void.blank_g if "/block/" in address else void.cover_g
        if "/pour#" in address:
            return self._pour(void, act)
        if "/cap#" in address:
            void.mass_g += (cap_g := act.step.weigh.plan_g or 0.0)
            return cap_g
        glue_g, sanded_g, oil_g = 0.6, 9.1, 0.8
        stands = void.blank_g + void.cover_g + void.mass_g + glue_g - sanded_g
        return stands + (oil_g if "finished" in address else 0.0)

    def _pour(self, void: Void, act: Act) -> float:
        plan = self.shop.state.plan
        assert plan is not None
        assert act.step is not None
        fill = next(f for f in plan.fills if f.piece == act.piece)
        shot_g = next(a.amount for a in act.step.amounts if a.what == "shot")
        gain = void.pour(fill, int(act.address.rpartition("#")[2]), shot_g)
        void.mass_g += gain
        return gain


class Keys:
    """One maker at the keyboard, who takes every adjustment on offer."""

    def __init__(self, app: BenchApp, pilot: Pilot[None], world: World) -> None:
        self.app, self.pilot, self.world = app, pilot, world
        self.shop = world.shop
        self.offered: list[str] = []

    async def press(self, *keys: str) -> None:
        for key in keys:
            await self.pilot.press(key)
            await self.pilot.pause()

    def shows(self) -> str:
        return said(self.app)

    def will_weigh_g(self, label: str) -> float:
        all_will_weigh = self.app.thoughts.all_will_weigh(self.shop.state)
        return next(h.mass_g for h in all_will_weigh if h.piece == label)

    async def act(self, act: Act) -> None:
        """The act that is shown, with what it asks for."""
        self.app.screen.look()  # type: ignore[attr-defined]  # what the hands see first
        self.shop.clock.tick(self.shop.pace(act))
        await self.press("space")
        if act.kind == "weigh":
            await self.type(self.world.reads(act))
        elif act.kind == "check" and act.check is not None:
            if act.check.unit:
                await self.type(good_answer(act.check)[1])
            else:
                await self.press("1")

    async def type(self, text: str) -> None:
        self.app.screen.query_one(Input).value = text
        await self.press("enter")

    async def take_what_is_offered(self) -> None:
        """The page of flags shows the offer; Enter asks with its reason, and then it is made."""
        offer = self.app.thoughts.offer(self.shop.state)
        if offer is None or not any(p.changes for p in offer.pieces):
            return
        self.offered.append(self.shows())
        self.shop.clock.tick(PAUSE_S)
        await self.press("f")
        to_offer(self.app)
        await self.press("enter")
        self.offered.append(self.shows())
        self.shop.clock.tick(PAUSE_S)
        await self.press("1", "escape")

    async def work(self, until: str = "") -> None:
        """Act by act to such an address, or to the end."""
        for _ in range(200):
            act = self.shop.next()
            if act is None or (until and act.address.endswith(until)):
                return
            await self.act(act)
            await self.take_what_is_offered()
        raise AssertionError("the job does not come to an end")


@pytest.fixture
def world(tmp_path: Path) -> Iterator[World]:
    shop = Worked(tmp_path)
    shop.scale("bench scale", 0.1, repeatability_g=0.1, repeatability_n=10, linearity_g=0.2)
    shop.start(parameters={"target": f"{TARGET_G:.0f} g", "reserve": "4 %"})
    world = World(shop)
    shop.reads = world.reads
    shop.until("A/block/pour#1", kind="do")  # blanks are weighed, the first cup is mixed
    yield world
    shop.bench.close()


def changes(shop: Worked) -> list[ev.PlanChanged]:
    return [r.event for r in shop.state.records if isinstance(r.event, ev.PlanChanged)]


async def test_a_light_layer_moves_the_heading_and_its_makeweight_lands_the_piece(
    world: World,
) -> None:
    shop = world.shop
    app = BenchApp(shop.bench)
    async with app.run_test(size=(100, 30)) as pilot:
        keys = Keys(app, pilot, world)
        await pilot.pause()
        assert "adjustment" not in keys.shows()
        before = keys.will_weigh_g("bookend A")
        assert before == pytest.approx(TARGET_G, abs=4.0)

        await keys.act(shop.until("A/block/pour#1", kind="do"))
        light = shop.until("A/block/pour#1")
        planned_g = shop.step("A/block/pour#2").amounts[0].amount
        await keys.act(light)
        assert " g light" in keys.shows()
        moved = before - keys.will_weigh_g("bookend A")
        assert 7.0 < moved < 14.0, "the heading moves by about what is missing"
        assert "adjustment" in keys.shows()

        await keys.take_what_is_offered()
        (change,) = changes(shop)
        assert change.reason == "adjustment"
        assert "To match bookend B, heading for 8" in keys.offered[-1]
        assert "bookend A, layer 2, weigh out " in keys.offered[-1]
        now_g = shop.step("A/block/pour#2").amounts[0].amount
        assert now_g > planned_g + 1.0
        line = next(x for x in change_lines(change) if x.startswith("A/block/pour#2"))
        assert line.startswith(f"A/block/pour#2: shot {planned_g:.1f} → {now_g:.1f} g, resin ")
        assert line in keys.offered[-1], "old and new are shown before they are taken"
        assert "Make this adjustment?" in keys.offered[-1]
        app.screen.look()  # type: ignore[attr-defined]
        assert f"{now_g:.1f} g shot" in keys.shows()

        await keys.work(until="A/block/cured#1")

    shop.finish("landed")  # both fills are closed: the rest changes no plan
    assert shop.state.status == "finished"
    final = {
        p: shop.state.weighing_at(shop.step(f"{p}/all/weigh-finished#1").address) for p in "AB"
    }
    weights = {p: w.net_g for p, w in final.items() if w is not None}
    assert set(weights) == {"A", "B"}
    for piece, weight_g in weights.items():
        assert abs(weight_g - TARGET_G) <= TOLERANCE_G, piece
    assert abs(weights["A"] - weights["B"]) <= MATCH_G
    assert "questioned" not in shop.kinds()


async def test_left_alone_the_same_piece_misses(world: World) -> None:
    """The adjustment is what lands it: without any, the light layer stays missing."""
    shop = world.shop
    act = shop.until("A/all/weigh-finished#1")
    assert world.weight_g(act) < TARGET_G - TOLERANCE_G


async def test_taking_it_back_brings_the_old_amounts_back(world: World) -> None:
    shop = world.shop
    app = BenchApp(shop.bench)
    async with app.run_test(size=(100, 30)) as pilot:
        keys = Keys(app, pilot, world)
        await pilot.pause()
        old = [s.amounts for s in shop.state.steps.values()]
        await keys.act(shop.until("A/block/pour#1", kind="do"))
        await keys.act(shop.until("A/block/pour#1"))
        await keys.take_what_is_offered()
        assert [s.amounts for s in shop.state.steps.values()] != old
        shop.clock.tick(PAUSE_S)
        await keys.press("backspace")
    assert [s.amounts for s in shop.state.steps.values()] == old
    assert shop.kinds()[-1] == "taken back"
