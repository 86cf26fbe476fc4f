"""What a maker may set of the reminders. Right without settings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from benchmate.remind.rules.edges import Gravity
from benchmate.remind.rules.quiet import NIGHT, QuietHours

PHONE = "message"
IN_THE_SHOP = ("terminal", "sound", "speech", "desktop")
EVERYWHERE = (*IN_THE_SHOP, PHONE, "command")


@dataclass(frozen=True, slots=True)
class RemindSettings:
    """What a maker may set. The defaults are meant to be right for one who never does."""

    quiet: QuietHours | None = NIGHT
    """Local hours that hold back all but what spoils something; None: none."""
    channels: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By insistence ("once", "again", "until heard"): these kinds of channels instead."""
    switched_off: frozenset[str] = frozenset()
    """Kinds of channels never used."""

    has_phone: bool = True
    """Whether a message reaches anybody: an address is set."""
    phone: str = "away"
    """When a message is sent: "away" by the table, "always" at the bench too, "spoils" only for
    what spoils something, or "never"."""
    by_stage: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    """By stage, at the bench and away: "shop", "phone", "both" or "none" instead of the table."""

    def kinds_of(self, insistence: str) -> tuple[str, ...]:
        """The kinds of channels that may be used for it, as set."""
        usual = IN_THE_SHOP if insistence == "once" else EVERYWHERE
        wanted = self.channels.get(insistence, (*usual, PHONE))
        return tuple(dict.fromkeys(kind for kind in wanted if kind not in self.switched_off))

    def may_phone(self, gravity: Gravity) -> bool:
        """Whether the phone is there and not switched off for this."""
        wanted = self.phone != "never" and (self.phone != "spoils" or gravity is Gravity.SPOILS)
        return wanted and self.has_phone and PHONE not in self.switched_off
