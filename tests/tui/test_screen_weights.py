"""A job's weights over the steps: plot, table, doubt and the adjustment, on one page."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.tui.app import SCREENS
from benchmate.tui.pages.card import CardScreen
from benchmate.tui.pages.weights import WeightsScreen
from tests.tui.screen_help import open_bench, opened
from tests.unit.loop_help import Worked


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Worked]:
    """A pair of which the first piece has one light layer."""
    shop = Worked(tmp_path)
    shop.scale("bench scale", 0.1)
    shop.start()
    point = shop.until("A/block/pour#1").step
    assert point is not None
    assert point.weigh is not None
    shop.weigh("A/block/pour#1", f"{(point.weigh.plan_g or 0.0) - 6.0:.1f} g", stands=True)
    yield shop
    shop.bench.close()


@pytest.mark.parametrize("size", [(80, 24), (160, 50)], ids=["80x24", "160x50"])
async def test_a_light_layer_is_seen_below_the_plan(shop: Worked, size: tuple[int, int]) -> None:
    async with opened(shop.bench, WeightsScreen(shop.job), size=size) as hands:
        said = hands.text()
        assert "Bookend A: will weigh " in said
        assert "Least sure of: " in said
        assert "off plan: ● so far  ○ expected ░ 95 %  ─ limits" in said
        rows = said.splitlines()
        plan = next(i for i, row in enumerate(rows) if row.strip().startswith("plan "))
        assert any("●" in row for row in rows[plan + 1 :])
        await hands.press("pagedown", "pagedown", "pagedown")
        if size[1] >= 50:
            table = next(r for r in hands.text().splitlines() if " layer 1 " in r)
            assert "−" in table
        await hands.press("right")
        assert "Bookend B: will weigh " in hands.text()


async def test_it_opens_from_the_job_card(shop: Worked) -> None:
    assert SCREENS["weights"] == "benchmate.tui.pages.weights:WeightsScreen"
    async with opened(shop.bench, CardScreen(shop.job), size=(120, 40)) as hands:
        await hands.press("f")
        assert isinstance(hands.app.screen, WeightsScreen)


async def test_without_a_job_it_says_so(tmp_path: Path) -> None:
    bench = open_bench(tmp_path)
    async with opened(bench, WeightsScreen(), size=(80, 24)) as hands:
        assert "No job running." in hands.text()
    bench.close()
