"""How insistent a reminder is, and how long before its edge it comes. Right without settings.

The numbers are the shop's own judgement (common practice, no source), but for the ceiling on
how much a person can be told: about one alarm in ten minutes is bearable (the figure usually
quoted from the alarm standards ISA-18.2 and IEC 62682, from memory), which is why only what
spoils something repeats within five minutes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from benchmate.remind.edges import EdgeAhead, Gravity, Stage
from benchmate.remind.quiet import NIGHT, QuietHours

MIN_S = 60.0
HOUR_S = 3600.0
UNKNOWN_LENGTH_S = HOUR_S
EVENING_WORD_S = 30 * MIN_S
"""So long before quiet hours comes what would otherwise be said too late, after them."""
FORESEEN_S = 2 * HOUR_S
"""Farther ahead no cold is foreseen."""

IN_THE_SHOP = ("terminal", "sound", "speech", "desktop")
EVERYWHERE = (*IN_THE_SHOP, "message", "command")


@dataclass(frozen=True, slots=True)
class Manner:
    """How a reminder is given: by which kinds of channels and how often."""

    insistence: str
    channels: tuple[str, ...]
    gaps_s: tuple[float, ...] = ()
    """From each round to the next."""
    endless: bool = False
    """The last gap goes on until the reminder is acknowledged or its edge is met."""
    message_gap_s: float | None = None
    """Messages to a phone are sparser than sounds; None: only with the first round."""

    def gap_after(self, rounds: int) -> float | None:
        """Seconds from the last of so many rounds to the next; None when all is said."""
        if rounds <= len(self.gaps_s):
            return self.gaps_s[rounds - 1]
        return self.gaps_s[-1] if self.endless else None


ONCE = Manner("once", IN_THE_SHOP)
AGAIN = Manner("again", EVERYWHERE, (5 * MIN_S, 10 * MIN_S, 10 * MIN_S))
CLOSING_SHOUT = Manner(
    "until heard",
    EVERYWHERE,
    (MIN_S, MIN_S, 2 * MIN_S, 2 * MIN_S, 5 * MIN_S),
    endless=True,
    message_gap_s=5 * MIN_S,
)
MISSED_SHOUT = Manner(
    "until heard",
    EVERYWHERE,
    (2 * MIN_S, 5 * MIN_S, 10 * MIN_S, 30 * MIN_S, HOUR_S),
    endless=True,
    message_gap_s=30 * MIN_S,
)

MANNERS: Mapping[tuple[Stage, Gravity], Manner] = {
    (Stage.SOON, Gravity.WORK): ONCE,
    (Stage.SOON, Gravity.SPOILS): ONCE,
    (Stage.OPENS, Gravity.NOTHING): ONCE,
    (Stage.OPENS, Gravity.WORK): ONCE,
    (Stage.OPENS, Gravity.SPOILS): AGAIN,
    (Stage.FULL, Gravity.NOTHING): ONCE,
    (Stage.FULL, Gravity.WORK): ONCE,
    (Stage.FULL, Gravity.SPOILS): ONCE,
    (Stage.WEIGH, Gravity.NOTHING): ONCE,
    (Stage.WEIGH, Gravity.WORK): AGAIN,
    (Stage.WEIGH, Gravity.SPOILS): CLOSING_SHOUT,
    (Stage.CLOSING, Gravity.NOTHING): ONCE,
    (Stage.CLOSING, Gravity.WORK): AGAIN,
    (Stage.CLOSING, Gravity.SPOILS): CLOSING_SHOUT,
    (Stage.MISSED, Gravity.NOTHING): ONCE,
    (Stage.MISSED, Gravity.WORK): AGAIN,
    (Stage.MISSED, Gravity.SPOILS): MISSED_SHOUT,
}


@dataclass(frozen=True, slots=True)
class RemindSettings:
    """What a maker may set. The defaults are meant to be right for one who never does."""

    quiet: QuietHours | None = NIGHT
    """Local hours that hold back all but what spoils something; None: none."""
    channels: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By insistence ("once", "again", "until heard"): these kinds of channels instead."""
    switched_off: frozenset[str] = frozenset()
    """Kinds of channels never used."""

    def manner_of(self, stage: Stage, gravity: Gravity) -> Manner | None:
        """How such a reminder is given; None: not at all."""
        return MANNERS.get((stage, gravity))

    def channels_of(self, manner: Manner) -> tuple[str, ...]:
        """The kinds of channels for it, as set."""
        wanted = self.channels.get(manner.insistence, manner.channels)
        return tuple(kind for kind in wanted if kind not in self.switched_off)


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
    if length_s is None:
        return 5 * MIN_S
    if length_s < 10 * MIN_S:
        return None
    return _between(2 * MIN_S, 0.1 * length_s, 15 * MIN_S)
