"""The channel that is the screen itself."""

from __future__ import annotations

from collections.abc import Callable

from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.rules.edges import Reminder

Show = Callable[[Reminder], None]


class TerminalChannel:
    """Hands the reminder to the screen, which decides on banner, bell, signal and title."""

    name = "terminal"

    def __init__(self, show: Show | None) -> None:
        """`show` must not block and must be safe to call from another thread."""
        self._show = show

    def available(self) -> Availability:
        """Whether a screen is there to show anything."""
        if self._show is None:
            return Availability(
                ok=False,
                sentence="Screen: no bench is open in this terminal.",
                mend="Open the bench to have reminders shown; other channels don't need it.",
            )
        return Availability(ok=True, sentence="Screen: the bench shows reminders.")

    def send(self, reminder: Reminder) -> Outcome:
        """Show it."""
        if self._show is None:
            return Outcome(ok=False, note="no bench is open")
        self._show(reminder)
        return SENT
