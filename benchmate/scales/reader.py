"""Reads a scale in a thread of its own and keeps the latest of what it heard.

Unplugged and silent are two things: a port that is gone is tried again each second, one that says
nothing is only waited for.
"""

from __future__ import annotations

import threading
from collections.abc import Callable

from benchmate.clock import steady_s
from benchmate.scales.reading import GONE, SILENT, Live
from benchmate.scales.steady import SILENT_S

AGAIN_S = 1.0
LOOK_S = 0.1


class Reader:
    """The latest wins: `look` is never waited for. What listens is a kind's own."""

    def __init__(self, tell: Callable[[Live], None] = lambda live: None) -> None:
        """`tell` is called in the thread, with what is live."""
        self._tell = tell
        self.latest = GONE
        self.busy = False
        """Whether somebody else has the port."""
        self.over = threading.Event()
        self._thread = threading.Thread(target=self._run, name="scale", daemon=True)

    def begin(self) -> None:
        """Start reading."""
        self._thread.start()

    def end(self) -> None:
        """Stop, and free the port."""
        self.over.set()
        self._thread.join(3.0)

    def look(self) -> Live:
        """What is live now: an old weight never is, whatever else came on the line since."""
        live = self.latest
        if live.state in ("gone", "silent", "fault") or steady_s() - live.at_s <= SILENT_S:
            return live
        return SILENT

    def say(self, live: Live) -> None:
        """Keep it, then pass it on; whoever listens may stumble without harm to what is kept."""
        self.latest = live
        try:
            self._tell(live)
        except Exception as error:
            self.latest = Live("fault", why=f"What the scale says can't be passed on: {error!r}.")

    def _listen(self) -> None:
        """Read until it is over. Raises OSError where the port is gone or can't be had."""
        raise NotImplementedError

    def _why(self, error: OSError) -> str:
        """A sentence, where it isn't just unplugged."""
        return ""

    def _run(self) -> None:
        while not self.over.is_set():
            try:
                self._listen()
            except OSError as error:
                self.say(Live("gone", why=self._why(error)))
            except Exception as error:  # A dead thread would look like a scale at rest.
                self.say(Live("fault", why=f"The scale's reader stumbled: {error!r}."))
            self.over.wait(AGAIN_S)
        self.latest = GONE
