"""The bench with its reminders' thread beside it: banner, bell, keys, other processes, sleep."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from benchmate.bench import Bench
from benchmate.bench.errors import JournalError
from benchmate.bench.reminding.at_machine import is_at_machine
from benchmate.bench.reminding.minding import Minding
from benchmate.bench.reminding.reminding import hush, standing
from benchmate.remind.awake import KeepAwake
from benchmate.remind.channels.terminal import TerminalChannel
from benchmate.remind.voice import OneVoice
from benchmate.tui.app import BenchApp
from benchmate.tui.bench.minding import OTHER_REMINDS
from benchmate.tui.pages.away import Away
from benchmate.tui.widgets.lines import Lines
from tests.hand_made import in_state
from tests.minding_help import HOUR, MIN, MIX, mark, open_bench, start_plan, tick

TO_THE_LAST_CALL_S = 20 * MIN


class Minded(BenchApp):
    """The app with a thread that minds its bench and reaches the screen alone."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.rung = 0
        self.makes = make

    def bell(self) -> None:
        self.rung += 1


def make(bench: Bench, **told: Any) -> Minding:
    channels = [TerminalChannel(told["show"])]
    return Minding(bench, channels=channels, awake=KeepAwake(holders=()), **told)


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    made = open_bench(tmp_path)
    start_plan(made)
    mark(made, MIX)
    yield made
    made.close()


@asynccontextmanager
async def opened(bench: Bench) -> AsyncIterator[tuple[Minded, Pilot[None]]]:
    app = Minded(bench)
    async with app.run_test(size=(100, 30)) as pilot:
        await soon(pilot, lambda: app.minding is not None and app.minding.holds_voice is not None)
        yield app, pilot


async def soon(pilot: Pilot[None], what: Callable[[], object]) -> None:
    """Wait for something that another thread brings about."""
    give_up = time.monotonic() + 20.0
    while not what():
        assert time.monotonic() < give_up
        await pilot.pause()
        await asyncio.sleep(0.01)


def later(app: Minded, seconds: float) -> None:
    """Time passes, and the thread looks at once."""
    tick(app.bench, seconds)
    assert app.minding is not None
    app.minding.poke()


def banner(app: BenchApp) -> str:
    block = app.screen.query("#banner")
    return block.first(Lines).text if block else ""


async def test_what_comes_due_is_shown_with_a_bell_and_noted_as_sent(bench: Bench) -> None:
    async with opened(bench) as (app, pilot):
        assert banner(app) == ""
        later(app, TO_THE_LAST_CALL_S)
        await soon(pilot, lambda: "(10 min): mix 1, pot life, then the mix gels" in banner(app))
        await soon(pilot, lambda: app.rung == 1)
        await soon(pilot, lambda: [d.state for d in bench.journal.deliveries.since(0)] == ["sent"])


async def test_heard_at_this_bench_is_heard_everywhere(bench: Bench, tmp_path: Path) -> None:
    async with opened(bench) as (app, pilot):
        later(app, TO_THE_LAST_CALL_S)
        await soon(pilot, lambda: banner(app))
        await pilot.press("k")
        await soon(pilot, lambda: not banner(app))
        other = open_bench(tmp_path, start=bench.now())
        assert standing(other) == []
        other.close()
        later(app, 5 * MIN)
        await asyncio.sleep(0.1)
        await pilot.pause()
        assert banner(app) == ""
        assert app.rung == 1


async def test_heard_anywhere_else_is_quiet_here(bench: Bench, tmp_path: Path) -> None:
    async with opened(bench) as (app, pilot):
        later(app, TO_THE_LAST_CALL_S)
        await soon(pilot, lambda: banner(app))
        other = open_bench(tmp_path, start=bench.now())
        assert hush(other, "command") == 1
        other.close()
        await soon(pilot, lambda: not banner(app))


async def test_call_me_again_is_asked_with_times_and_kept(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("benchmate.tui.bench.minding.APART_S", 0.0)
    async with opened(bench) as (app, pilot):
        later(app, TO_THE_LAST_CALL_S)
        await soon(pilot, lambda: app.rung == 1)
        await pilot.press("r", "1")
        await soon(pilot, lambda: not banner(app))
        assert standing(bench) == []
        later(app, 4 * MIN)
        await asyncio.sleep(0.1)
        await pilot.pause()
        assert banner(app) == ""
        later(app, MIN + 1)
        await soon(pilot, lambda: "(5 min)" in banner(app))
        await soon(pilot, lambda: app.rung == 2)


async def test_an_act_takes_its_reminder_off_the_screen_by_itself(bench: Bench) -> None:
    async with opened(bench) as (app, pilot):
        later(app, TO_THE_LAST_CALL_S)
        await soon(pilot, lambda: banner(app))
        for piece in "AB":
            for n in (1, 2):
                mark(bench, f"t/{piece}/block/pour#{n}")
        await soon(pilot, lambda: "pot life" not in banner(app))


async def test_an_answer_that_cant_be_kept_is_said_and_stays_unanswered(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(bench) as (app, pilot):
        later(app, TO_THE_LAST_CALL_S)
        await soon(pilot, lambda: banner(app))
        await soon(pilot, lambda: not in_state(bench.journal.deliveries, "about to"))

        def refuse(*_: object) -> None:
            raise JournalError("The disk is full.")

        monkeypatch.setattr("benchmate.bench.reminding.reminding.answer", refuse)
        await pilot.press("k")
        await soon(pilot, lambda: "Not noted: The disk is full." in app.hand.said)
        assert len(standing(bench)) == 1


async def test_at_the_machine_is_a_key_and_a_sign_and_ends_with_the_same_key(
    bench: Bench, tmp_path: Path
) -> None:
    async with opened(bench) as (app, pilot):
        await pilot.press("r", "1")
        assert is_at_machine(bench)
        assert "at machine" in app.screen.query_one("#head", Lines).text
        other = open_bench(tmp_path, start=bench.now())
        assert is_at_machine(other)
        other.close()
        await pilot.press("r", "1")
        assert not is_at_machine(bench)
        assert "at machine" not in app.screen.query_one("#head", Lines).text


class TestTwoBenches:
    """One word: the process that has it makes the noise; every bench shows the same."""

    @pytest.fixture
    def held(self, tmp_path: Path, bench: Bench) -> Iterator[OneVoice]:
        voice = OneVoice(tmp_path / "data" / "voice.lock")
        assert voice.take()
        yield voice
        voice.release()

    async def test_a_bench_without_the_word_shows_and_sends_nothing(
        self, bench: Bench, held: OneVoice
    ) -> None:
        async with opened(bench) as (app, pilot):
            assert app.minding is not None
            assert app.minding.holds_voice is False
            later(app, TO_THE_LAST_CALL_S)
            await soon(pilot, lambda: banner(app))
            assert bench.journal.deliveries.since(0.0) == []
            assert app.rung == 0  # the other can be heard
            assert app.minding_sentences == [OTHER_REMINDS]

    async def test_what_spoils_nothing_is_shown_there_in_silence(
        self, bench: Bench, held: OneVoice
    ) -> None:
        mark(bench, "t/A/block/pour#1")
        async with opened(bench) as (app, pilot):
            later(app, 2 * MIN)
            await soon(pilot, lambda: "time to weigh" in banner(app))
            assert app.rung == 0

    async def test_it_takes_the_word_when_the_holder_ends(
        self, bench: Bench, held: OneVoice
    ) -> None:
        async with opened(bench) as (app, pilot):
            later(app, TO_THE_LAST_CALL_S)
            await soon(pilot, lambda: banner(app))
            held.release()
            await soon(pilot, lambda: in_state(bench.journal.deliveries, "sent"))
            assert "This bench gives the reminders." in app.minding_sentences


class TestAway:
    """What passed while nobody looked is the first thing that is shown."""

    async def test_on_opening(self, bench: Bench) -> None:
        tick(bench, 45 * MIN)
        async with opened(bench) as (app, pilot):
            assert isinstance(app.screen, Away)
            text = app.screen.query_one("#away-lines", Lines).text
            assert "While you were away (since" in text
            assert "▲ 09:30 (15 min ago): mix 1, pot life: missed; it spoils the mix." in text
            await soon(pilot, lambda: app.hand.standing)
            await pilot.press("enter")
            assert not isinstance(app.screen, Away)
            await soon(pilot, lambda: not standing(bench))
            await soon(pilot, lambda: not banner(app))

    async def test_after_a_sleep(self, bench: Bench) -> None:
        async with opened(bench) as (app, pilot):
            app.tick()
            assert not isinstance(app.screen, Away)
            tick(bench, 2 * HOUR)
            app.tick()
            await pilot.pause()
            assert isinstance(app.screen, Away)
            text = app.screen.query_one("#away-lines", Lines).text
            assert "This machine slept for 2 h." in text
            assert "(1 h 30 ago)" in text
            await pilot.press("escape")
            app.tick()
            await pilot.pause()
            assert not isinstance(app.screen, Away)
            assert standing(bench)

    async def test_after_a_sleep_in_which_nothing_passed_the_bench_only_says_that_it_slept(
        self, bench: Bench
    ) -> None:
        async with opened(bench) as (app, pilot):
            tick(bench, 3 * MIN)
            app.tick()
            await pilot.pause()
            assert not isinstance(app.screen, Away)
            assert app.hand.said == "This machine slept for 3 min."

    async def test_a_question_that_was_open_is_still_there_below_it(self, bench: Bench) -> None:
        async with opened(bench) as (app, pilot):
            await pilot.press("n")
            await pilot.pause()
            below = app.screen
            tick(bench, HOUR)
            app.tick()
            await pilot.pause()
            assert isinstance(app.screen, Away)
            await pilot.press("enter")
            assert app.screen is below

    async def test_a_shop_that_was_minded_meanwhile_opens_on_the_bench(self, bench: Bench) -> None:
        tick(bench, 45 * MIN)
        bench.journal.deliveries.record("k", "sound", "sent", bench.now_s())
        async with opened(bench) as (app, _):
            assert not isinstance(app.screen, Away)


async def test_that_it_cant_be_kept_awake_is_a_sign_in_the_head(bench: Bench) -> None:
    async with opened(bench) as (app, pilot):
        await soon(pilot, lambda: app.minding and app.minding.is_kept_awake is None)
        app.tick()
        assert "may sleep" in app.screen.query_one("#head", Lines).text
        assert any("switch its sleep off" in text for text in app.minding_sentences)


async def test_trouble_with_the_reminders_is_said_once_and_marked(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(bench) as (app, pilot):
        monkeypatch.setattr(bench.journal.deliveries, "record_all", lambda rows: 1 / 0)
        later(app, TO_THE_LAST_CALL_S)
        await soon(pilot, lambda: app.minding and app.minding.trouble)
        await soon(pilot, lambda: app.rung == 1)
        app.tick()
        assert "can't be recorded" in app.hand.said
        app.hand.said = ""
        app.tick()
        assert app.hand.said == ""
        app.tick()
        assert "reminders: trouble" in app.screen.query_one("#head", Lines).text


async def test_leaving_the_bench_ends_the_thread_and_frees_the_word(
    bench: Bench, tmp_path: Path
) -> None:
    async with opened(bench) as (app, _):
        assert app.minding is not None
        thread = app.minding._thread
        assert not OneVoice(tmp_path / "data" / "voice.lock").take()
    assert thread is not None
    assert not thread.is_alive()
    voice = OneVoice(tmp_path / "data" / "voice.lock")
    assert voice.take()
    voice.release()
