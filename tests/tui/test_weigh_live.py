"""The weigh prompt with a scale on a cable: only a steady weight is taken, and only by a key."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec
import pytest
from textual.pilot import Pilot

from benchmate.bench.weights.scales import describe_scale
from benchmate.clock import steady_s
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.streams.commands import DescribeScale
from benchmate.tui.widgets.lines import Lines
from tests.needs import needs
from tests.scale_forms import cable
from tests.tui.benches import Shop, filled_plan
from tests.tui.test_bench_keys import press, shows, typed
from tests.tui.test_prompts import LAYER, answer, asking, box, weights

if TYPE_CHECKING:
    from tests.scale_emulator import ScaleEmulator

pytestmark = [
    needs("module:serial", "module:regex"),
    pytest.mark.skipif(sys.platform == "win32", reason="the emulator needs pseudo-terminals"),
]


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shop]:
    """The first layer is poured: its weight is due, planned at 128 g ± 4 g."""
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    made = Shop(tmp_path).small(filled_plan())
    made.mix()
    made.bench.do("t", cmd.MarkDone(address=LAYER))
    describe_scale(made.bench, DescribeScale(name="scale", division_g=0.1))
    yield made
    made.bench.close()


@contextmanager
def on_cable(shop: Shop, link: str, line: str | None = None) -> Iterator[ScaleEmulator]:
    """An emulated scale, set in the shop's settings."""
    from tests.scale_emulator import ScaleEmulator

    with ScaleEmulator("marks", rate_hz=20, link=link) as scale:
        set_so = msgspec.structs.replace(
            shop.bench.settings.scale, port=link, line=cable("marks").line if line is None else line
        )
        shop.bench.settings = msgspec.structs.replace(shop.bench.settings, scale=set_so)
        yield scale


async def until(pilot: Pilot[None], what: Callable[[], bool]) -> None:
    end_s = steady_s() + 20.0
    while not what():
        assert steady_s() < end_s, "it never came to that"
        await pilot.pause(0.05)


async def test_a_steady_weight_is_taken_by_space_and_recorded_by_enter(
    shop: Shop, tmp_path: Path
) -> None:
    with on_cable(shop, str(tmp_path / "scale")) as scale:
        async with asking(shop) as (app, pilot):

            def live() -> str:
                return app.screen.query_one("#scale", Lines).text

            await until(pilot, lambda: "steady" in live())
            scale.put(128.4, seconds=1.5)
            await until(pilot, lambda: "moving" in live())
            await press(pilot, "space")
            assert box(app).value == ""
            await until(pilot, lambda: "128.4 g  steady" in live())
            assert weights(shop) == []
            shop.clock.tick(2.0)
            await press(pilot, "space")
            assert box(app).value == "128.4 g", answer(app)
            assert live().strip() == ""
            assert weights(shop) == []
            await press(pilot, "enter")
            assert weights(shop) == [128.4]


async def test_what_a_hand_typed_wins_and_an_unplugged_scale_leaves_no_digits(
    shop: Shop, tmp_path: Path
) -> None:
    with on_cable(shop, str(tmp_path / "scale")) as scale:
        scale.put(300.0)
        async with asking(shop) as (app, pilot):

            def live() -> str:
                return app.screen.query_one("#scale", Lines).text

            await until(pilot, lambda: "300.0 g  steady" in live())
            scale.during("unplugged", 3.0)
            await until(pilot, lambda: "unplugged" in live())
            assert "300" not in live()
            await typed(pilot, "118.4")
            await until(pilot, lambda: live().strip() == "")
            await press(pilot, "enter")
            assert weights(shop) == [118.4], shows(app)


async def test_a_form_that_cant_be_read_is_said_and_typing_goes_on(
    shop: Shop, tmp_path: Path
) -> None:
    with on_cable(shop, str(tmp_path / "scale"), line="("):
        async with asking(shop) as (app, pilot):
            await until(
                pilot, lambda: "no expression" in app.screen.query_one("#scale", Lines).text
            )
            await typed(pilot, "118.4")
            assert box(app).value == "118.4"
            await press(pilot, "enter")
            assert weights(shop) == [118.4], shows(app)
