"""Lists to cut and to buy from on the screen: before the start, and from the job card."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench.starting.starting import start_job
from benchmate.procedure.finding import shipped_folder
from benchmate.tui.pages.card import CardScreen
from benchmate.tui.pages.lists import ListsPage
from benchmate.tui.pages.starting.parameters import ParametersScreen
from tests.tui.screen_help import open_bench, opened


@pytest.mark.parametrize("size", [(80, 24), (160, 50)], ids=["80x24", "160x50"])
async def test_the_form_shows_the_lists_of_what_stands_there(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    bench = open_bench(tmp_path)
    path = shipped_folder() / "matched-bookends.toml"
    async with opened(bench, ParametersScreen(path), size=size) as hands:
        await hands.press("f5")
        assert isinstance(hands.app.screen, ListsPage)
        text = hands.text()
        assert "To cut: Matched bookends, 2 pieces" in text
        assert "135 x 96 x 58 mm rough" in text
        await hands.press(*["pagedown"] * 6)
        assert "sharp knife and straightedge" in hands.text()
        await hands.press("escape")
        assert isinstance(hands.app.screen, ParametersScreen)
    bench.close()


async def test_the_card_shows_the_lists_of_its_job(tmp_path: Path) -> None:
    bench = open_bench(tmp_path)
    job = start_job(bench, "plane-setting-hammer")
    async with opened(bench, CardScreen(job), size=(120, 40)) as hands:
        await hands.press("f5")
        assert "To cut: Plane-setting hammer, 1 piece" in hands.text()
        assert "key taper 1 in 6" in hands.text()
    bench.close()


async def test_a_size_left_to_be_found_is_found_in_the_form(tmp_path: Path) -> None:
    bench = open_bench(tmp_path)
    path = shipped_folder() / "matched-bookends.toml"
    found = ParametersScreen.filled(str(path), {"depth": "find", "target": "900 g"}, {}, ())
    async with opened(bench, found, size=(160, 50)) as hands:
        text = " ".join(hands.text().split())
        assert "can't be found for the target: with 51 mm the plan comes to" in text
    again = ParametersScreen.filled(str(path), {"depth": "find", "target": "870 g"}, {}, ())
    async with opened(bench, again, size=(160, 50)) as hands:
        text = " ".join(hands.text().split())
        assert "Depth of the void: 50." in text
        assert "the plan comes to 870" in text or "the plan comes to 869" in text
    bench.close()


async def test_the_start_form_says_what_the_round_holds(tmp_path: Path) -> None:
    bench = open_bench(tmp_path)
    path = shipped_folder() / "built-up-hammer.toml"
    async with opened(bench, ParametersScreen(path), size=(160, 50)) as hands:
        assert "20 mm thick it could be 32.3 mm wide at most" in " ".join(hands.text().split())
    bench.close()
