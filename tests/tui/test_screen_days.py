"""The day sheet on the screen: planned while keys answer, adopted, moved, compared."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.planning.sheet import adopted_sheet
from benchmate.bench.starting.starting import start_job
from benchmate.tui.app import SCREENS, BenchApp
from benchmate.tui.pages.days import DaysScreen
from tests.tui.screen_help import Hands, open_bench, opened, tick

DAY_S = 86_400.0


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    bench = open_bench(tmp_path)
    start_job(bench, "plane-setting-hammer", {}, "hammer")
    yield bench
    bench.close()


async def planned(hands: Hands) -> DaysScreen:
    """The page once it has a first sheet (the planner is a process of its own)."""
    page = hands.app.screen
    assert isinstance(page, DaysScreen)
    for _ in range(600):
        if page.sheet is not None:
            break
        await asyncio.sleep(0.05)
    await hands.settle()
    assert page.sheet is not None
    return page


@pytest.mark.parametrize("size", [(80, 24), (160, 50)], ids=["80x24", "160x50"])
async def test_days_and_finishes_are_shown_while_better_ones_are_looked_for(
    bench: Bench, size: tuple[int, int]
) -> None:
    async with opened(bench, DaysScreen(), size) as hands:
        page = await planned(hands)
        text = hands.text()
        assert "not adopted yet" in text
        assert "adopt this sheet" in text
        assert "done: Plane-setting hammer " in text
        heads = [row for row in text.splitlines() if row.count(" Nov") + row.count(" Dec") > 2]
        assert bool(heads) == (size[0] == 160), "days stand side by side where there is room"
        await hands.press("down", "down")
        assert page.marked is not None
    assert page._asking is None, "the planner ends with the page"


async def test_adopted_it_stands_when_the_page_is_opened_again(bench: Bench) -> None:
    async with opened(bench, DaysScreen()) as hands:
        await planned(hands)
        await hands.press("home", "enter")
        assert "Adopted: 33 steps" in hands.text()
        assert bench.shop.dates is not None
    async with opened(bench, DaysScreen()) as hands:
        assert "adopted" in hands.text()
        assert "adopt this sheet" not in hands.text()
    tick(bench, 5 * DAY_S)
    async with opened(bench, DaysScreen()) as hands:
        await planned(hands)
        assert "Behind the day sheet" in hands.text() or "Kept from" in hands.text()


async def test_a_step_is_pinned_and_an_evening_blocked(bench: Bench) -> None:
    async with opened(bench, DaysScreen()) as hands:
        page = await planned(hands)
        await hands.press("home", "down", "down", "enter")
        await hands.type("Sat")
        await hands.press("enter")
        assert bench.shop.dates is not None
        assert len(bench.shop.dates.hours) == 1
        page.sheet = None
        await planned(hands)
        row = page.sheet.rows[-1] if page.sheet else None
        assert row is not None
        assert all(
            not _is_saturday(v.begins) or v.begins > bench.shop.dates.hours[0].ends
            for v in page.sheet.visits
        )
        await hands.press("end", "enter", "1")
        assert bench.shop.dates.pins, "the marked step is wanted at its time"


def _is_saturday(wall_s: float) -> bool:
    from benchmate.localtime import local

    return local(wall_s).date().day_of_week().value == 6


async def test_a_day_later_is_compared(bench: Bench) -> None:
    async with opened(bench, DaysScreen()) as hands:
        page = await planned(hands)
        await hands.press("end", "enter", "4")
        for _ in range(400):
            if not isinstance(hands.app.screen, DaysScreen):
                break
            await asyncio.sleep(0.05)
        await hands.settle()
        text = hands.text()
        assert "Which?" in text
        assert "Plane-setting hammer: now " in text
        await hands.press("escape")
        assert hands.app.screen is page


def test_it_is_one_of_the_apps_screens(bench: Bench) -> None:
    assert SCREENS["days"] == "benchmate.tui.pages.days:DaysScreen"
    assert adopted_sheet(bench) is None


async def test_a_key_of_the_bench_opens_it(bench: Bench) -> None:
    app = BenchApp(bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        assert isinstance(app.screen, DaysScreen)
