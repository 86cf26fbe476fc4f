"""The weigh prompt with a scale on a cable: only a steady weight is taken; a pour falls live."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.bench.weights.scales import describe_scale
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.streams.commands import DescribeScale
from benchmate.tui.app import BenchApp
from benchmate.tui.prompts.weigh_live import LiveWeighPrompt
from tests.needs import needs
from tests.scale_driven import DrivenScale
from tests.tui.benches import Shop, filled_plan
from tests.tui.scale_bench import AtTheScale, at_the_scale, on_cable
from tests.tui.test_bench_keys import press, shows, typed
from tests.tui.test_prompts import LAYER, answer, box, weights

pytestmark = needs("module:regex")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The first layer is poured: its weight is due, planned at 128 g ± 4 g."""
    made = Shop(tmp_path).small(filled_plan())
    made.mix()
    made.bench.do("t", cmd.MarkDone(address=LAYER))
    describe_scale(made.bench, DescribeScale(name="scale", division_g=0.1))
    yield made
    made.bench.close()


@pytest.fixture
def scale() -> DrivenScale:
    made = DrivenScale("marks")
    made.advance(2.0)
    return made


def read(shop: Shop) -> list[tuple[str, float]]:
    found = shop.bench.shop.jobs["t"].running.get(LAYER, ())
    return [(it.adding, it.reading_g) for it in found]


Patch = pytest.MonkeyPatch


async def test_a_steady_weight_is_taken_by_space_and_recorded_by_space_once_more(
    shop: Shop, scale: DrivenScale, monkeypatch: Patch
) -> None:
    async with at_the_scale(shop, monkeypatch, scale) as at:
        scale.emulator.put(128.4)
        await at.until(lambda: "128.4 g  steady" in at.live)
        assert weights(shop) == []
        await at.space()
        assert box(at.app).value == "128.4 g", answer(at.app)
        assert at.live.strip() == ""
        assert weights(shop) == []
        await at.space()
        assert weights(shop) == [128.4]


async def test_a_press_while_it_moves_takes_the_first_steady_weight(
    shop: Shop, scale: DrivenScale, monkeypatch: Patch
) -> None:
    async with at_the_scale(shop, monkeypatch, scale) as at:
        scale.emulator.put(128.4, seconds=2.5)
        await at.space()
        assert "taken once" in at.live
        assert box(at.app).value == ""
        await at.until(lambda: bool(box(at.app).value))
        assert box(at.app).value == "128.4 g"
        assert at.live.strip() == ""


@pytest.mark.parametrize("again", [True, False], ids=["pressed again", "three seconds"])
async def test_what_is_armed_is_let_go(
    shop: Shop, scale: DrivenScale, monkeypatch: Patch, again: bool
) -> None:
    async with at_the_scale(shop, monkeypatch, scale) as at:
        scale.emulator.put(100.0, seconds=8.0)
        await at.space()
        assert "taken once" in at.live
        if again:
            await at.space()
        else:
            await at.passes(3.6)
            assert "did not stand still" in answer(at.app)
        assert "taken once" not in at.live
        await at.passes(12.0)
        assert "steady" in at.live
        assert box(at.app).value == ""


async def test_a_reading_that_is_a_second_old_is_not_taken(
    shop: Shop, scale: DrivenScale, monkeypatch: Patch
) -> None:
    async with at_the_scale(shop, monkeypatch, scale) as at:
        scale.emulator.put(128.4)
        await at.passes(4.0)
        scale.fault("silent", 1.4)
        scale.emulator.put(20.0)
        shop.clock.tick(2.0)
        scale.advance(1.0)
        assert "128.4 g  steady" in at.live
        await press(at.pilot, "space")
        assert box(at.app).value == ""
        await at.until(lambda: bool(box(at.app).value))
        assert box(at.app).value == "148.4 g"


async def test_what_a_hand_typed_wins_and_an_unplugged_scale_leaves_no_digits(
    shop: Shop, scale: DrivenScale, monkeypatch: Patch
) -> None:
    scale.emulator.put(300.0)
    async with at_the_scale(shop, monkeypatch, scale) as at:
        await at.until(lambda: "300.0 g  steady" in at.live)
        scale.fault("unplugged", 3.0)
        await at.until(lambda: "unplugged" in at.live)
        assert "300" not in at.live
        await at.passes(6.0)
        await typed(at.pilot, "118.4")
        await at.passes(0.2)
        assert at.live.strip() == ""
        await press(at.pilot, "enter")
        assert weights(shop) == [118.4], shows(at.app)


@needs("module:serial")
async def test_why_a_scale_cant_be_had_is_said_and_typing_goes_on(shop: Shop) -> None:
    shop.bench.settings = on_cable(shop.bench.settings, line="(")
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        assert "no expression" in shows(app)
        await press(pilot, "space")
        assert isinstance(app.screen, LiveWeighPrompt)
        await pilot.pause(0.05)
        assert "no expression" in shows(app)
        await typed(pilot, "118.4")
        await press(pilot, "enter")
        assert weights(shop) == [118.4], shows(app)


async def test_digits_that_a_scale_types_open_the_prompt_that_waits_for_them(
    shop: Shop, scale: DrivenScale, monkeypatch: Patch
) -> None:
    async with at_the_scale(shop, monkeypatch, scale, key="") as at:
        for key in ("1", "2", "8", "full_stop", "4", "enter"):
            at.pilot.app.post_message(_key(key))
        await at.pilot.pause(0.2)
        assert isinstance(at.app.screen, LiveWeighPrompt)
        assert box(at.app).value == "128.4"
        assert weights(shop) == []
        await press(at.pilot, "enter")
        assert weights(shop) == [128.4]


def _key(name: str) -> object:
    from textual.events import Key

    return Key(name, "." if name == "full_stop" else name if len(name) == 1 else "\r")


# By itself -----------------------------------------------------------------------------------


async def test_by_itself_only_where_switched_on_and_never_a_pour(
    shop: Shop, scale: DrivenScale, monkeypatch: Patch
) -> None:
    async with at_the_scale(shop, monkeypatch, scale, by_itself=True) as at:
        scale.emulator.put(128.4)
        await at.passes(6.0)
        assert "steady" in at.live
        assert (weights(shop), box(at.app).value) == ([], "")


@pytest.mark.parametrize(
    ("by_itself", "was_on", "counts"),
    [(True, 0.0, [610.0]), (True, 300.0, []), (False, 0.0, [])],
    ids=["from empty", "something lay there", "not switched on"],
)
async def test_a_weighing_from_empty_is_recorded_once_it_rests(
    tmp_path: Path,
    monkeypatch: Patch,
    by_itself: bool,
    was_on: float,
    counts: list[float],
) -> None:
    shop = Shop(tmp_path)
    shop.bookends("weigh-blanks#1")
    plan_g = shop.bench.agenda().next.step.weigh.plan_g or 0.0  # type: ignore[union-attr]
    scale = DrivenScale("marks")
    scale.emulator.put(was_on)
    scale.advance(2.0)
    async with at_the_scale(shop, monkeypatch, scale, by_itself=by_itself) as at:
        scale.emulator.put(plan_g - was_on)
        await at.passes(1.0)
        assert shop.bench.shop.jobs[shop.job].weighings == {}
        await at.passes(3.0)
        found = [w.net_g for w in shop.bench.shop.jobs[shop.job].weighings.values()]
        assert len(found) == len(counts)
        assert found == [] or found[0] == pytest.approx(plan_g, abs=0.06)
    shop.bench.close()


# A pour --------------------------------------------------------------------------------------


async def begin_pour(at: AtTheScale, grams: float = 600.0) -> None:
    """The piece stands on the scale, and its reading is the start."""
    at.scale.emulator.put(grams)
    await press(at.pilot, "tab")
    await at.steady()
    await at.space()
    assert read(at.shop) == [("", grams)]


async def test_a_pour_falls_live_sounds_twice_a_material_and_needs_one_key(
    shop: Shop, scale: DrivenScale, monkeypatch: Patch
) -> None:
    async with at_the_scale(shop, monkeypatch, scale) as at:
        await begin_pour(at)
        assert "117.0 g to go  shot" in at.live
        scale.emulator.put(117.0, seconds=8.0)
        await at.passes(4.0)
        assert " to go  shot" in at.live
        assert "moving" in at.live
        assert at.tones == []
        await at.passes(3.8)
        assert at.tones == [1]
        await at.steady()
        assert at.tones == [1, 2]
        await at.space()
        assert "11.0 g to go  resin" in at.live
        scale.emulator.put(12.0, seconds=3.0)
        await at.passes(3.0)
        await at.steady()
        assert "1.0 g too much  resin" in at.live
        assert at.tones == [1, 2, 1, 2]
        await at.space()
        assert read(shop) == [("", 600.0), ("shot", 717.0), ("resin", 729.0)]
        assert "all in" in answer(at.app) or "all in" in shows(at.app)
        await at.space()
        await at.space()
        assert weights(shop) == [129.0]


async def test_a_tare_is_told_from_a_lifted_piece_by_one_question(
    shop: Shop, scale: DrivenScale, monkeypatch: Patch
) -> None:
    async with at_the_scale(shop, monkeypatch, scale) as at:
        await begin_pour(at)
        scale.emulator.take_off()
        await at.until(lambda: bool(at.asked))
        assert at.asked.startswith("600.0 g before, 0.0 g now")
        await at.answer("Lifted off")
        await at.space()
        await at.passes(4.0)
        assert read(shop) == [("", 600.0)], "nothing is taken of a piece that isn't there"
        scale.emulator.put(640.0)
        await at.steady()
        assert at.asked == ""
        assert "77.0 g to go  shot" in at.live
        scale.emulator.tare()
        await at.until(lambda: bool(at.asked))
        await at.answer("Tared")
        scale.emulator.put(77.0)
        await at.steady()
        assert "0.0 g to go  shot" in at.live
        await at.space()
        assert read(shop)[-1] == ("shot", pytest.approx(717.0, abs=0.11))


@pytest.mark.parametrize(
    ("fault", "poured", "answered", "left"),
    [
        ("unplugged", 0.0, "Nothing went in", "77.0"),
        ("unplugged", 20.0, "I’ll type it", ""),
        ("silent", 20.0, "reads right", "57.0"),
    ],
)
async def test_a_plug_pulled_in_a_pour_is_asked_about(
    shop: Shop,
    scale: DrivenScale,
    monkeypatch: Patch,
    fault: str,
    poured: float,
    answered: str,
    left: str,
) -> None:
    async with at_the_scale(shop, monkeypatch, scale) as at:
        await begin_pour(at)
        scale.emulator.put(40.0)
        await at.passes(4.0)
        scale.fault(fault, 4.0)
        await at.passes(2.0)
        scale.emulator.put(poured)
        assert fault in at.live
        await at.until(lambda: bool(at.asked))
        now = "0.0" if fault == "unplugged" else "660.0"
        assert at.asked == f"The scale was gone: 640.0 g before, {now} g now."
        await at.answer(answered)
        await at.steady()
        assert (left or "on the scale") in at.live
        if not left:
            await at.space()
            assert read(shop) == [("", 600.0)]


async def test_a_plug_pulled_while_it_pours_cant_go_on_from_before(
    shop: Shop, scale: DrivenScale, monkeypatch: Patch
) -> None:
    async with at_the_scale(shop, monkeypatch, scale) as at:
        await begin_pour(at)
        scale.emulator.put(100.0, seconds=10.0)
        await at.passes(4.0)
        scale.fault("unplugged", 2.0)
        await at.until(lambda: bool(at.asked))
        assert "while you poured: over 600.0 g before, " in at.asked
        assert "Nothing went in" not in shows(at.app)
        await press(at.pilot, "escape")
        await typed(at.pilot, "717")
        await press(at.pilot, "enter")
        assert read(shop) == [("", 600.0), ("shot", 717.0)]


async def test_a_pour_that_was_left_is_compared_with_its_last_reading(
    shop: Shop, scale: DrivenScale, monkeypatch: Patch
) -> None:
    async with at_the_scale(shop, monkeypatch, scale) as at:
        await begin_pour(at)
        await press(at.pilot, "escape")
        scale.emulator.tare()
        await at.passes(2.0)
        scale.advance(2.0)
        await press(at.pilot, "w")
        await at.until(lambda: bool(at.asked))
        assert at.asked == "The scale was gone: 600.0 g before, 0.0 g now."
        await at.answer("Nothing went in")
        assert "128.0 g to go" in at.live
