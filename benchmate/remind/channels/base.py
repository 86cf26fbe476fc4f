"""What every channel is: a name, whether it can be used here, and a way to send."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from benchmate.remind.rules.edges import Reminder


@dataclass(frozen=True, slots=True)
class Availability:
    """Whether a channel can be used on this machine, in a sentence, and how to mend it if not."""

    ok: bool
    sentence: str
    mend: str = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one call of a channel. `note` never holds a secret."""

    ok: bool
    note: str = ""
    retry: bool = False
    """Trying again later may help (a network that was down)."""


SENT = Outcome(ok=True)


class Channel(Protocol):
    """One way to reach the maker. `send` may block: it is called from the channel's own thread."""

    @property
    def name(self) -> str:
        """Its kind, or "kind:2" where there are several of a kind."""

    def available(self) -> Availability:
        """Whether it can be used here. Cheap enough for a check-up, not for every tick."""

    def send(self, reminder: Reminder) -> Outcome:
        """Give the reminder. Says what went wrong in the outcome rather than raise."""
