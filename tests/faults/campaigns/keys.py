"""Random keys, pastes, clicks and sizes at the real screens; bytes that are none at a terminal."""

from __future__ import annotations

import asyncio
import os
import signal
import string
import time
from pathlib import Path

from textual import events
from textual.geometry import Size
from textual.pilot import Pilot

from benchmate.bench import Bench
from benchmate.bench.starting.starting import start_free
from benchmate.job.events import stored as ev
from benchmate.journal import verify
from benchmate.settings import find_folders
from benchmate.tui.app import BenchApp
from tests.faults.campaigns.input import HOSTILE
from tests.faults.terminals import Terminal
from tests.faults.work import Campaign, Work
from tests.tui.benches import Shop, filled_plan

ROUND = 500
NAMED = ["enter", "escape", "tab", "shift+tab", "up", "down", "left", "right", "backspace", "home"]
NAMED += ["end", "pageup", "pagedown", "delete", "f1", "f3", "space", "ctrl+z", "ctrl+w", "ctrl+u"]
SIZES = [(20, 5), (40, 12), (80, 24), (120, 40), (250, 80), (7, 2)]
PASTES = ["Sand to 240", "\x1b[2J", "x" * 5000, "[/]", "\n\n", "a\tb"]
NUMBERS = (ev.Weighed, ev.RunningRead, ev.AirRead, ev.AmountsSaid, ev.ScaleDescribed)
LETTERS = string.ascii_letters + "?!/,.:;-+ '\"äß€"


def key(work: Work, digits: str) -> events.Key:
    if work.chance.random() < 0.35:
        name = work.chance.choice(NAMED)
        return events.Key(name, " " if name == "space" else None)
    sign = work.chance.choice(LETTERS + digits * 6)
    return events.Key(sign if sign.isalnum() else f"sign_{ord(sign):x}", sign)


async def one_round(work: Work, shop: Shop, keys: int, digits: str) -> None:
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for number in range(keys):
            if not app.is_running or app._exit:
                break
            app.post_message(key(work, digits))
            work.did("keys")
            if number % 16 == 15:
                await pilot.pause()
                shop.clock.tick(work.chance.choice((0.3, 2.0, 700.0)))
            if number % 61 == 60:
                await other(work, app, pilot)
        await pilot.pause()


async def other(work: Work, app: BenchApp, pilot: Pilot[None]) -> None:
    """What is no key."""
    match work.chance.randrange(3):
        case 0:
            app.post_message(events.Paste(work.chance.choice(PASTES)))
            work.did("pastes")
        case 1:
            cells, lines = work.chance.choice(SIZES)
            await pilot.resize_terminal(cells, lines)
            work.did("sizes")
        case _:
            at = (work.chance.randrange(80), work.chance.randrange(24))
            size: Size = app.size
            if at[0] < size.width and at[1] < size.height:
                await pilot.click(offset=at)
            work.did("clicks")


def numbers(bench: Bench) -> list[ev.AnyEvent | ev.Unknown]:
    found = [ev.decode(row.data) for row in bench.journal.read_since(0)]
    return [event for event in found if isinstance(event, NUMBERS)]


def screens(work: Work) -> None:
    """Every other round no digit is typed: then no number may be recorded."""
    rounds = max(2, -(-work.count // ROUND))
    for number in range(rounds):
        with work.part(f"round {number}") as home:
            shop = Shop(home)
            if number % 3 == 0:
                shop.bookends()
            elif number % 3 == 1:
                shop.small(filled_plan())
            else:
                start_free(shop.bench, HOSTILE[number // 3 % len(HOSTILE)])
            before = len(numbers(shop.bench))
            digits = "0123456789" if number % 2 else ""
            try:
                asyncio.run(one_round(work, shop, min(ROUND, work.count), digits))
                shop.bench.refresh()
                found = numbers(shop.bench)[before:]
                work.hold(digits or not found, f"nobody typed a digit: {found[:1]}")
                work.did("numbers recorded of those typed", len(found))
            finally:
                shop.bench.close()
            verdict = verify(find_folders(home).data)
            work.hold(verdict.ok, verdict.sentence)
        work.did("rounds")


BYTES = (
    b"\xff\xfe\x80\xc3",
    b"\x1b[1114112u\x1b[99999999999;5u",
    b"\x1b[" + b"9;" * 2000 + b"m",
    b"\x1b]0;" + b"x" * 70_000,
    b"\x1b[200~" + b"paste " * 4000 + b"\x1b[201~",
    b"\x1bP" + b"\x00" * 300 + b"\x1b\\",
    b"\x1b[<0;999999;999999M\x1b[<35;1;1m",
)


def terminals(work: Work, times: int) -> None:
    """Bytes that are no keys, in a terminal: the bench goes on, ends with 0, leaves it clean."""
    for number in range(times):
        with (
            work.part("terminal") as home,
            Terminal(Path(home), size=SIZES[1 + number % 4]) as terminal,
        ):
            terminal.until("\x1b[?1049h")
            _read(terminal, 1.5)
            for some in (BYTES[number % len(BYTES)], work.chance.randbytes(400)):
                # Ctrl+C, Ctrl+Z and Ctrl+\\ are the system's own words.
                os.write(terminal.ours, some.translate(None, b"\x03\x1a\x1c\x11\x13"))
                terminal.resize(*work.chance.choice(SIZES[:5]))
                _read(terminal, 0.5)
            ended = terminal.process.poll()
            work.hold(ended in (None, 0), f"bytes {number}: ended with {ended}")
            if ended is None:
                terminal.process.send_signal(signal.SIGTERM)
            work.hold(terminal.ended() == 0, f"bytes {number}: ended with {terminal.ended()}")
            work.hold("Traceback" not in terminal.text, f"bytes {number}: a traceback")
            work.hold("\x1b[?1049l" in terminal.text, f"bytes {number}: not given back")
        work.did("terminals fed with bytes")


def _read(terminal: Terminal, seconds: float) -> None:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        terminal.read(wait_s=0.05)


def run(work: Work) -> None:
    screens(work)
    terminals(work, 1 if work.short else 21)


CAMPAIGN = Campaign(
    "keys",
    "No key ends the bench, records a number that nobody typed, or leaves the terminal unclean.",
    "random keys, pastes, clicks and sizes of 7×2 to 250×80 at screens with plain, planned and "
    "hostile jobs, half of them without a digit; stray bytes and huge escapes in a terminal",
    200_000,
    300,
    run,
)
