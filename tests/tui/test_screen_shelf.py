"""The shelf by keys: a clock in two keys, a material's label typed once, work without a plan."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from textual.widgets import Input

from benchmate.bench import Bench
from benchmate.bench.shelf.materials import materials_of
from benchmate.bench.shelf.shelf import describe_material, with_label
from benchmate.bench.starting.proofing import faults_of_file
from benchmate.bench.starting.starting import start_free, start_job
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.state import JobState
from benchmate.shelf import FAMILIES, Material, acts_of
from benchmate.tui.app import BenchApp
from benchmate.tui.pages.shelf import ShelfScreen
from benchmate.tui.widgets.form import Form
from tests.tui.screen_help import Hands, open_bench, opened, tick

EPOXY = "slow casting epoxy"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return open_bench(tmp_path)


async def _more(hands: Hands, word: str) -> str:
    """The digit of an answer about the first material of the shelf."""
    await hands.press("1")
    options = hands.front.options
    await hands.press("escape")
    return str(next(n for n, text in enumerate(options, 1) if word in text))


def only_job(bench: Bench) -> JobState:
    (job,) = bench.shop.live
    return job


async def test_a_newcomer_starts_a_clock_with_two_keys_and_no_file(bench: Bench) -> None:
    async with opened(bench, ShelfScreen()) as hands:
        assert "nothing on the shelf yet: pick a kind" in hands.text("page-body")
        assert "common practice, no source" in hands.text("page-body")
        await hands.press("1", "1")
        assert str(hands.answer).startswith(f"{EPOXY}: mixed; pot life running.")
        assert "common practice, no source" in str(hands.answer)
    (view,) = bench.agenda().windows
    assert view.window.name == "pot life"
    assert view.closes is not None
    assert view.closes.at - bench.now_s() == FAMILIES[EPOXY].windows[0].closes_s


async def test_from_the_bench_it_is_one_key_more_and_the_clock_is_seen_running(
    bench: Bench,
) -> None:
    app = BenchApp(bench)
    async with app.run_test() as pilot:
        hands = Hands(app, pilot)
        await hands.press("m", "1", "1")
        text = hands.text()
    assert "pot life running" in text
    assert "45 min left" in text


async def test_the_act_is_asked_with_what_it_starts_and_escape_starts_nothing(
    bench: Bench,
) -> None:
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("1")
        assert "mixed: pot life 45 min at 18 to 22 °C" in hands.text("options")
        assert "Go by your label" in hands.text("body")
        await hands.press("escape")
        assert isinstance(hands.front, ShelfScreen)
    assert not bench.shop.jobs


async def test_name_grams_and_an_earlier_time_can_be_said_first(bench: Bench) -> None:
    describe_material(
        bench, Material(name="March epoxy", family=EPOXY, kind="resin", amount=1000.0)
    )
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("1", "3", "1")
        await hands.type("B: lid")
        await hands.press("enter", "3", "2")
        await hands.type("heavy")
        await hands.press("enter")
        await hands.type("62 g")
        await hands.press("enter", "3", "3")
        await hands.type("10 min ago")
        await hands.press("enter")
        assert "for lid, piece B, 62 g, done 08:50" in hands.text("asked-keys")
        await hands.press("1")
    (record,) = only_job(bench).free
    assert (record.event.name, record.event.piece) == ("lid", "B")
    assert record.event.used[0].amount == 62.0
    assert bench.now().wall_s - record.event.happened.wall_s == 600.0
    assert bench.shop.shelf.used == {"March epoxy": 62.0}
    async with opened(bench, ShelfScreen()) as hands:
        assert "938 g of 1000 g left" in hands.text("page-detail")


async def test_a_material_is_typed_from_its_label_and_its_own_times_run(bench: Bench) -> None:
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("plus", "enter")
        assert "new slow casting epoxy" in hands.text("page-head")
        await hands.type("March epoxy")
        await hands.press("down")
        await hands.type("maker's sheet, 2025-02")
        await hands.press("down")
        await hands.type("a while")
        await hands.press("f2")
        assert "marked ✗" in hands.text("page-said")
        assert not materials_of(bench)
        await hands.type("50 min at 23 °C")
        detail = hands.text("page-detail")
        assert "mixed: pot life, 50 min at 23 °C" in detail
        assert "Common practice, no source:" in detail
        await hands.press("f2")
        assert "March epoxy is on the shelf." in hands.text("page-said")
        await hands.press("1", "1")
        assert str(hands.answer).startswith("March epoxy: mixed; pot life running.")
        assert "common practice" not in str(hands.answer), "the pot life is the label's"
    material = materials_of(bench)["March epoxy"]
    assert material.windows[0].closes_s == 3000.0
    assert material.windows[0].at_c == 23.0
    (view,) = bench.agenda().windows
    assert view.window.source == "maker's sheet, 2025-02"


async def test_what_is_left_empty_stays_common_practice_and_is_shown_so(bench: Bench) -> None:
    async with opened(bench, ShelfScreen(), (100, 40)) as hands:
        await hands.press("plus", "enter")
        pot_life = hands.front.form.row("mixed/pot life/closes")
        assert pot_life.field.blank == "45 min at 21 °C: common practice, no source"
        await hands.press("f2")
        assert f"{EPOXY} is on the shelf." in hands.text("page-said")
        rows = hands.text("page-detail").splitlines()
    at = next(n for n, row in enumerate(rows) if "Common practice, no source" in row)
    assert any("pot life" in row for row in rows[at:])
    assert not any("pot life" in row for row in rows[:at])


async def test_a_family_is_found_by_a_few_letters(bench: Bench) -> None:
    describe_material(bench, Material(name="x", family=EPOXY))
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("plus", "o", "i", "l", "q")
        assert "Nothing by that name" in hands.text("page-body")
        await hands.press("backspace")
        assert "hard oil" in hands.text("page-body")
        await hands.press("enter")
        assert "new hard oil" in hands.text("page-head")
        await hands.press("escape", "plus", "2")
        assert "What is it? 2" in hands.text("page-head")


async def test_a_label_is_typed_anew_and_a_material_is_used_up(bench: Bench) -> None:
    describe_material(bench, Material(name="Glue", family="yellow wood glue", data_sheet="sheet 1"))
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("1", *await _more(hands, "label"))
        assert hands.front.form.values["data_sheet"] == "sheet 1"
        await hands.type("sheet 2")
        await hands.press("f2")
        assert materials_of(bench)["Glue"].data_sheet == "sheet 2"
        await hands.press("1", *await _more(hands, "used up"), "1")
        assert "Glue" in materials_of(bench)
        await hands.press("1", *await _more(hands, "used up"), "2")
        assert "Glue is off the shelf" in hands.text("page-said")
    assert not materials_of(bench)


async def test_two_materials_of_one_name_are_refused_at_the_field(bench: Bench) -> None:
    describe_material(bench, Material(name=EPOXY, family=EPOXY))
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("down", "plus", "enter")
        assert "on the shelf" in hands.front.form.row("name").fault
        await hands.press("f2")
        assert len(materials_of(bench)) == 1
        await hands.press("escape")


async def test_a_label_of_every_kind_can_be_left_empty(bench: Bench) -> None:
    by_kind = {t.kind: name for name, t in FAMILIES.items() if acts_of(t)}
    families = list(by_kind.values())
    async with opened(bench, ShelfScreen()) as hands:
        for family in families:
            hands.front.mark(("family", family))
            await hands.press("plus", "enter")
            assert not hands.front.faults, family
            await hands.press("f2")
    assert {n: t.windows for n, t in materials_of(bench).items()} == dict.fromkeys(families, ())


async def test_acts_go_to_the_job_without_a_plan_or_to_none_as_picked(bench: Bench) -> None:
    start_job(bench, "matched-bookends")
    lid, box = start_free(bench, "Lid"), start_free(bench, "Box")
    async with opened(bench, ShelfScreen()) as hands:
        assert "for Box" in hands.text("page-head")
        await hands.press("o", "1", "3")
        assert "for Lid" in hands.text("page-head")
        await hands.press("1", "1")
    assert [r.event.act for r in bench.shop.jobs[lid].free] == ["mixed"]
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("o", "1", "1")
        assert "not tied to a job" in hands.text("page-head")
        await hands.press("1", "2")
    assert not bench.shop.jobs[box].free
    assert [j.title for j in bench.shop.live] == ["Matched bookends", "Lid", "Box", "Clocks"]


async def test_a_clock_without_a_job_can_be_taken_back(bench: Bench) -> None:
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("1", "1")
    bench.do(only_job(bench).job, cmd.TakeBack())
    assert not bench.agenda().windows


async def _word(hands: Hands, keys: str, *texts: str) -> None:
    """Keys, and what they ask for."""
    await hands.press(*keys)
    for text in texts:
        await hands.type(text)
        await hands.press("enter")


async def test_an_unplanned_job_becomes_a_procedure_that_proofreads_and_runs(
    bench: Bench,
) -> None:
    describe_material(bench, Material(name="Glue", family="yellow wood glue", kind="wood glue"))
    job = start_free(bench, "Lid")
    async with opened(bench, ShelfScreen()) as hands:
        await _word(hands, "o2", "fitted")
        assert "Recorded: fitted." in hands.text("page-said")
        await _word(hands, "w", "A: blank", "118 g")
        assert "118 g" in hands.text("page-said")
        await _word(hands, "n", "tight [fit]")
        await _word(hands, "o3", "lid.jpg")
        assert "No such file is there now." in hands.text("page-said")
    for act in ("1", "2", "3"):
        tick(bench, 120)
        async with opened(bench, ShelfScreen()) as hands:
            await hands.press("1", act)
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("o", "4", "enter")
        path = bench.folders.procedures / "lid.toml"
        assert str(path) in "".join(hands.text("page-said").split())
        await hands.press("o", "4", "enter")
        assert "is there already" in " ".join(hands.text("answer").split())
        await hands.press("escape")
    state = bench.shop.jobs[job]
    assert [r.event.act for r in state.free] == ["fitted", "spread", "closed", "clamped"]
    (weighing,) = state.weighings.values()
    assert (weighing.net_g, weighing.piece, weighing.what) == (118.0, "A", "blank")
    assert [n.event.photo for n in state.notes] == ["", "lid.jpg"]
    assert tomllib.loads(path.read_text())["name"] == "Lid"
    assert faults_of_file(path, bench.folders.procedures.parent, materials_of(bench)) == ()
    planned = bench.job(start_job(bench, "lid"))
    assert planned is not None
    assert planned.plan is not None


async def test_the_keys_of_a_free_job_say_so_where_there_is_none(bench: Bench) -> None:
    async with opened(bench, ShelfScreen()) as hands:
        for key in "wn":
            await hands.press(key)
            assert "s, then 0, starts one" in hands.text("page-said")
    assert not bench.shop.jobs


async def test_enter_pressed_twice_in_a_row_puts_a_material_there_once(bench: Bench) -> None:
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("plus", "enter")
        form = hands.front.form
        form.post_message(Form.Done())
        form.post_message(Form.Done())
        await hands.settle()
        assert isinstance(hands.front, ShelfScreen)
    kinds = [ev.decode(row.data) for row in bench.journal.read_stream("stores")]
    assert len(kinds) == 1


async def test_a_question_answered_by_two_enters_is_recorded_once(bench: Bench) -> None:
    job = start_free(bench, "Lid")
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("n")
        await hands.type("tight fit")
        box = hands.app.focused
        assert isinstance(box, Input)
        for _ in range(2):
            box.post_message(Input.Submitted(box, box.value))
        await hands.settle()
        assert isinstance(hands.front, ShelfScreen)
    assert len(bench.shop.jobs[job].notes) == 1


async def test_a_page_pasted_as_a_name_is_refused_at_its_field(bench: Bench) -> None:
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("plus", "enter")
        await hands.type("# a page " * 40)
        assert "a few words" in hands.front.form.row("name").fault
        await hands.press("f2")
        assert not materials_of(bench)


async def test_a_new_material_is_marked_so_that_its_digit_and_its_keys_are_at_hand(
    bench: Bench,
) -> None:
    describe_material(bench, Material(name="Oil", family="hard oil"))
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("plus")
        for key in "white":
            await hands.press(key)
        await hands.press("enter")
        await hands.type("Glue")
        await hands.press("f2")
        assert hands.front.marked == ("material", "Glue")


async def test_a_fresh_material_of_one_that_was_used_up_needs_no_typing(bench: Bench) -> None:
    label = {"open time": "8 min at 20 °C", "amount": "500 g", "opened_on": "2026-01-01"}
    describe_material(bench, with_label(Material(name="Glue", family="yellow wood glue"), label))
    async with opened(bench, ShelfScreen()) as hands:
        await hands.press("1", *await _more(hands, "used up"), "2", "end")
        assert hands.front.marked == ("gone", "Glue")
        await hands.press("enter", "f2")
        assert hands.front.marked == ("material", "Glue")
    (glue,) = materials_of(bench).values()
    assert (glue.windows[0].closes_s, glue.amount, glue.opened_on) == (480.0, 500.0, "")
    assert not bench.shop.shelf.gone
