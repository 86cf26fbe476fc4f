"""The bench in the app: the glove key, taking back, picking, the lock, other keys."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot

from benchmate.job.deciding import commands as cmd
from benchmate.job.looking_back.summary import final_weighing
from benchmate.journal import Journal, JournalFull
from benchmate.settings import Settings
from benchmate.tui.app import SCREENS, BenchApp
from benchmate.tui.bench.acting import CHANGED, TOO_SOON
from benchmate.tui.bench.screen import BenchScreen
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.widgets.lines import Lines
from tests.tui.benches import MIX, POUR, Shop, filled_plan
from tests.tui.painting import said

SIZE = (80, 24)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path).small(filled_plan())
    yield made
    made.bench.close()


def shows(app: BenchApp) -> str:
    """Everything on the screen, as text."""
    return said(app)


def on_bench(app: BenchApp) -> str:
    """Everything on the bench screen, also where a question stands above it."""
    bench = next(s for s in app.screen_stack if isinstance(s, BenchScreen))
    return "\n".join(block.text for block in bench.query(Lines) if block.display)


async def press(pilot: Pilot[None], *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await pilot.pause()


async def typed(pilot: Pilot[None], text: str) -> None:
    names = {" ": "space", ".": "full_stop", ",": "comma", "/": "slash"}
    await press(pilot, *(names.get(c, c) for c in text))


# The glove key -------------------------------------------------------------------------------


async def test_the_glove_key_does_the_act_shown_and_says_so(shop: Shop) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        assert "Mix resin and hardener" in shows(app)
        await press(pilot, "space")
        assert shop.done == [MIX]
        assert "Recorded: mixed cup 1." in shows(app)
        assert "Bookend A: shot for layer 1" in shows(app)


@pytest.mark.parametrize(
    ("gaps_s", "acts"),
    [
        ((0.0, 0.03, 0.03, 0.03), 1),
        ((0.0, 1.4), 1),
        ((0.0, 0.5, 0.5, 0.5), 1),
        ((0.0, 1.1, 1.1, 1.1), 2),
        ((0.0, 1.5), 2),
        ((0.0, 1.6, 0.1, 0.1), 2),
    ],
    ids=["held", "a bounce", "held slowly", "every 1.1 s", "two presses", "a press and a held key"],
)
async def test_presses_close_together_are_one_act(
    shop: Shop, gaps_s: tuple[float, ...], acts: int
) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        for gap in gaps_s:
            shop.clock.tick(gap)
            await press(pilot, "space")
        assert len(shop.done) == acts


async def test_an_act_that_changes_under_the_finger_is_not_done(shop: Shop) -> None:
    other = shop.open()
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        shop.clock.tick(10.0)
        other.do("t", cmd.MarkDone(address=MIX))
        app.tick()
        await pilot.pause()
        assert "Bookend A: shot for layer 1" in shows(app)
        shop.clock.tick(0.3)
        await press(pilot, "space")
        assert shop.done == [MIX]
        assert CHANGED in " ".join(shows(app).split())
        shop.clock.tick(0.2)
        await press(pilot, "space")
        assert shop.done == [MIX, POUR.format("A", 1)]
    other.close()


async def test_an_act_that_changed_by_the_makers_own_key_is_done_at_once(shop: Shop) -> None:
    shop.mix()
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "2", "space")
        assert shop.done == [MIX, POUR.format("B", 1)]


async def test_the_glove_key_alone_pours_but_never_makes_up_a_weight(shop: Shop) -> None:
    """A weight is put off, and what else there is to do comes up; none is ever taken as planned."""
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        for _ in range(30):
            shop.clock.tick(2.0)
            await press(pilot, "space" if not isinstance(app.screen, Choose) else "2")
        assert shop.done[:2] == [MIX, POUR.format("A", 1)]
        assert not shop.bench.shop.jobs["t"].weighings


async def test_a_press_that_is_ignored_is_told(shop: Shop) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "space")
        shop.clock.tick(1.1)
        await press(pilot, "space")
        assert TOO_SOON in " ".join(shows(app).split())


async def test_a_press_from_before_the_step_could_be_read_does_nothing(shop: Shop) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        early = events.Key("space", " ")
        await press(pilot, "space")
        shop.clock.tick(3.0)
        app.post_message(early)
        await pilot.pause()
        await pilot.pause()
        assert shop.done == [MIX]
        assert CHANGED in " ".join(shows(app).split())


async def test_another_glove_key_can_be_chosen(tmp_path: Path) -> None:
    made = Shop(tmp_path, Settings(glove_key="f5")).small()
    app = BenchApp(made.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "space")
        assert made.done == []
        await press(pilot, "f5")
        assert made.done == [MIX]
        assert "f5 poured" in shows(app)


@pytest.mark.parametrize("name", ["w", "spcae"])
async def test_a_glove_key_that_can_not_be_is_said_and_space_holds(
    tmp_path: Path, name: str
) -> None:
    made = Shop(tmp_path, Settings(glove_key=name)).small()
    app = BenchApp(made.bench)
    async with app.run_test(size=SIZE) as pilot:
        assert "space holds until" in " ".join(shows(app).split())
        await press(pilot, "space")
        assert made.done == [MIX]


# Taking back, picking, locking ---------------------------------------------------------------


async def test_backspace_takes_back_and_asks_where_others_rest_on_it(shop: Shop) -> None:
    app = BenchApp(shop.bench)
    shop.mix()
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "backspace")
        assert shop.done == []
        assert "corrects the record, not the wood" in shows(app)


async def test_digits_pick_a_piece_and_nought_goes_back(shop: Shop) -> None:
    shop.mix()
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "2")
        assert "Bookend B: shot for layer 1" in shows(app)
        await press(pilot, "0")
        assert "Bookend A: shot for layer 1" in shows(app)
        await press(pilot, "7")
        assert "There is no piece 7." in shows(app)


async def test_a_picked_piece_gives_way_to_what_would_spoil(tmp_path: Path) -> None:
    made = Shop(tmp_path).small()
    made.bookends()
    app = BenchApp(made.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "4", "w")
        await typed(pilot, "293 g")
        await press(pilot, "enter")
        assert "Bookend B" in shows(app)
        made.bench.do("t", cmd.MarkDone(address=MIX))
        made.clock.tick(5.0)
        await press(pilot, "w")
        await typed(pilot, "39 g")
        await press(pilot, "enter")
        assert "Bookend A: shot for layer 1" in shows(app)


async def test_a_lock_leaves_three_keys_alive_and_says_so(shop: Shop) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "ctrl+l")
        assert "LOCKED" in shows(app)
        for key in ("n", "b", "k", "L", "escape", "2", "ctrl+q", "question_mark", "ctrl+p"):
            await press(pilot, key)
            assert len(app.screen_stack) == 2, key
        assert "Keys locked. ctrl+l unlocks" in " ".join(shows(app).split())
        await press(pilot, "space")
        assert shop.done == [MIX]
        await press(pilot, "backspace")
        assert shop.done == []
        await press(pilot, "ctrl+l", "b")
        assert "LOCKED" not in on_bench(app)
        assert len(app.screen_stack) == 3


async def test_under_the_lock_a_question_answers_to_the_same_three_keys(shop: Shop) -> None:
    shop.mix()
    shop.bench.do("t", cmd.MarkDone(address=POUR.format("A", 1)))
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "ctrl+l", "space")
        assert len(app.screen_stack) == 3
        await press(pilot, "9", "escape", "enter")
        assert len(app.screen_stack) == 3
        await press(pilot, "backspace")
        assert len(app.screen_stack) == 2
        for _ in range(4):
            shop.clock.tick(2.0)
            await press(pilot, "space")
        assert [w.net_g for w in shop.bench.shop.jobs["t"].weighings.values()] == []


# Other keys ----------------------------------------------------------------------------------


async def test_the_help_page_goes_round_the_themes(shop: Shop) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        seen = [app.theme]
        await press(pilot, "question_mark")
        for _ in range(3):
            await press(pilot, "enter")
            seen.append(app.theme)
        assert seen == ["bench-dark", "bench-light", "bench-high-contrast", "bench-dark"]


async def test_every_name_that_a_key_opens_is_in_the_table(shop: Shop) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE):
        actions = [a.binding.action for a in app.screen.active_bindings.values()]
        opened = [a.partition("'")[2][:-2] for a in actions if "open('" in a]
        assert opened
        assert set(opened) <= set(SCREENS)


async def test_a_screen_that_is_not_there_is_said(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(SCREENS, "reckon", "benchmate.tui.pages.nowhere:Nothing")
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "c")
        assert "The screen “reckon” is not built yet." in shows(app)


@pytest.mark.parametrize(("key", "title"), [("e", "End of day"), ("question_mark", "Keys of this")])
async def test_pages_open_and_escape_leaves_them(shop: Shop, key: str, title: str) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, key)
        assert title in shows(app)
        await press(pilot, "escape")
        assert "Mix resin" in shows(app)


async def test_help_names_every_key_of_the_bench_with_a_sentence(shop: Shop) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=(160, 50)) as pilot:
        bound = [a.binding for a in app.screen.active_bindings.values()]
        own = [b for b in bound if b.id is not None]
        assert all(b.tooltip for b in own)
        await press(pilot, "question_mark")
        text = " ".join(shows(app).split())
        assert "Do the step shown" in text
        assert "1-9" in text
        assert "Flags, what each piece will weigh" in text


async def test_pausing_and_going_on(shop: Shop) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "o", "2")
        assert shop.bench.shop.jobs["t"].status == "open", "it asks first"
        await press(pilot, "1")
        assert shop.bench.shop.jobs["t"].status == "paused"
        assert "Bookends paused" in shows(app)
        await press(pilot, "o", "2")
        assert shop.bench.shop.jobs["t"].status == "open"


async def test_the_job_menu_stops_a_job_with_a_reason(shop: Shop) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "o", "1")
        assert "11 steps left." in " ".join(shows(app).split())
        await press(pilot, "o", "7")
        await typed(pilot, "no walnut")
        await press(pilot, "enter")
        assert shop.bench.shop.jobs["t"].status == "stopped"


async def test_a_spoiled_piece_is_scrap_or_made_again(shop: Shop) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "o", "4", "2", "1")
        await typed(pilot, "drilled through")
        await press(pilot, "enter")
        assert shop.bench.shop.jobs["t"].spoiled == {"B": "drilled through"}
        assert "Bookend B is scrap." in shows(app)


async def test_a_job_whose_steps_are_done_is_finished_with_its_outcome(shop: Shop) -> None:
    for step in shop.bench.shop.jobs["t"].steps.values():
        shop.bench.do("t", cmd.Skip(address=step.address, reason="a rehearsal"))
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        assert "o finishes it" in shows(app)
        await press(pilot, "o", "1")
        await typed(pilot, "well")
        await press(pilot, "enter")
        await typed(pilot, "pair.jpg")
        await press(pilot, "enter")
        assert "Finished weight of bookend A" in shows(app)
        await typed(pilot, "851 g")
        await press(pilot, "enter", "enter")
        job = shop.bench.shop.jobs["t"]
        assert (job.status, job.outcome, job.photo) == ("finished", "well", "pair.jpg")
        final = final_weighing(job, "A")
        assert final is not None
        assert (final.net_g, final.what) == (851.0, "finished piece")
        assert final_weighing(job, "B") is None
        assert "is finished. Another like it?" in " ".join(shows(app).split())
        await press(pilot, "1")
        assert "Bookends is finished." in shows(app)


async def test_another_process_is_seen_at_the_next_tick(shop: Shop) -> None:
    other = shop.open()
    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        other.do("t", cmd.MarkDone(address=MIX))
        app.tick()
        await pilot.pause()
        assert "Bookend A: shot for layer 1" in shows(app)
    other.close()


async def test_a_full_disk_stops_the_act_and_is_said(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise JournalFull("The disk is full. Nothing was recorded.")

    app = BenchApp(shop.bench)
    async with app.run_test(size=SIZE) as pilot:
        monkeypatch.setattr(Journal, "append", full)
        await press(pilot, "space")
        assert shop.done == []
        assert "The disk is full. Nothing was recorded." in shows(app)
        await press(pilot, "n")
        await typed(pilot, "sticky")
        await press(pilot, "enter")
        assert "What you typed is still here." in shows(app)
        assert app.screen.query_one("#typed").value == "sticky"  # type: ignore[attr-defined]
        monkeypatch.undo()
        await press(pilot, "enter")
        assert "Noted in Bookends." in shows(app)
