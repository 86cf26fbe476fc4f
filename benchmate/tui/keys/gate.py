"""How keys come in: one at a time, each when the one before has run and what it opened is ready.

So a key that opens a question owns everything typed behind it, however long the screen stalled.
A burst (a paste, a scanner, a scale that types, or a stalled terminal that hands over at once what
was typed meanwhile) is told by the time between its keys. One that no question had asked for
records nothing: what it opens it fills, and there it waits for a key that somebody presses.
"""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Awaitable, Callable
from contextlib import suppress
from typing import TYPE_CHECKING

from textual.dom import DOMNode
from textual.events import Key, Paste
from textual.message import Message
from textual.screen import ModalScreen, Screen
from textual.widgets import Input

if TYPE_CHECKING:
    from benchmate.tui.host import Host

APART_S = 0.03
"""Keys nearer to each other than this come from no hand that looks."""
SETTLE_S = 2.0
"""So long a key may take before the next one is let through all the same."""
LOOK_AGAIN_S = 0.1
"""So often it looks whether what it waits for has gone meanwhile."""
STEERING = ("up", "down", "left", "right", "pageup", "pagedown", "home", "end", "tab", "shift+tab")

Deliver = Callable[[Key | Paste], Awaitable[None]]


class Gate:
    """Takes the terminal's keys and hands them on. `in_burst` is true while one of a burst that
    nothing had asked for is being handled: whatever records asks it first."""

    def __init__(self, app: Host, deliver: Deliver) -> None:
        self._app, self._deliver = app, deliver
        self._waiting: deque[Key | Paste] = deque()
        self._pump: asyncio.Task[None] | None = None
        self.in_burst = False
        self.wait_s = APART_S
        """How long a first key waits to see whether others follow at once."""
        self.pressed_s = float("inf")
        """When the key that is being handled was pressed; in between nothing counts as old."""
        self.typed_in: Screen[object] | None = None
        """Where the last key went into a line that is typed; None where it went elsewhere."""
        self._last: Key | None = None
        self._goes_on = False
        """Whether the last key came at once behind another."""
        self._began_on: Screen[object] | None = None
        self._asked = False
        """Whether the burst began in a line that is typed."""
        self._unasked = ""

    def take(self, event: Key | Paste) -> None:
        """A key or a paste has come in."""
        self._waiting.append(event)
        if self._pump is None or self._pump.done():
            self._pump = asyncio.create_task(self._run())

    async def _run(self) -> None:
        while self._waiting:
            event = self._waiting.popleft()
            if isinstance(event, Paste):
                await self._paste(event)
            else:
                await self._key(event)
            if not self._waiting and self._unasked:
                text, self._unasked = self._unasked, ""
                self._app.fill_from_nowhere(text)
        self.in_burst = False

    # One key ---------------------------------------------------------------------------------

    async def _key(self, event: Key) -> None:
        goes_on = self._goes_on = self._follows(event)
        self._last = event
        if not goes_on:
            self._began_on, self._asked = self._app.screen, self._is_typed
        self.in_burst = not self._asked_for and (goes_on or await self._is_followed(event))
        if self.in_burst and not self._may_open(event, goes_on=goes_on):
            self._unasked += event.character if event.is_printable and event.character else ""
            return
        self.pressed_s = event.time
        self.typed_in = self._app.screen if self._is_typed else None
        await self._through(_small(event) if not self._is_typed else event)
        self.pressed_s = float("inf")

    async def _paste(self, event: Paste) -> None:
        if self._is_typed:
            await self._through(event)
        else:
            self._unasked += event.text

    @property
    def _is_typed(self) -> bool:
        return isinstance(self._app.focused, Input)

    @property
    def _asked_for(self) -> bool:
        """The burst began in a line that is typed, and is still in it."""
        return self._asked and self._is_typed and self._app.screen is self._began_on

    def _follows(self, event: Key) -> bool:
        """Whether a key came at once behind the one before. A key that is held is no burst, but one
        letter may come twice in one."""
        last = self._last
        if last is None or event.key in STEERING or event.time - last.time >= APART_S:
            return False
        return event.key != last.key or self._goes_on

    async def _is_followed(self, event: Key) -> bool:
        """Whether others come at once behind it."""
        if event.key in STEERING or self._is_typed:
            return False
        if not self._waiting and self.wait_s:
            await asyncio.sleep(self.wait_s)
        after = next((e for e in self._waiting if isinstance(e, Key)), None)
        return (
            after is not None
            and after.key not in (event.key, *STEERING)
            and after.time - event.time < APART_S
        )

    def _may_open(self, event: Key, *, goes_on: bool) -> bool:
        """Of a burst nobody asked for: its first key may open a question, the rest fill it."""
        screen = self._app.screen
        if goes_on:
            return isinstance(screen, ModalScreen) and screen is not self._began_on
        return not isinstance(screen, ModalScreen) and self._app.opens_question(event.key)

    # Until it has run ------------------------------------------------------------------------

    async def _through(self, event: Key | Paste) -> None:
        """Hand it on, and wait until it has run and what it opened is ready to be typed into."""
        app = self._app
        target = app.focused or app.screen
        await self._deliver(event)
        try:
            async with asyncio.timeout(SETTLE_S):
                await _passed_up(target)
                for _ in range(2):
                    opened = app.screen
                    if not opened.is_mounted:
                        await asyncio.sleep(0)
                    await _passed_up(app.focused or opened)
        except TimeoutError:
            return


def _small(event: Key) -> Key:
    """A capital acts as its small letter: caps lock means nothing at a bench."""
    letter = event.character or ""
    if len(letter) == 1 and letter.isalpha() and letter != letter.lower():
        small = Key(letter.lower(), letter.lower())
        small.time = event.time
        return small
    return event


def stamp_s() -> float:
    """Now, by the clock that the terminal's keys are stamped with."""
    return Message().time


async def _passed_up(node: DOMNode) -> None:
    """Until all that waited at a widget, and then at what it stands in, has been handled."""
    for place in node.ancestors_with_self:
        done = asyncio.Event()
        if place.call_later(done.set):
            while place.is_running and not done.is_set():
                with suppress(TimeoutError):
                    await asyncio.wait_for(done.wait(), LOOK_AGAIN_S)
