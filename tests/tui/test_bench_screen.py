"""The bench as a whole: everything at once on usual sizes, safe text, adjustments, what to see."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.words.phrases import piece_label
from benchmate.plan.plan import PiecePlan
from benchmate.tui.app import BenchApp
from benchmate.tui.bench.screen import BenchScreen
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.widgets.lines import Lines
from tests.tui.benches import POUR, Shop, filled_plan
from tests.tui.painting import to_offer
from tests.tui.test_bench_keys import press, shows, typed

NASTY = "[/x] \x1b[31mred\x1b]0;title\x07 \u202egnp"
SAFE = "[/x] ·[31mred·]0;title· ·gnp"


@pytest.fixture
def pouring(tmp_path: Path) -> Iterator[Shop]:
    """Bookend A is poured, and the second of four layers has come out light."""
    made = Shop(tmp_path).bookends("A/block/pour#2")
    act = made.bench.agenda().next
    assert act is not None
    made.clock.tick(300.0)
    _weigh(made, act, -12.0)
    yield made
    made.bench.close()


def _weigh(shop: Shop, act: Act, off_g: float) -> None:
    assert act.step is not None
    assert act.step.weigh is not None
    plan = act.step.weigh.plan_g or 0.0
    shop.bench.do(
        act.job, cmd.Weigh(address=act.address, net_g=plan + off_g, division_g=0.1, u_g=0.1)
    )


def job_of(shop: Shop) -> JobState:
    return shop.bench.shop.jobs[shop.job]


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (120, 40), (160, 50), (200, 60)])
async def test_all_of_it_is_on_the_screen_at_once(pouring: Shop, size: tuple[int, int]) -> None:
    app = BenchApp(pouring.bench)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        blocks = [b for b in app.screen.query(Lines) if b.display]
        assert max(b.region.bottom for b in blocks) <= size[1]
        assert all(b.region.right <= size[0] for b in blocks)
        text = shows(app)
        for part in (
            "Bookend A: layer 3 of 4",
            "g shot",
            "pot life",
            "▸",
            "▒",
            "space poured",
            "cup 1, pot life",
            "weighed",
            " g light",
            "will weigh",
            "adjustment",
            "later",
        ):
            assert part in text, part


@pytest.mark.parametrize("size", [(20, 5), (30, 8), (40, 12), (12, 3), (5, 2), (300, 100)])
async def test_odd_sizes_show_the_act_and_do_not_crash(
    pouring: Shop, size: tuple[int, int]
) -> None:
    app = BenchApp(pouring.bench)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        text = shows(app)
        if size[0] >= 20:
            assert "Bookend A:" in text
            assert " left" in text
        await press(pilot, "b", "b", "w", "escape", "o", "escape", "e", "escape")


async def test_the_screen_is_to_hand_anew_when_its_size_changes(pouring: Shop) -> None:
    app = BenchApp(pouring.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.resize_terminal(160, 50)
        await pilot.pause()
        assert "so far" in shows(app)
        await pilot.resize_terminal(20, 5)
        await pilot.pause()
        assert "weighed" not in shows(app)


async def test_a_look_at_an_unchanged_bench_paints_nothing(pouring: Shop) -> None:
    app = BenchApp(pouring.bench)
    app.tick = lambda: None  # type: ignore[method-assign]
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, BenchScreen)
        screen.look()
        changed: list[bool] = []
        for block in screen.query(Lines):
            real = block.show
            block.show = lambda rows, real=real: changed.append(real(rows))  # type: ignore
        screen.look()
        assert changed
        assert not any(changed)


# The weight ----------------------------------------------------------------------------------


async def test_the_adjustment_shows_old_and_new_first_and_writes_both_down(pouring: Shop) -> None:
    app = BenchApp(pouring.bench)
    async with app.run_test(size=(100, 40)) as pilot:
        before = job_of(pouring).version
        await press(pilot, "f")
        to_offer(app)
        await press(pilot, "enter")
        assert isinstance(app.screen, Choose)
        text = shows(app)
        assert "weigh out" in text
        assert "→" in text
        assert job_of(pouring).version == before
        await press(pilot, "escape")
        assert job_of(pouring).version == before
        await press(pilot, "enter", "1")
        changed = [r.event for r in job_of(pouring).records if isinstance(r.event, ev.PlanChanged)]
        assert len(changed) == 1
        assert changed[0].amounts
        assert changed[0].reason == "adjustment"
        assert "The plan is adjusted" in shows(app)


async def test_without_an_offer_the_page_says_so(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "f")
        assert "No adjustment to offer" in shows(app)
    shop.bench.close()


async def test_flags_stand_on_their_page_until_they_are_ok(pouring: Shop) -> None:
    app = BenchApp(pouring.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        assert "1 flagged" in shows(app)
        await press(pilot, "f")
        assert "bookend A, layer 2" in shows(app) or "bookend A, poured 2" in shows(app)
        await press(pilot, "enter")
        assert job_of(pouring).seen
        assert "Nothing flagged" in shows(app)
        await press(pilot, "escape")
        assert "flagged" not in shows(app)


async def test_cautions_are_short_on_the_bench_and_whole_on_their_key(pouring: Shop) -> None:
    app = BenchApp(pouring.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        assert "Cover your skin" not in shows(app)
        await press(pilot, "exclamation_mark")
        assert "epoxy can make you allergic. That lasts for life" in " ".join(shows(app).split())
        await press(pilot, "enter")
        assert len(app.screen_stack) == 2


# What users write ----------------------------------------------------------------------------


async def test_user_text_is_neither_markup_nor_steers_the_terminal(tmp_path: Path) -> None:
    plan = filled_plan()
    steps = tuple(msgspec.structs.replace(s, do=f"{s.do} {NASTY}") for s in plan.steps)
    pieces = (PiecePlan(name="A", label=NASTY, target_g=600.0, tolerance_g=5.0), plan.pieces[1])
    shop = Shop(tmp_path).small(
        msgspec.structs.replace(plan, title=NASTY, steps=steps, pieces=pieces)
    )
    shop.mix()
    job = job_of(shop)
    assert piece_label(job, "A") == NASTY
    shop.bench.do("t", cmd.Note(text=NASTY))
    app = BenchApp(shop.bench)
    async with app.run_test(size=(160, 50)) as pilot:
        await pilot.pause()
        seen = [shows(app)]
        for key in ("b", "b", "o", "escape", "w", "escape", "t", "escape", "x", "escape", "f"):
            await press(pilot, key)
            seen.append(shows(app))
        every = "\n".join(seen)
        assert SAFE in every
        assert not set(every) & {"\x1b", "\x07", "\u202e"}
    shop.bench.close()


async def test_a_note_with_brackets_and_escapes_is_kept_as_typed(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "n")
        await typed(pilot, "sticky")
        app.screen.query_one("#typed").value = NASTY  # type: ignore[attr-defined]
        await press(pilot, "enter")
        assert job_of(shop).notes[-1].event.text == NASTY
        assert "Noted in Bookends." in shows(app)
    shop.bench.close()


async def test_the_piece_fills_as_layers_are_poured(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small(filled_plan())
    shop.mix()
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        assert "▒" not in shows(app)
        shop.bench.do("t", cmd.Weigh(address=POUR.format("A", 1), net_g=128.0))
        await press(pilot, "0")
        assert "▒" in shows(app)
    shop.bench.close()
