"""The page kept up by who gives the reminders: begun, begun anew where it ended, and ended."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchmate.bench.service import Bench
from benchmate.clock import steady_s
from benchmate.refusal import Refused
from benchmate.remind.rules.edges import Reminder

if TYPE_CHECKING:
    from benchmate.bench.page.serving import Serving

AGAIN_S = 2.0
MISSING = "The page needs two packages more: pip install 'benchmate[page]'."
FAULT = "The page is not served at {link}: {fault}."


class KeptPage:
    """The page, or why there is none. Nothing of it is loaded before it is to be served."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._served: Serving | None = None
        self._again_s = float("-inf")
        self.fault = ""
        """What hinders it, in a sentence; empty: nothing."""

    def look(self, standing: Sequence[Reminder], *, on: bool) -> None:
        """One round: serve it or not, and show what stands."""
        served = self._served
        if served is not None and (served.server.is_over or served.has_moved or not on):
            self.stop()
            fault = served.server.fault
            self.fault = fault and FAULT.format(link=served.link, fault=fault)
        if on and self._served is None and steady_s() >= self._again_s:
            self._again_s = steady_s() + AGAIN_S
            self._begin()
        if self._served is not None:
            if self._served.server.is_up:
                self.fault = ""
            self._served.look(standing)

    def stop(self) -> None:
        """End it."""
        if self._served is not None:
            self._served.server.end()
            self._served = None

    def _begin(self) -> None:
        try:
            from benchmate.bench.page.serving import Serving

            self._served = Serving(self._bench)
            self._served.server.begin()
        except ImportError:
            self.fault = MISSING
        except Refused as refusal:
            self.fault = f"The page is not served: {refusal}"
