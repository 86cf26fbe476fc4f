"""The end that comes from outside: a signal, or a terminal that is gone.

Nothing that was acknowledged hangs on it: an act is on the disk before the screen shows it, and
the system frees the reminders' word with the process.
"""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from typing import Any

from benchmate.clock import wait_s

LOOK_S = 0.5
"""How often it looks whether the terminal is still there."""
GRACE_S = 3.0
"""How long leaving in good order may take before it ends all the same."""
TRIES = 10
CLEAN = (
    "\x18\x1b[?2026l\x1b[?1000l\x1b[?1003l\x1b[?1015l\x1b[?1006l\x1b[?1016l\x1b[?2004l\x1b[?2048l"
    "\x1b[?1004l\x1b[?7h\x1b[<u\x1b[?1049l\x1b[?25h\x1b[0m"
)
"""Cuts off a half-written sequence, then undoes all that the screens switch on."""


def _leave(*_: object) -> None:
    raise SystemExit(0)


def end_in_order(handler: Callable[..., None] = _leave) -> None:
    """Have the signals that end a process end it in good order, by an exception or otherwise."""
    for name in ("SIGTERM", "SIGHUP", "SIGINT"):
        number = getattr(signal, name, None)
        if number is not None:
            signal.signal(number, handler)


class Ending:
    """Ends the app on SIGTERM, SIGHUP and Ctrl+C, and when its terminal is gone.

    In good order where that is possible. A terminal that takes no more output can hold the main
    thread up for ever; after `GRACE_S` the process ends without it.
    """

    def __init__(self, leave: Callable[[], object], last: Callable[[], object]) -> None:
        """`leave` asks the app to end, in its loop; `last` tidies up, in another thread, where the
        process has to end without waiting for the app. No terminal at all: it has just gone."""
        self._leave, self._last = leave, last
        self._asked = False
        self._one_of_both = threading.Lock()
        """Either the app gives the terminal back or this does: their sequences must not mix."""
        self._ttys = [number for number in (0, 1, 2) if os.isatty(number)]
        self._modes = _modes(self._ttys[-1]) if self._ttys else None

    def watch(self) -> None:
        """Begin; in the main thread, before the app touches the terminal."""
        # Not the loop's own handlers: those wait until the loop has its turn.
        end_in_order(self._on_signal)
        threading.Thread(target=self._watch, name="ending", daemon=True).start()

    def done(self) -> None:
        """The app has ended and given the terminal back; waits for ever where that was too late."""
        self._one_of_both.acquire()

    def _on_signal(self, *_: object) -> None:
        self._asked = True
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            raise SystemExit(0) from None  # before the app's first step, or after its last
        loop.call_soon_threadsafe(self._leave)

    def _watch(self) -> None:
        while not self._asked:
            wait_s(LOOK_S)
            if not self._ttys or any(_modes(number) is None for number in self._ttys):
                self._asked = True
                # As the system does it for who has the terminal for its own.
                signal.pthread_kill(threading.main_thread().ident or 0, signal.SIGHUP)
        wait_s(GRACE_S)
        try:
            if self._one_of_both.acquire(blocking=False):
                self._clean()
            else:
                wait_s(GRACE_S)
            self._last()
        finally:
            os._exit(0)

    def _clean(self) -> None:
        """Give the terminal back as it was found, without ever waiting for it."""
        if sys.platform == "win32" or not self._ttys:
            return
        import termios

        with suppress(OSError, termios.error):
            # Opened anew: the shell's own descriptors must not be left unblocking.
            flags = os.O_RDWR | os.O_NOCTTY | os.O_NONBLOCK
            tty = os.open(os.ttyname(self._ttys[-1]), flags)
            nowhere = os.open(os.devnull, os.O_WRONLY)
            for number in (1, 2):
                os.dup2(nowhere, number)
            # A thread that waits to write keeps all others out. Woken up, it writes to nowhere.
            for thread in threading.enumerate():
                if thread is not threading.current_thread():
                    with suppress(OSError):
                        signal.pthread_kill(thread.ident or 0, signal.SIGHUP)
            termios.tcsetattr(tty, termios.TCSANOW, self._modes or [])
            left = CLEAN.encode()
            for _ in range(TRIES):
                # What waits to be shown makes room; then what was just being written does.
                termios.tcflush(tty, termios.TCOFLUSH)
                termios.tcflow(tty, termios.TCOON)
                wait_s(0.02)
                with suppress(BlockingIOError):
                    left = left[os.write(tty, left) :]
                if not left:
                    return


def _modes(number: int) -> list[Any] | None:
    """A terminal's modes; None where it is gone, or where there is no such thing."""
    if sys.platform == "win32":
        return []
    import termios

    try:
        return termios.tcgetattr(number)
    except termios.error:
        return None
