"""On the bench: cold glue is asked about, the finger decides, a file moves the windows live."""

from __future__ import annotations

import threading
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from benchmate.bench.air.watch import AirWatch
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.to_hand import need_key, not_to_hand
from benchmate.settings import AirSource
from benchmate.tui.app import BenchApp
from benchmate.tui.prompts.ask import Ask
from benchmate.tui.prompts.choose import Choose
from tests.tui.painting import said
from tests.unit.airing_help import MIN, Glueing, H

SPREAD = "A/all/spread#1"


@pytest.fixture
def shop(tmp_path: Path) -> Glueing:
    return Glueing(tmp_path)


class Screen:
    """The app, its keys, and what is to be read on it."""

    def __init__(self, app: BenchApp, pilot: Pilot[None]) -> None:
        self.app, self.pilot = app, pilot

    async def press(self, *keys: str) -> None:
        await self.pilot.press(*keys)
        await self.look()

    async def look(self) -> None:
        """A second passes for the screen."""
        self.app.tick()
        await self.pilot.pause()

    def text(self, *names: str) -> str:
        """What is on the screen in front, in all its blocks or the named ones."""
        return " ".join(said(self.app, *names).split())

    async def type(self, text: str) -> None:
        """Type into the line that is asked for."""
        self.app.screen.query_one(Input).value = text
        await self.pilot.pause()


@asynccontextmanager
async def opened(
    shop: Glueing, size: tuple[int, int] = (100, 30), every_s: float | None = None
) -> AsyncIterator[Screen]:
    app = BenchApp(shop.bench)
    if every_s is not None:
        app.rounds.air = AirWatch(shop.bench, every_s=every_s)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        screen = Screen(app, pilot)
        await screen.look()
        yield screen


def glue_up(shop: Glueing) -> str:
    job = shop.joint("glue")
    shop.mark("A/all/dry-run#1")
    for need in not_to_hand(shop.bench.shop.jobs[job]):
        shop.bench.do(job, cmd.Tick(what=need_key(need)))
    return job


def is_done(shop: Glueing, job: str) -> bool:
    return f"{job}/{SPREAD}" in shop.bench.shop.jobs[job].done


async def test_cold_glue_is_shown_and_asked_about_and_left(shop: Glueing) -> None:
    job = glue_up(shop)
    shop.air(8.0)
    async with opened(shop) as screen:
        assert "! Too cold at 8 °C: below 10 °C the glue or finish" in screen.text("act")
        await screen.press("space")
        assert "Record it all the same" in screen.text()
        await screen.press("1")
        assert not is_done(shop, job)


async def test_cold_glue_is_recorded_all_the_same_where_the_maker_says_so(shop: Glueing) -> None:
    job = glue_up(shop)
    shop.air(8.0)
    async with opened(shop) as screen:
        await screen.press("space")
        assert not is_done(shop, job)
        await screen.press("2")
        assert is_done(shop, job)


async def test_what_was_done_earlier_in_the_cold_is_asked_about_too(shop: Glueing) -> None:
    job = glue_up(shop)
    shop.air(8.0, ago_s=H)
    shop.clock.tick(2 * H)
    async with opened(shop) as screen:
        await screen.press("t", "1")
        await screen.type("10 min ago")
        await screen.press("enter")
        assert "Record it all the same" in screen.text()
        await screen.press("2")
        assert not is_done(shop, job), "a digit is more of the time that was being typed"
        await screen.press("escape", "t", "1")
        await screen.type("10 min ago")
        await screen.press("enter", "down", "enter")
        assert is_done(shop, job)


async def test_without_a_reading_the_bench_says_so_and_asks_nothing(shop: Glueing) -> None:
    job = glue_up(shop)
    async with opened(shop) as screen:
        assert "no shop temperature" in screen.text("head")
        assert "!" not in screen.text("act")
        await screen.press("space")
        assert is_done(shop, job)


async def test_a_contact_adhesive_asks_for_the_touch_test(shop: Glueing) -> None:
    shop.joint("contact")
    shop.mark("A/all/fit#1")
    shop.mark("A/all/coat-both#1")
    shop.clock.tick(25 * MIN)
    async with opened(shop) as screen:
        assert "A touch test decides, not the clock" in screen.text("act")


async def test_an_epoxy_in_the_cold_shows_its_caution_and_both_times(shop: Glueing) -> None:
    shop.joint("epoxy")
    shop.air(13.0)
    shop.mark("A/all/fit#1")
    shop.mark("all/all/mix#1")
    async with opened(shop) as screen:
        assert "gels about" in screen.text("act")
        assert "(rule of thumb " in screen.text("act")


async def test_a_window_spoiled_by_the_cold_says_so_on_the_time_line(shop: Glueing) -> None:
    start_clock(shop.bench, find_material(shop.bench, "yellow wood glue"), "clamped", name="lid")
    shop.air(6.0)
    async with opened(shop) as screen:
        assert "too cold: ruined" in screen.text("timeline")
        assert "! lid, clamp time" in screen.text("timeline")


async def test_cautions_in_full_hold_the_airs_word(shop: Glueing) -> None:
    glue_up(shop)
    shop.air(8.0)
    async with opened(shop) as screen:
        await screen.press("exclamation_mark")
        assert "Warm glue, wood and shop first" in screen.text()


async def test_the_air_is_typed_and_answered_in_short(shop: Glueing) -> None:
    for i in range(6):
        start_clock(
            shop.bench, find_material(shop.bench, "slow casting epoxy"), "poured", name=f"foot {i}"
        )
    async with opened(shop) as screen:
        await screen.press("a", "1", "2", "enter")
        assert "Recorded: shop 12 °C." in screen.text("act")
        assert "more: see `benchmate air`." in screen.text("act")
        assert "air 12 °C, just now" in screen.text("head")


async def test_the_heat_of_a_mix_comes_a_moment_after_the_mix_is_next(shop: Glueing) -> None:
    shop.start('[[steps]]\nuse = "two-part epoxy bond"\nof = ["side", "lid"]\narea = "900 cm²"\n')
    shop.air(21.0)
    shop.mark("A/all/fit#1")
    async with opened(shop, size=(120, 40)) as screen:
        await _until(screen, "act", "Left in its cup this mix may reach about")


async def test_a_file_that_changes_moves_the_windows_live(tmp_path: Path) -> None:
    file = tmp_path / "shop.txt"
    shop = Glueing(tmp_path, AirSource(file=str(file)))
    start_clock(shop.bench, find_material(shop.bench, "slow casting epoxy"), "poured", name="foot")
    shop.write(file, "18.0\n")
    async with opened(shop, every_s=0.02) as screen:
        await _until(screen, "head", "air 18 °C, just now")
        before = shop.window("cure").opens
        shop.clock.tick(60.0)
        shop.write(file, "11.0\n")
        await _until(screen, "head", "air 11 °C")
        after = shop.window("cure").opens
        assert before is not None
        assert after is not None
        assert after.at > before.at + H
        assert "new end" in screen.text("act")
        assert "~" in screen.text("timeline")
        shop.clock.tick(60.0)
        file.unlink()
        shop.clock.tick(30 * MIN)
        await _until(screen, "act", "No temperature from")
    assert not _air_threads()


def _air_threads() -> list[str]:
    return [t.name for t in threading.enumerate() if t.name == "air"]


async def test_a_slip_is_asked_about_and_what_was_meant_is_recorded_by_a_key(shop: Glueing) -> None:
    shop.air(18.0)
    async with opened(shop) as screen:
        await screen.press("a", "6", "4", "enter")
        assert isinstance(screen.app.screen, Choose)
        await screen.press("down", "enter")
        assert "Recorded: shop 17.8 °C." in screen.text("act")
    assert shop.bench.shop.air_of("shop").readings[-1].temperature_c == pytest.approx(
        17.78, abs=0.01
    )


async def test_a_rare_reading_stands_when_the_maker_says_so(shop: Glueing) -> None:
    shop.air(18.0)
    async with opened(shop) as screen:
        await screen.press("a", "8", "enter")
        await screen.press("down", "down", "enter")
        assert "Recorded: shop 8 °C." in screen.text("act")
    assert shop.bench.shop.air_of("shop").readings[-1].is_doubtful


async def test_the_last_typed_reading_is_put_right_and_taken_back_by_keys(shop: Glueing) -> None:
    shop.air(16.0)
    async with opened(shop) as screen:
        await screen.press("a", "tab", "1", "7", "enter")
        assert "Put right: shop 17 °C, not 16 °C." in screen.text("act")
        await screen.press("a", "tab", "enter")
        assert "Undone: shop 17 °C" in screen.text("act")
        await screen.press("a", "tab")
        assert isinstance(screen.app.screen, Ask)
    assert not shop.bench.shop.air_of("shop")


async def test_an_edge_that_was_put_off_again_is_seen_near_and_far(shop: Glueing) -> None:
    shop.joint("epoxy")
    shop.air(22.0)
    for tail in ("A/all/fit#1", "all/all/mix#1", SPREAD, "A/all/close#1", "A/all/clamp#1"):
        shop.mark(tail)
    opens = shop.window("clamp time").opens
    assert opens is not None
    shop.clock.tick(opens.at - shop.bench.now_s() + 5 * MIN)
    shop.air(15.0, ago_s=H)
    async with opened(shop, size=(120, 40)) as screen:
        assert "not yet: " in screen.text()
        await screen.press("b")
        assert "earlier estimate" in screen.text()


async def _until(screen: Screen, block: str, word: str) -> None:
    """Look until a word has come: a thread is at work behind it."""
    for _ in range(600):
        await screen.look()
        if word in screen.text(block):
            return
        time.sleep(0.01)
    raise AssertionError(f"{word!r} never came; there is {screen.text(block)!r}")


async def test_two_benches_over_one_journal_record_each_reading_once(tmp_path: Path) -> None:
    file = tmp_path / "shop.txt"
    shop = Glueing(tmp_path, AirSource(file=str(file)))
    shop.write(file, "18.0\n")
    other = shop.open()
    second = AirWatch(other, every_s=0.02)
    async with opened(shop, every_s=0.02) as screen:
        await _until(screen, "head", "air 18 °C")
        shop.clock.tick(20 * MIN)
        shop.write(file, "14.0\n")
        second.start()
        await _until(screen, "head", "air 14 °C")
        time.sleep(0.1)
        second.take(foreign=other.refresh())
        assert [r.temperature_c for r in other.shop.air_of("shop").readings] == [18.0, 14.0]
    second.stop()
    other.close()


async def test_space_asks_once_about_what_is_likely_ready_and_records_it(shop: Glueing) -> None:
    job = glue_up(shop)
    shop.air(15.0)
    for step in (SPREAD, "A/all/close#1", "A/all/clamp#1"):
        shop.mark(step)
    clamped = next(a for a in shop.bench.shop.jobs[job].done if a.endswith("clamp#1"))
    shop.bench.do(job, cmd.AnswerCheck(address=clamped, name="bead", value=1.0))
    opens = shop.window("clamp time").opens
    assert opens is not None
    assert opens.middle < opens.at
    shop.clock.tick((opens.middle + opens.at) / 2 - shop.bench.now_s())
    async with opened(shop) as screen:
        assert "Likely ready since" in screen.text()
        await screen.press("space")
        assert isinstance(screen.app.screen, Choose)
        assert "read the air to settle it" in screen.text()
        await screen.press("escape")
        assert "glue-1/A/all/clamps-off#1" not in shop.bench.shop.jobs[job].done
        shop.clock.tick(5.0)
        await screen.press("space")
        await screen.press("2")
    assert any(a.endswith("clamps-off#1") for a in shop.bench.shop.jobs[job].done)
