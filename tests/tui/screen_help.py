"""A bench with a set clock, and the real app with one screen open over it."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

from benchmate.bench import Bench
from benchmate.clock import SetClock
from benchmate.moment import Moment
from benchmate.settings import Settings, find_folders
from benchmate.tui.app import BenchApp
from tests.tui.painting import said

START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)


def open_bench(home: Path, settings: Settings | None = None) -> Bench:
    """A bench of its own, with a clock that stands until it is moved."""
    return Bench.open(find_folders(home), settings or Settings(), clock=SetClock(START))


def tick(bench: Bench, seconds: float) -> None:
    """Let time pass."""
    clock = bench.clock
    assert isinstance(clock, SetClock)
    clock.tick(seconds)


class Hands:
    """Keys for a screen, what is to be read on it, and what it answered in the end."""

    def __init__(self, app: BenchApp, pilot: Pilot[None]) -> None:
        self.app, self.pilot = app, pilot
        self.answer: object = "not yet"

    def answered(self, answer: object) -> None:
        """The screen was left."""
        self.answer = answer

    async def press(self, *keys: str) -> None:
        """Press keys and let everything settle, workers too."""
        await self.pilot.press(*keys)
        await self.settle()

    async def type(self, text: str) -> None:
        """Type into the field that has the focus, in place of what is there."""
        box = self.app.focused
        assert isinstance(box, Input), f"{box} takes no text"
        box.value = text
        await self.settle()

    async def settle(self) -> None:
        """Wait for messages, pending answers and workers."""
        await self.pilot.pause()
        settle = getattr(self.app.screen, "settle", None)
        if settle is not None:
            settle()
        await self.app.workers.wait_for_complete()
        await self.pilot.pause()

    def text(self, *names: str) -> str:
        """What is on the screen in front, in all its blocks or the named ones."""
        return said(self.app, *names)

    @property
    def front(self) -> Any:
        """The screen in front."""
        return self.app.screen


@asynccontextmanager
async def opened(
    bench: Bench, screen: Screen[Any], size: tuple[int, int] = (80, 24)
) -> AsyncIterator[Hands]:
    """The screen, open."""
    app = BenchApp(bench)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        hands = Hands(app, pilot)
        app.push_screen(screen, hands.answered)
        await hands.settle()
        yield hands
