"""Starting a job by keys: the list of procedures, their parameters, the proof as one types."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.starting.starting import plan_for, start_job
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import LEARNED
from benchmate.procedure.finding import shipped_folder
from benchmate.quantities import show_mass
from benchmate.tui.pages.starting.parameters import ParametersScreen
from benchmate.tui.pages.starting.start import StartScreen
from tests.hand_made import record
from tests.tui.screen_help import Hands, open_bench, opened

BOX = """
name = "Small box"
about = "A box with a lid [not markup]"

[parameters.count]
ask = "How many boxes"
default = 2
at_least = 1
at_most = 4

[parameters.height]
ask = "Height"
default = "40 mm"
at_least = "30 mm"
at_most = "60 mm"
per_piece = true
"""
REST = """
[[steps]]
do = "Cut the box {height} high."
hands = "20 min"
"""

SHIPPED = [p.stem for p in shipped_folder().glob("*.toml")]
BOOKENDS = str(sorted(SHIPPED).index("matched-bookends") + 1)
OWN_BOX = str(sorted([*SHIPPED, "small-box"]).index("small-box") + 1)
"""Procedures are listed by name, and picked by their number."""
TO_BOOKENDS = ["down"] * (int(BOOKENDS) - 1)


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return open_bench(tmp_path)


def write(bench: Bench, name: str, text: str, *, later_s: int = 0) -> Path:
    """An own procedure; `later_s` moves its time on, as a second save would."""
    folder = bench.folders.procedures
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{name}.toml"
    path.write_text(text)
    stat = path.stat()
    os.utime(path, ns=(stat.st_atime_ns, stat.st_mtime_ns + later_s * 10**9))
    return path


def box(bench: Bench) -> Path:
    head, _, parameters = BOX.partition("[parameters.count]")
    return write(
        bench, "small-box", f'{head}makes = "{{count}}"\n[parameters.count]{parameters}{REST}'
    )


async def saved(hands: Hands) -> None:
    """The second after which the screen looks at the files again."""
    hands.front.tick()
    await hands.settle()


async def test_shipped_and_own_procedures_are_listed_with_what_they_are_about(bench: Bench) -> None:
    box(bench)
    async with opened(bench, StartScreen()) as hands:
        text = hands.text("page-body")
        assert "Matched bookends" in text
        assert "your own; A box with a lid [not markup]" in text
        assert "without a plan" in text
        count = len(list(shipped_folder().glob("*.toml"))) + 1
        assert f"{count} procedures, 1 your own" in hands.text("page-head")


async def test_a_job_starts_from_a_procedure_by_a_digit_and_enter_alone(bench: Bench) -> None:
    async with opened(bench, StartScreen()) as hands:
        await hands.press(BOOKENDS, *["enter"] * 10)
        assert hands.answer == "Started: matched-bookends-1."
    job = bench.shop.jobs["matched-bookends-1"]
    assert job.plan is not None
    expected, text = plan_for(bench, "matched-bookends", {}, "matched-bookends-1")
    assert job.plan.steps == expected.steps
    assert job.text == text


async def test_the_arrows_choose_and_escape_goes_back_without_a_job(bench: Bench) -> None:
    async with opened(bench, StartScreen()) as hands:
        await hands.press("down", "down", "down", "enter")
        assert "Plane-setting hammer" in hands.text("page-head")
        await hands.press("escape")
        assert isinstance(hands.front, StartScreen)
        await hands.press("escape")
        assert hands.answer is None
    assert not bench.shop.jobs


async def test_the_proof_says_what_the_plan_comes_to(bench: Bench) -> None:
    plan, _ = plan_for(bench, "matched-bookends")
    async with opened(bench, StartScreen(), (160, 50)) as hands:
        await hands.press(BOOKENDS)
        proof = hands.text("page-detail")
    layer = plan.fills[0].layers[0]
    assert "2 pieces, target 850 g ± 8 g each, matched within 5" in proof
    assert f"4 layers of {show_mass(layer.shot_g)} shot and" in proof
    assert f"{len(plan.mixes)} cups" in proof
    assert "common practice, no source" in proof
    assert "at its thinnest" in proof
    assert "depth gauge" in proof


async def test_the_proof_follows_what_is_typed(bench: Bench) -> None:
    deep, _ = plan_for(bench, "matched-bookends", {"depth": "40 mm"})
    async with opened(bench, StartScreen()) as hands:
        await hands.press(BOOKENDS, "down", "down")
        before = hands.text("page-detail")
        await hands.type("40 mm")
        after = hands.text("page-detail")
        assert hands.front.values["depth"] == "40 mm"
    assert before != after
    assert f"of {show_mass(deep.fills[0].layers[0].shot_g)} shot" in after
    assert "short" in after, "the trade's doubt: the target is no longer reached"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("abc", "abc"),
        ("12", "12"),
        ("90 mm", "it must be at most"),
        ("40 g", "40 g"),
        ("x" * 5000, "x"),
        ("[/]", "[/]"),
    ],
    ids=["no quantity", "no unit", "beyond its limit", "another unit", "a pasted page", "markup"],
)
async def test_a_bad_value_is_said_beside_its_field_and_starts_nothing(
    bench: Bench, typed: str, said: str
) -> None:
    async with opened(bench, StartScreen()) as hands:
        await hands.press(BOOKENDS, "down", "down")
        await hands.type(typed)
        row = hands.front.form.row("depth")
        assert said in row.fault
        await hands.press("f2")
        assert "marked ✗ first" in hands.text("page-said")
        assert row.value == typed, "what was typed is still there"
        await hands.press("f4", "f2")
    assert list(bench.shop.jobs) == ["matched-bookends-1"]


async def test_a_choice_is_picked_with_the_arrows_or_by_its_letter(bench: Bench) -> None:
    async with opened(bench, StartScreen()) as hands:
        await hands.press(BOOKENDS, "down", "right")
        assert hands.front.values["wood"] == "black cherry"
        await hands.press("s")
        assert hands.front.values["wood"] == "sugar maple"
        await hands.press("left", "left")
        assert hands.front.values["wood"] == "black walnut"


async def test_the_proofreaders_doubts_are_asked_about_before_the_start(bench: Bench) -> None:
    async with opened(bench, StartScreen()) as hands:
        await hands.press(BOOKENDS, "down", "down")
        await hands.type("40 mm")
        await hands.press("f2", "1")
        assert not bench.shop.jobs
        await hands.press("f2", "2")
    plan = bench.shop.jobs["matched-bookends-1"].plan
    assert plan is not None
    assert plan.parameters["depth"] == "40 mm"


async def test_pieces_may_differ_where_the_file_lets_them(bench: Bench) -> None:
    box(bench)
    async with opened(bench, StartScreen()) as hands:
        await hands.press(OWN_BOX)
        assert list(hands.front.form.values) == ["count", "height", "height @ A", "height @ B"]
        await hands.press("down", "down", "down")
        await hands.type("55 mm")
        assert hands.front.values["height"] == {"A": "40 mm", "B": "55 mm"}
        await hands.press("f2")
    plan = bench.shop.jobs["small-box-1"].plan
    assert plan is not None
    assert [s.do for s in plan.steps] == ["Cut the box 40 mm high.", "Cut the box 55 mm high."]


async def test_with_more_pieces_more_is_asked_and_what_was_typed_stays(bench: Bench) -> None:
    box(bench)
    async with opened(bench, StartScreen()) as hands:
        await hands.press(OWN_BOX, "down")
        await hands.type("35 mm")
        await hands.press("up")
        await hands.type("3")
        form = hands.front.form
        assert "height @ C" in form.values
        assert form.values["height"] == "35 mm"
        assert form.values["count"] == "3"


async def test_a_broken_file_says_what_is_wrong_and_is_read_again_when_saved(bench: Bench) -> None:
    path = write(bench, "tray", 'name = "Tray"\n[[steps]]\ndo = "Cut it."\nhands = 20\n')
    async with opened(bench, StartScreen()) as hands:
        assert "1 thing to put right" in hands.text("page-body")
        await hands.press("down", "down", "down", "down", "up", "down")
        hands.front.mark("tray")
        assert "tray.toml:4: steps[1].hands: 20 has no unit" in hands.text("page-detail")
        await hands.press("enter")
        assert "20 has no unit" in hands.text("page-detail")
        await hands.press("enter")
        assert "marked ✗ first" in hands.text("page-said")
        write(
            bench, "tray", 'name = "Tray"\n[[steps]]\ndo = "Cut it."\nhands = "20 min"\n', later_s=5
        )
        await saved(hands)
        assert "1 piece" in hands.text("page-detail")
        await hands.press("f2")
    assert list(bench.shop.jobs) == ["tray-1"]
    assert path.exists()


async def test_the_list_follows_the_folder(bench: Bench) -> None:
    async with opened(bench, StartScreen()) as hands:
        path = box(bench)
        await saved(hands)
        assert "Small box" in hands.text("page-body")
        write(bench, "small-box", "name = ", later_s=9)
        await saved(hands)
        assert "to put right" in hands.text("page-body")
        path.unlink()
        await saved(hands)
        assert "small-box" not in hands.text("page-body")


async def test_a_file_that_goes_away_while_it_is_open_is_said(bench: Bench) -> None:
    path = box(bench)
    async with opened(bench, ParametersScreen(path)) as hands:
        path.unlink()
        await saved(hands)
        assert "can't be read" in hands.text("page-detail")
        await hands.press("f2")
    assert not bench.shop.jobs


async def test_wishes_and_learned_values_of_earlier_jobs_are_shown(bench: Bench) -> None:
    now = bench.now()
    record(
        bench,
        (
            LEARNED,
            ev.NextTimeKept(
                happened=now,
                recorded=now,
                procedure="matched-bookends",
                file_step="flush",
                text="Warm the scraper [first]",
            ),
        ),
        (
            LEARNED,
            ev.Learned(
                happened=now,
                recorded=now,
                procedure="matched-bookends",
                key="packing/block",
                value=0.585,
            ),
        ),
    )
    async with opened(bench, StartScreen(), (100, 30)) as hands:
        await hands.press(*TO_BOOKENDS)
        about = hands.text("page-detail")
        assert "Next time, at “flush”: Warm the scraper [first]" in about
        assert "1 value learned" in about
        await hands.press(BOOKENDS)
        proof = hands.text("page-detail")
        assert "at “flush”: Warm the scraper [first]" in proof
        assert "packing/block 0.585" in proof


async def test_a_job_without_a_plan_needs_only_a_name(bench: Bench) -> None:
    async with opened(bench, StartScreen()) as hands:
        await hands.press("0", "enter")
        assert not bench.shop.jobs, "an empty name starts nothing"
        await hands.type("Trial lid")
        await hands.press("enter")
        assert str(hands.answer).startswith("Started: Trial lid.")
    job = bench.shop.jobs["trial-lid-1"]
    assert job.plan is None
    bench.do(job.job, cmd.Note(text="works"))


async def test_a_wish_goes_into_the_file_by_a_key_once_it_has_been_seen(bench: Bench) -> None:
    first = start_job(bench, "matched-bookends")
    bench.do(first, cmd.WishNextTime(file_step="pour", text="tap longer [/x]"))
    bench.do(first, cmd.Stop(reason="rehearsal"))
    own = bench.folders.procedures / "matched-bookends.toml"
    async with opened(bench, StartScreen()) as hands:
        await hands.press(*TO_BOOKENDS, "n")
        assert "a copy becomes your own" in hands.text("body")
        assert '+change.pour.note = "tap longer [/x]"' in hands.text("body")
        await hands.press("2")
        assert not own.exists()
        await hands.press("n", "1")
        assert "Your own copy has it" in hands.text("page-said")
        assert "your own; " in hands.text("page-body")
        await hands.press("n")
        assert "No “next time” note for matched-bookends" in hands.text("page-said")
    assert 'change.pour.note = "tap longer [/x]"' in own.read_text()


async def test_of_several_wishes_one_is_picked_or_forgotten(bench: Bench) -> None:
    first = start_job(bench, "matched-bookends")
    for text in ("tap longer", "warm the resin"):
        bench.do(first, cmd.WishNextTime(file_step="pour", text=text))
    async with opened(bench, StartScreen()) as hands:
        await hands.press(*TO_BOOKENDS, "n", "2")
        assert "warm the resin" in hands.text("question")
        await hands.press("3")
    assert [w.text for w in bench.shop.lessons.wishes] == ["tap longer"]
