"""Reminders on the screen: the banner, its two keys, the bell and the slow change."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.message import Message

from benchmate.job.deciding import commands as cmd
from benchmate.tui.app import BenchApp
from benchmate.tui.bench.far import FarScreen
from benchmate.tui.bench.reminding import CallAgain, Heard, Reminder
from benchmate.tui.bench.screen import BenchScreen
from benchmate.tui.widgets.lines import FLASH, Lines
from tests.tui.benches import POUR, Shop
from tests.tui.test_bench_keys import press, shows

CLOSING_S = 25 * 60.0


class Still(BenchApp):
    """Ticks only when the test says so; keeps what it rang and was told."""

    def __init__(self, shop: Shop) -> None:
        super().__init__(shop.bench)
        self.rung = 0
        self.told: list[Message] = []
        self.tick_now = self.tick
        self.tick = lambda: None  # type: ignore[method-assign]

    def bell(self) -> None:
        self.rung += 1

    def on_heard(self, message: Heard) -> None:
        self.told.append(message)

    def on_call_again(self, message: CallAgain) -> None:
        self.told.append(message)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A cup that is mixed."""
    made = Shop(tmp_path).small()
    made.mix()
    yield made
    made.bench.close()


def banner(app: BenchApp) -> str:
    return app.screen.query_one("#banner", Lines).text.strip()


async def test_what_begins_to_spoil_is_said_over_the_full_width_with_a_bell(shop: Shop) -> None:
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        assert banner(app) == ""
        assert app.rung == 0
        shop.clock.tick(CLOSING_S)
        app.tick_now()
        await pilot.pause()
        assert banner(app).startswith("▲ mix 1, pot life: 5:00 left, then the mix gels.")
        assert app.screen.query_one("#banner").size.width == 80
        assert app.rung == 1
        app.tick_now()
        assert app.rung == 1


async def test_with_a_service_a_bench_that_opens_on_what_is_due_leaves_the_bell_to_it(
    shop: Shop,
) -> None:
    """Of two benches that open on one reminder both rang it, before either service had spoken."""

    class Silent:
        trouble, is_kept_awake = "", True

        def start(self) -> None: ...
        def stop(self) -> None: ...

    shop.clock.tick(CLOSING_S)
    app = Still(shop)
    app.tells_away, app.makes = False, lambda *_, **__: Silent()  # type: ignore[assignment]
    async with app.run_test(size=(80, 24)) as pilot:
        app.tick_now()
        await pilot.pause()
        assert banner(app).startswith("▲ mix 1, pot life: 5:00 left")
        assert app.rung == 0


async def test_it_rings_again_every_minute_until_it_is_heard(shop: Shop) -> None:
    shop.clock.tick(CLOSING_S)
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(120):
            app.tick_now()
        assert app.rung == 3
        await press(pilot, "k")
        for _ in range(120):
            app.tick_now()
        assert app.rung == 3


async def test_the_whole_screen_turns_once_in_two_seconds_and_only_for_what_spoils(
    shop: Shop,
) -> None:
    shop.clock.tick(CLOSING_S)
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        turned = []
        for _ in range(6):
            app.tick_now()
            turned.append(app.screen.has_class(FLASH))
        assert turned == [True, False] * 3
        await press(pilot, "k")
        app.tick_now()
        app.tick_now()
        app.tick_now()
        assert not app.screen.has_class(FLASH)
    calm = Still(shop)
    async with calm.run_test(size=(80, 24)):
        screen = calm.screen
        assert isinstance(screen, BenchScreen)
        screen.reminding.remind("The jig is free.", "once")
        calm.tick_now()
        assert not screen.has_class(FLASH)


async def test_a_turned_screen_is_painted_in_reverse(shop: Shop) -> None:
    shop.clock.tick(CLOSING_S)
    app = Still(shop)
    async with app.run_test(size=(80, 24)):
        act = app.screen.query_one("#act", Lines)
        before = act.render_line(0)._segments[1].style
        app.tick_now()
        after = act.render_line(0)._segments[1].style
        assert before is not None
        assert after is not None
        assert not before.reverse
        assert after.reverse


async def test_heard_silences_it_until_something_new_is_the_matter(shop: Shop) -> None:
    shop.clock.tick(CLOSING_S)
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "k")
        assert banner(app) == ""
        assert [type(m) for m in app.told] == [Heard]
        shop.clock.tick(60.0)
        app.tick_now()
        assert banner(app) == ""
        shop.clock.tick(CLOSING_S)
        app.tick_now()
        assert "missed" in banner(app)
        await press(pilot, "k", "k")
        assert "No reminders waiting." in shows(app)


@pytest.mark.parametrize(("digit", "after_s"), [("1", 300.0), ("4", 3600.0)])
async def test_call_me_again_is_silent_until_then(shop: Shop, digit: str, after_s: float) -> None:
    shop.bench.do("t", cmd.Pause())
    shop.bench.do("t", cmd.Resume())
    shop.clock.tick(40 * 60.0)
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "r", digit)
        assert banner(app) == ""
        assert [(type(m), getattr(m, "after_s", 0)) for m in app.told] == [(CallAgain, after_s)]
        shop.clock.tick(after_s - 1.0)
        app.tick_now()
        assert banner(app) == ""
        shop.clock.tick(1.0)
        app.tick_now()
        assert "missed" in banner(app)


async def test_doing_the_act_ends_its_banner(shop: Shop) -> None:
    shop.clock.tick(CLOSING_S)
    for p in "AB":
        for n in (1, 2):
            shop.bench.do("t", cmd.Weigh(address=POUR.format(p, n), net_g=128.0))
    app = Still(shop)
    async with app.run_test(size=(80, 24)):
        assert banner(app) == ""


async def test_a_service_gives_and_takes_its_own(shop: Shop) -> None:
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, BenchScreen)
        screen.reminding.remind("Turn the lamp foot over.", "again", key="foot")
        assert "Turn the lamp foot over." in banner(app)
        screen.reminding.remind("Turn it now.", "again", key="foot")
        assert banner(app).startswith("▲ Turn it now.")
        screen.reminding.quiet("foot")
        assert banner(app) == ""
        app.post_message(Reminder("By message.", "once"))
        await pilot.pause()
        assert "By message." in banner(app)
        screen.reminding.quiet()
        assert banner(app) == ""
        assert app.rung == 0


async def test_far_and_near_share_what_was_heard(shop: Shop) -> None:
    shop.clock.tick(CLOSING_S)
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        rung = app.rung
        await press(pilot, "b")
        assert isinstance(app.screen, FarScreen)
        assert "mix 1, pot life" in banner(app)
        assert app.rung == rung
        await press(pilot, "k", "b")
        assert banner(app) == ""


async def test_what_begins_to_call_is_said_on_a_page_that_covers_the_bench(shop: Shop) -> None:
    app = Still(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "e")
        shop.clock.tick(CLOSING_S)
        app.tick_now()
        await pilot.pause()
        assert app.rung == 1
        assert "mix 1, pot life: 5:00 left" in " ".join(shows(app).split())


async def test_reminder_text_is_no_markup_and_no_control_sequence(shop: Shop) -> None:
    app = Still(shop)
    async with app.run_test(size=(80, 24)):
        screen = app.screen
        assert isinstance(screen, BenchScreen)
        screen.reminding.remind("[/x] \x1b[31m red", "again")
        assert "[/x] ·[31m red" in banner(app)
