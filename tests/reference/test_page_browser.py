"""The page in a real browser: paired by its link, no wider than its screen, readable, silent.

`BENCHMATE_PICTURES=folder` keeps what each screen looked like.
"""

from __future__ import annotations

import os
import shutil
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from msgspec import structs

from benchmate.bench.page.serving import Serving
from benchmate.bench.reminding.reminding import standing
from benchmate.page.app import BEAT_S
from benchmate.settings.model import PageSettings
from tests.needs import needs
from tests.remind_help import reminder
from tests.tui.test_themes import contrast
from tests.unit.loop_help import Worked

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = needs("module:playwright", "chromium")

MIN_S = 60.0
SCREENS = {
    "small": (320, 640),
    "phone": (412, 915),
    "phone on its side": (915, 412),
    "tablet": (1280, 800),
}
EVIL = "<img src=x onerror=\"document.title='taken'\"><script>document.title='taken'</script>"
COLOURS = """() => [...document.querySelectorAll('body *')]
  .filter((e) => e.checkVisibility())
  .filter((e) => [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim()))
  .map((e) => {
    const behind = (n) => { const c = getComputedStyle(n).backgroundColor;
      return c.startsWith('rgba(0, 0, 0, 0') && n.parentElement ? behind(n.parentElement) : c; };
    return [e.id || e.tagName, getComputedStyle(e).color, behind(e)];
  })"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        made = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"]
        )
        yield made
        made.close()


@pytest.fixture
def serving(tmp_path: Path) -> Iterator[Serving]:
    """A cup that is being poured, its pot life running out, served."""
    shop = Worked(tmp_path)
    shop.start()
    shop.until("A/block/pour#1", kind="do")
    shop.clock.tick(25 * MIN_S)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        wanted = PageSettings(on=True, address="127.0.0.1", port=probe.getsockname()[1])
    shop.bench.settings = structs.replace(shop.bench.settings, page=wanted)
    made = Serving(shop.bench)
    made.server.begin()
    while not made.server.is_up:
        assert not made.server.is_over
    yield made
    made.server.end()
    shop.bench.close()


def opened(browser: Browser, serving: Serving, size: tuple[int, int], **more: Any) -> Page:
    """The page as a device of that size has it, paired by the link that the code holds."""
    context = browser.new_context(viewport={"width": size[0], "height": size[1]}, **more)
    page = context.new_page()
    page.clock.install()
    page.goto(f"{serving.link}#{serving.devices.open_code()}")
    page.wait_for_selector("#shop:not([hidden])")
    return page


def keep(page: Page, name: str) -> None:
    if folder := os.environ.get("BENCHMATE_PICTURES"):
        page.screenshot(path=Path(folder) / f"page {name}.png")


def rgb(colour: str) -> str:
    """ "rgb(16, 16, 16)" as "#101010"."""
    parts = colour.partition("(")[2].rstrip(")").split(",")[:3]
    return "#" + "".join(f"{round(float(p)):02x}" for p in parts)


@pytest.mark.parametrize("scheme", ["dark", "light"])
@pytest.mark.parametrize("name", SCREENS)
def test_it_fits_its_screen_and_every_word_of_it_can_be_read(
    browser: Browser, serving: Serving, name: str, scheme: str
) -> None:
    page = opened(browser, serving, SCREENS[name], color_scheme=scheme)
    serving.look(standing(serving.bench))
    page.wait_for_selector("#standing:not([hidden])")
    keep(page, f"{name} {scheme}")
    assert page.evaluate("document.documentElement.scrollWidth") <= SCREENS[name][0]
    left, ok = (page.locator(name).bounding_box() for name in ("#left", "#ok"))
    assert left is not None
    assert ok is not None
    assert left["y"] + left["height"] <= ok["y"], "nothing covers how long is left"
    for what, ink, ground in page.evaluate(COLOURS):
        assert contrast(rgb(ink), rgb(ground)) >= 4.5, what
    page.context.close()


def test_the_links_code_pairs_and_is_gone_from_the_address(
    browser: Browser, serving: Serving
) -> None:
    page = opened(browser, serving, SCREENS["phone"])
    assert page.evaluate("location.href") == serving.link
    page.reload()
    page.wait_for_selector("#shop:not([hidden])")
    assert page.context.cookies()[0]["httpOnly"]
    serving.devices.forget()
    page.reload()
    page.wait_for_selector("#pair:not([hidden])")
    keep(page, "to be paired")
    page.context.close()


def test_what_was_typed_is_only_ever_text_and_ok_takes_it_away(
    browser: Browser, serving: Serving
) -> None:
    page = opened(browser, serving, SCREENS["phone"])
    assert standing(serving.bench)
    serving.look([reminder(EVIL)])
    page.wait_for_selector("#standing:not([hidden])")
    assert page.inner_text("#standing") == EVIL
    page.click("#ok")
    page.wait_for_selector("#standing", state="hidden")
    assert page.title() == "benchmate"
    assert standing(serving.bench) == [], "everywhere"
    page.context.close()


def test_a_bench_that_goes_silent_is_said_and_its_times_are_dimmed(
    browser: Browser, serving: Serving
) -> None:
    page = opened(browser, serving, SCREENS["phone"])
    page.clock.run_for(1000 * (BEAT_S + 2))
    assert page.is_hidden("#silent")
    serving.server.end()
    page.clock.run_for(15_000)
    assert page.inner_text("#silent").startswith("No word from the bench since ")
    assert float(page.evaluate("getComputedStyle(document.querySelector('#left')).opacity")) < 0.5
    keep(page, "silent")
    page.context.close()


@pytest.mark.parametrize("hours", [1.0, -1.0])
def test_a_clock_that_is_set_on_the_device_changes_no_time_that_is_left(
    browser: Browser, serving: Serving, hours: float
) -> None:
    page = opened(browser, serving, SCREENS["phone"])
    page.clock.run_for(1000)
    before = page.inner_text("#left")
    page.clock.set_system_time(page.evaluate("Date.now()") + hours * 3_600_000)
    serving.look([reminder("The jig is free.")])
    page.wait_for_selector("#standing:not([hidden])")
    page.clock.run_for(1000)
    assert abs(seconds(page.inner_text("#left")) - seconds(before)) <= 4.0
    page.context.close()


def seconds(left: str) -> float:
    """ "19:59" in seconds."""
    minutes, _, rest = left.partition(":")
    return 60.0 * float(minutes) + float(rest)


def test_while_the_scale_speaks_its_digits_stand_alone(browser: Browser, serving: Serving) -> None:
    page = opened(browser, serving, SCREENS["tablet"])
    serving._picture = {**serving._picture, "scale": {"text": "128.4 g", "state": "steady"}}
    page.wait_for_selector("#digits:text-is('128.4 g')")
    assert page.is_hidden("#big")
    assert page.is_visible("#digits")
    keep(page, "scale")
    page.context.close()
