"""When the screens have worked off what a key brought, by their loop's own account.

The screens' library guesses it from the processor time that the process took in the last 20 ms:
on a quiet machine each key then costs 40 ms of waiting, and on a busy one, where the process had
no turn, a standstill passes for the end. Here the event loop is asked: it has settled when nothing
is ready to run, no key waits, no worker runs and no painting is due.
"""

from __future__ import annotations

import asyncio
from time import monotonic

import textual.app
import textual.pilot
from textual._context import active_app

from benchmate.tui.keys.gate import Gate

QUIET_ROUNDS = 3


async def settled(min_sleep: float = 0.0, max_sleep: float = 1.0) -> None:
    """Return when the loop has nothing left to do, or after `max_sleep` seconds."""
    loop, begun, quiet = asyncio.get_running_loop(), monotonic(), 0
    while quiet < QUIET_ROUNDS and (waited := monotonic() - begun) < max_sleep:
        await asyncio.sleep(0)
        quiet = 0 if loop._ready or _paints() else quiet + 1  # type: ignore[attr-defined]
        if quiet and (_at_work() or waited < min_sleep):
            quiet = 0
            await asyncio.sleep(0.001)


def _at_work() -> bool:
    """Whether a worker of the app is under way, or a key still waits for its turn.

    A key that comes after this was pressed by hand: it is no burst with the one before, however
    quick the test.
    """
    app = active_app.get()
    gate = getattr(app, "gate", None)
    if isinstance(gate, Gate):
        gate.wait_s = 0.0
        if gate._pump is not None and not gate._pump.done():
            return True
        gate._last = None
    return any(not worker.is_finished for worker in app.workers)


def _paints() -> bool:
    """Paint, or lay out for a new size, what the timers of a few milliseconds would; whether there
    was anything."""
    app = active_app.get()
    if app._resize_timer is not None:
        app._check_resize()
        return True
    screen = app.screen_stack[-1] if app.screen_stack else None
    if screen is None or not screen.is_running or not screen._update_timer._active.is_set():
        return False
    screen._on_timer_update()
    return True


def install() -> None:
    """In the place of the library's own wait, for keys and for pauses."""
    textual.app.wait_for_idle = settled  # type: ignore[attr-defined]
    textual.pilot.wait_for_idle = settled  # type: ignore[attr-defined]
