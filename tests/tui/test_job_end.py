"""The end of a job by keys, and another like it: the form opens filled in, so much bigger."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.starting.starting import start_free, start_job
from benchmate.job.deciding import commands as cmd
from benchmate.tui.app import BenchApp
from benchmate.tui.pages.card import CardScreen
from benchmate.tui.pages.starting.parameters import ParametersScreen
from tests.tui.benches import Shop
from tests.tui.screen_help import open_bench, opened
from tests.tui.test_bench_keys import press, shows, typed


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return open_bench(tmp_path)


def all_skipped(bench: Bench, job: str) -> None:
    for step in list(bench.shop.jobs[job].steps.values()):
        bench.do(job, cmd.Skip(address=step.address, reason="a rehearsal"))


async def test_the_end_asks_once_and_offers_another_twenty_percent_bigger(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    first = start_job(shop.bench, "matched-bookends", {"wood": "black cherry"})
    all_skipped(shop.bench, first)
    app = BenchApp(shop.bench)
    async with app.run_test(size=(100, 30)) as pilot:
        await press(pilot, "o", "1")
        await typed(pilot, "well")
        await press(pilot, "enter", "enter")
        await typed(pilot, "851 g")
        await press(pilot, "enter", "enter", "3")
        await pilot.pause()
        assert isinstance(app.screen, ParametersScreen)
        assert app.screen.values["face"] == "144 x 108 mm"
        assert app.screen.values["wood"] == "black cherry"
        assert "what the plan comes to (it was 850 g)" in " ".join(shows(app).split())
        await press(pilot, "f2")
        await pilot.pause()
    plan = shop.bench.shop.jobs["matched-bookends-2"].plan
    assert plan is not None
    assert plan.parameters["depth"] == "57.5 mm"
    shop.bench.close()


async def test_leaving_a_question_at_the_end_finishes_nothing(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    first = start_job(shop.bench, "matched-bookends")
    all_skipped(shop.bench, first)
    app = BenchApp(shop.bench)
    async with app.run_test(size=(100, 30)) as pilot:
        await press(pilot, "o", "1")
        await typed(pilot, "well")
        await press(pilot, "enter", "escape")
        assert "is still open; press o to finish it" in " ".join(shows(app).split())
    assert shop.bench.shop.jobs[first].status == "open"
    shop.bench.close()


async def test_the_card_makes_another_and_says_why_one_cannot_be(bench: Bench) -> None:
    lamp = start_job(bench, "turned-lamp-base")
    async with opened(bench, CardScreen(lamp), (100, 30)) as hands:
        await hands.press("plus", "3")
        assert "can't be made 20 % bigger: depth would be 24.5 mm" in hands.text("page-said")
        await hands.press("plus", "4", *["backspace"] * 4)
        await hands.type("10")
        await hands.press("enter")
        assert hands.front.values["depth"] == "22.5 mm"


async def test_a_job_without_a_procedure_says_how_it_becomes_one(bench: Bench) -> None:
    job = start_free(bench, "Tray")
    async with opened(bench, CardScreen(job), (100, 30)) as hands:
        await hands.press("plus", "2")
        assert "without a procedure" in hands.text("page-said")
