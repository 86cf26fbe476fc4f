"""Reminders on the screen: the banner, its two keys, the slow change."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.bench.reminding.reminding import standing
from benchmate.job.deciding import commands as cmd
from benchmate.remind.rules.edges import Reminder
from benchmate.tui.app import BenchApp
from benchmate.tui.bench.far import FarScreen
from benchmate.tui.bench.minding import Standing
from benchmate.tui.widgets.lines import FLASH, Lines
from tests.remind_help import reminder
from tests.tui.benches import POUR, Shop
from tests.tui.test_bench_keys import press, shows

CLOSING_S = 25 * 60.0


class Still(BenchApp):
    """Looks only when the test says so, and then at what stands."""

    def __init__(self, shop: Shop) -> None:
        super().__init__(shop.bench)
        self.own_tick = self.tick
        self.tick = lambda: None  # type: ignore[method-assign]

    def look_now(self, *more: Reminder) -> None:
        self.on_standing(Standing((*standing(self.bench), *more)))
        self.own_tick()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A cup that is mixed."""
    made = Shop(tmp_path).small()
    made.mix()
    yield made
    made.bench.close()


def banner(app: BenchApp) -> str:
    return app.screen.query_one("#banner", Lines).text.strip()


async def test_what_begins_to_spoil_is_said_over_the_full_width(shop: Shop) -> None:
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        assert banner(app) == ""
        shop.clock.tick(CLOSING_S)
        app.look_now()
        await pilot.pause()
        assert "(5 min): mix 1, pot life, then the mix gels." in banner(app)
        assert app.screen.query_one("#banner").size.width == 80


async def test_the_whole_screen_turns_once_in_two_seconds_and_only_for_what_spoils(
    shop: Shop,
) -> None:
    shop.clock.tick(CLOSING_S)
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        turned = []
        for _ in range(6):
            app.look_now()
            turned.append(app.screen.has_class(FLASH))
        assert turned == [True, False] * 3
        app.look_now()
        await press(pilot, "k")
        assert not app.screen.has_class(FLASH)
        for _ in range(3):
            app.look_now(reminder("The jig is free."))
            assert not app.screen.has_class(FLASH)


async def test_a_turned_screen_is_painted_in_reverse(shop: Shop) -> None:
    shop.clock.tick(CLOSING_S)
    app = Still(shop)
    async with app.run_test(size=(80, 24)):
        act = app.screen.query_one("#act", Lines)
        before = act.render_line(0)._segments[1].style
        app.look_now()
        after = act.render_line(0)._segments[1].style
        assert before is not None
        assert after is not None
        assert not before.reverse
        assert after.reverse


async def test_heard_silences_it_until_something_new_is_the_matter(shop: Shop) -> None:
    shop.clock.tick(CLOSING_S)
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        app.look_now()
        await press(pilot, "k")
        assert banner(app) == ""
        shop.clock.tick(60.0)
        app.look_now()
        assert banner(app) == ""
        shop.clock.tick(CLOSING_S)
        app.look_now()
        assert "missed" in banner(app)
        await press(pilot, "k", "k")
        assert "No reminders waiting." in shows(app)


@pytest.mark.parametrize(("digit", "after_s"), [("1", 300.0), ("4", 3600.0)])
async def test_call_me_again_is_silent_until_then(shop: Shop, digit: str, after_s: float) -> None:
    shop.clock.tick(40 * 60.0)
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        app.look_now()
        await press(pilot, "r", digit)
        assert banner(app) == ""
        shop.clock.tick(after_s - 1.0)
        app.look_now()
        assert banner(app) == ""
        shop.clock.tick(1.0)
        app.look_now()
        assert "missed" in banner(app)


async def test_doing_the_act_ends_its_banner(shop: Shop) -> None:
    shop.clock.tick(CLOSING_S)
    app = Still(shop)
    async with app.run_test(size=(80, 24)):
        app.look_now()
        assert banner(app)
        for p in "AB":
            for n in (1, 2):
                shop.bench.do("t", cmd.Weigh(address=POUR.format(p, n), net_g=128.0))
        app.look_now()
        assert banner(app) == ""


async def test_far_and_near_share_what_was_heard(shop: Shop) -> None:
    shop.clock.tick(CLOSING_S)
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        app.look_now()
        await press(pilot, "b")
        assert isinstance(app.screen, FarScreen)
        assert "mix 1, pot life" in banner(app)
        await press(pilot, "k", "b")
        assert banner(app) == ""


async def test_what_begins_to_call_is_said_on_a_page_that_covers_the_bench(shop: Shop) -> None:
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "e")
        shop.clock.tick(CLOSING_S)
        app.look_now()
        await pilot.pause()
        assert "(5 min): mix 1, pot life" in " ".join(shows(app).split())


async def test_reminder_text_is_no_markup_and_no_control_sequence(shop: Shop) -> None:
    app = Still(shop)
    async with app.run_test(size=(80, 24)):
        app.look_now(reminder("[/x] \x1b[31m red", "again"))
        assert "[/x] ·[31m red" in banner(app)
