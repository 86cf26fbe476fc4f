"""How long before its edge a reminder comes, and what a maker may set. Right without settings.

The numbers are the shop's own judgement (common practice, no source). Where and how often a
reminder is said is `routing`'s table.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from benchmate.remind.edges import EdgeAhead, Gravity
from benchmate.remind.quiet import NIGHT, QuietHours

MIN_S = 60.0
HOUR_S = 3600.0
UNKNOWN_LENGTH_S = HOUR_S
EVENING_WORD_S = 30 * MIN_S
"""So long before quiet hours comes what would otherwise be said too late, after them."""
ONE_S = 3 * MIN_S
"""What is said of one step, or of several pieces' like steps, within so long is said as one."""
FORESEEN_S = 2 * HOUR_S
"""Farther ahead no cold is foreseen."""

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


def _between(low: float, value: float, high: float) -> float:
    return max(low, min(value, high))


def closing_lead_s(edge: EdgeAhead, length_s: float | None) -> float:
    """How long before a window closes its last call comes: time to begin, and the hands' time.

    Never more than half of the window, unless the hands alone need longer.
    """
    length = length_s if length_s is not None else UNKNOWN_LENGTH_S
    if edge.gravity is Gravity.SPOILS:
        margin = _between(2 * MIN_S, 0.15 * length, 15 * MIN_S)
    else:
        margin = _between(MIN_S, 0.1 * length, 10 * MIN_S)
    lead = edge.hands_s + margin
    if length_s is None:
        return lead
    return min(lead, max(0.5 * length, min(edge.hands_s + MIN_S, 0.9 * length)))


def soon_lead_s(edge: EdgeAhead, length_s: float | None) -> float | None:
    """How long before an edge its first word comes; None where one is not worth it."""
    if edge.gravity is Gravity.NOTHING or edge.edge not in ("opens", "closes"):
        return None
    if edge.edge == "opens":
        return _opening_lead_s(length_s)
    length = length_s if length_s is not None else UNKNOWN_LENGTH_S
    closing = closing_lead_s(edge, length_s)
    lead = closing + _between(5 * MIN_S, 0.2 * length, HOUR_S)
    if length_s is not None:
        lead = min(lead, 0.9 * length)
    return lead if lead - closing >= MIN_S else None


def _opening_lead_s(length_s: float | None) -> float | None:
    """A tenth of the wait, at least five minutes: nearer the edge the edge's own word will do."""
    lead_s = 5 * MIN_S if length_s is None else min(0.1 * length_s, 15 * MIN_S)
    return lead_s if lead_s >= 5 * MIN_S else None
