"""The app: one bench, one tick a second, a clean end whatever ends it."""

from __future__ import annotations

import asyncio
import signal
from typing import ClassVar

from textual.app import App
from textual.binding import BindingType

from benchmate.bench import Bench


class BenchApp(App[None]):
    """Opens on the bench screen. Screens ask the bench; the tick asks them to look again."""

    CSS_PATH = "bench.tcss"
    TITLE = "benchmate"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = []

    def __init__(self, bench: Bench, *, pace: float = 1.0, trouble: str = "") -> None:
        super().__init__()
        self.bench = bench
        self.pace = pace
        """How many times faster than the wall the bench's clock runs (the demo)."""
        self.trouble = trouble
        """What is to be said at the start: a settings file that can't be read."""

    def on_mount(self) -> None:
        """Show the bench, and end cleanly on the signals that Textual leaves alone."""
        from benchmate.tui.screens.bench import BenchScreen

        for name in ("SIGTERM", "SIGHUP"):
            number = getattr(signal, name, None)
            if number is not None:
                try:
                    asyncio.get_running_loop().add_signal_handler(number, self.exit)
                except (NotImplementedError, RuntimeError):
                    pass
        self.push_screen(BenchScreen())
