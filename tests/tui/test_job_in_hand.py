"""Whose keys these are: what is recorded goes to the job in hand, and that is said or asked."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.bench.starting.starting import start_free
from benchmate.job.deciding import commands as cmd
from benchmate.tui.app import BenchApp
from benchmate.tui.present.bench.weights.pieces import Piece, digits
from benchmate.tui.prompts.choose import Choose
from tests.tui.benches import Shop, text_of
from tests.tui.test_bench_keys import press, shows, typed

GLUE = "yellow wood glue"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path)
    yield made
    made.bench.close()


@asynccontextmanager
async def at_bench(shop: Shop) -> AsyncIterator[tuple[BenchApp, Pilot[None]]]:
    app = BenchApp(shop.bench)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        yield app, pilot


def plain(app: BenchApp) -> str:
    return " ".join(shows(app).split())


def notes(shop: Shop, job: str) -> list[str]:
    return [n.event.text for n in shop.bench.shop.jobs[job].notes]


async def write_note(pilot: Pilot[None], text: str) -> None:
    await press(pilot, "n")
    await typed(pilot, text)
    await press(pilot, "enter")


async def test_with_two_jobs_without_a_plan_a_note_asks_which(shop: Shop) -> None:
    one, two = start_free(shop.bench, "lamp foot"), start_free(shop.bench, "jig")
    async with at_bench(shop) as (app, pilot):
        await press(pilot, "n")
        assert isinstance(app.screen, Choose)
        assert app.screen.options == ("lamp foot", "jig")
        await press(pilot, "2")
        assert "(jig)" in plain(app)
        await typed(pilot, "dry")
        await press(pilot, "enter")
        assert "Noted in jig." in plain(app)
    assert (notes(shop, one), notes(shop, two)) == ([], ["dry"])


async def test_clocks_without_a_job_are_no_job_to_write_into(shop: Shop) -> None:
    start_clock(shop.bench, find_material(shop.bench, GLUE), "clamped", name="jig")
    clocks = shop.bench.shop.live[0].job
    async with at_bench(shop) as (app, pilot):
        await press(pilot, "n")
        assert "notes belong to a job" in plain(app)
        await press(pilot, "o")
        assert "No job running" in plain(app)
        await press(pilot, "w")
        assert "Nothing to weigh yet" in plain(app)
        job = start_free(shop.bench, "lamp foot")
        await write_note(pilot, "dry")
    assert notes(shop, clocks) == []
    assert notes(shop, job) == ["dry"]


async def test_a_clock_of_its_own_can_still_be_taken_back(shop: Shop) -> None:
    start_clock(shop.bench, find_material(shop.bench, GLUE), "clamped", name="jig")
    async with at_bench(shop) as (app, pilot):
        await press(pilot, "backspace")
        assert "Undone: clamped jig" in plain(app)
    assert shop.bench.shop.live[0].free == ()


async def test_taking_back_asks_which_where_nothing_tells(shop: Shop) -> None:
    one, two = start_free(shop.bench, "lamp foot"), start_free(shop.bench, "jig")
    for job in (one, two):
        shop.bench.do(job, cmd.DoFreely(act="sanded"))
    async with at_bench(shop) as (app, pilot):
        await press(pilot, "backspace")
        assert isinstance(app.screen, Choose)
        await press(pilot, "1")
    assert shop.bench.shop.jobs[one].free == ()
    assert len(shop.bench.shop.jobs[two].free) == 1


async def test_a_job_without_a_plan_is_picked_by_its_digit_beside_a_planned_one(
    shop: Shop,
) -> None:
    shop.small()
    free = start_free(shop.bench, "jig")
    async with at_bench(shop) as (app, pilot):
        await write_note(pilot, "planned")
        await press(pilot, "3")
        assert "Jig: it has no plan." in plain(app)
        await write_note(pilot, "free")
        await press(pilot, "w")
        await typed(pilot, "lid")
        await press(pilot, "enter")
        assert "What does it weigh: lid? (jig)" in plain(app)
        await typed(pilot, "120 g")
        await press(pilot, "enter")
        await press(pilot, "space")
        assert "Nothing to do just now." in plain(app)
        await press(pilot, "0")
        assert "Mix resin and hardener" in plain(app)
    assert (notes(shop, "t"), notes(shop, free)) == (["planned"], ["free"])
    assert [w.what for w in shop.bench.shop.jobs[free].weighings.values()] == ["lid"]
    assert shop.done == []


async def test_a_paused_job_is_brought_back_by_what_the_bench_says(shop: Shop) -> None:
    shop.small()
    free = start_free(shop.bench, "jig")
    async with at_bench(shop) as (app, pilot):
        await press(pilot, "o", "2", "1")
        assert "Bookends paused" in plain(app)
        assert "To resume: 1, then o." in plain(app)
        await press(pilot, "1", "o", "2")
        assert "Bookends resumed." in plain(app)
    assert shop.bench.shop.jobs["t"].status == "open"
    assert shop.bench.shop.jobs[free].status == "open"


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("n", "Note about “mix cup 1” (Bookends)"),
        ("n tab", "Next time: note about “mix cup 1” (Bookends)"),
        ("x", "Why skip “mix cup 1”? (Bookends)"),
        ("t", "Mix cup 1: which time? (Bookends)"),
        ("t 1", "Mixed cup 1: when? (16:35, yesterday 17:00, or 10 min ago) (Bookends)"),
        ("o 4", "Which piece? (Bookends)"),
        ("o", "Bookends"),
    ],
)
async def test_every_prompt_names_the_job_and_the_act(shop: Shop, key: str, said: str) -> None:
    shop.small()
    async with at_bench(shop) as (app, pilot):
        await press(pilot, *key.split())
        assert said in plain(app)


async def test_a_weigh_prompt_names_piece_and_job(shop: Shop) -> None:
    shop.small()
    shop.mix()
    shop.bench.do("t", cmd.MarkDone(address="t/B/block/pour#1"))
    async with at_bench(shop) as (app, pilot):
        await press(pilot, "2", "w")
        assert "Bookend B: weigh the layer (Bookends)" in plain(app)


# The digits ---------------------------------------------------------------------------------

TWELVE = [Piece(f"job-{n}", "A", f"lamp A ({n})") for n in range(1, 13)]


@pytest.mark.parametrize("at", range(12))
@pytest.mark.parametrize("cells", [30, 66, 80])
def test_the_line_of_digits_shows_the_piece_in_hand_and_that_there_are_more(
    at: int, cells: int
) -> None:
    said = text_of([digits(TWELVE, f"job-{at + 1}", "A", cells)])
    assert len(said) <= cells
    assert f"lamp A ({at + 1})" in said
    assert "…" in said
    assert said.rstrip().endswith("tab next")


def test_a_line_that_fits_has_no_dots() -> None:
    assert text_of([digits(TWELVE[:3], "job-1", "A", 80)]).rstrip() == (
        " 1 lamp A (1)   2 lamp A (2)   3 lamp A (3)"
    )


async def test_tab_goes_through_all_pieces_and_round(shop: Shop) -> None:
    for n in range(11):
        start_free(shop.bench, f"tray {n + 1}")
    async with at_bench(shop) as (app, pilot):
        await press(pilot, "9", "tab", "tab")
        assert "Tray 11: it has no plan." in plain(app)
        await press(pilot, "tab")
        assert "Tray 1: it has" in plain(app)
        await press(pilot, "shift+tab")
        assert "Tray 11: it has" in plain(app)


async def test_the_job_card_is_that_of_the_job_in_hand_and_its_prompts_name_it(
    shop: Shop,
) -> None:
    start_clock(shop.bench, find_material(shop.bench, GLUE), "clamped", name="tray")
    shop.small()
    free = start_free(shop.bench, "jig")
    shop.bench.do(free, cmd.Weigh(address="", net_g=120.0, what="lid"))
    async with at_bench(shop) as (app, pilot):
        await press(pilot, "j")
        assert "Job card: Bookends" in plain(app)
        await press(pilot, "escape", "4", "j")
        assert "Job card: jig" in plain(app)
        app.screen.mark(("act", 2))  # type: ignore[attr-defined]
        await press(pilot, "enter")
        assert "Lid: recorded was 120 g. Correct net weight? (jig)" in plain(app)


async def test_a_measured_void_is_shown_before_it_changes_the_plan(shop: Shop) -> None:
    shop.bookends("pour#1")
    old = shop.bench.shop.jobs[shop.job].plan
    async with at_bench(shop) as (app, pilot):
        for keys, text in (
            ("down enter", "105.9 ml → 101.5 ml"),
            ("enter", "The plan is changed."),
        ):
            await pick(app, pilot, "o", "Change the plan", "measured")
            await typed(pilot, "A=46 mm")
            await press(pilot, "enter")
            assert isinstance(app.screen, Choose)
            assert "105.9 ml → 101.5 ml" in plain(app)
            await press(pilot, *keys.split())
            assert (shop.bench.shop.jobs[shop.job].plan == old) == (keys != "enter"), text
        assert "The plan is changed." in plain(app)


async def test_the_plan_is_changed_in_each_way_by_keys(shop: Shop, tmp_path: Path) -> None:
    shop.bookends("pour#1")
    job = shop.job
    edited = tmp_path / "edited.toml"
    edited.write_text(shop.bench.shop.jobs[job].text.replace("to 240", "to 320"), encoding="utf-8")

    async def taken(pilot: Pilot[None], app: BenchApp, shown: str) -> None:
        assert shown in plain(app)
        await press(pilot, "enter")
        await typed(pilot, "the maker wished it")
        await press(pilot, "enter")
        assert "The plan is changed." in plain(app)

    async with at_bench(shop) as (app, pilot):
        ways = (
            (("target",), "B=840 g +/- 6 g", "target of B"),
            (("material", "glue"), "white wood glue", "white wood glue in place of"),
            (("amount", "B"), "120 g", "→ 120.0 g"),
            (("pieces",), "3", "one more piece: C"),
            (("One more step",), "Sign the underside", ""),
            (("another place", "Sign the underside", "sand"), "", "comes behind"),
            (("Leave a step out", "Sign the underside"), "", "left out"),
            (("edited file",), str(edited), "320"),
        )
        for words, text, shown in ways:
            before = shop.bench.shop.jobs[job].plan
            await pick(app, pilot, "o", "Change the plan", *words)
            if text:
                app.screen.query_one(Input).value = text
                await press(pilot, "enter")
            if not shown:
                await pick(app, pilot, "", "cap")
                shown = "added"
            await taken(pilot, app, shown)
            assert shop.bench.shop.jobs[job].plan != before, words
        assert len(shop.bench.shop.jobs[job].changes) == len(ways)


async def pick(app: BenchApp, pilot: Pilot[None], key: str, *words: str) -> None:
    """The options that hold these words, one question after the other."""
    if key:
        await press(pilot, key)
    for word in words:
        assert isinstance(app.screen, Choose), plain(app)
        options = app.screen.options
        n = next((n for n, text in enumerate(options) if word in text), None)
        assert n is not None, (word, options)
        app.screen.action_pick(n + 1)
        await pilot.pause()


async def test_what_was_used_up_is_told_at_the_menu(shop: Shop) -> None:
    shop.bookends("pour#1")
    async with at_bench(shop) as (app, pilot):
        await pick(app, pilot, "o", "Sheets")
        await typed(pilot, "abrasive sheet 5; tape 2 m")
        await press(pilot, "enter")
        assert "abrasive sheet: 5 sheets, masking tape: 2 m" in plain(app)
