"""Which reminders are due: pure rules from edges, what was said, settings and the moment.

Of one edge only the latest stage that has begun is said; of one window an edge that opened is
not mentioned any more once the window closes. What is held back (quiet hours, a machine that
runs, "call me again") is said when the hold ends, as it then stands.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from benchmate.remind.edges import EdgeAhead, EdgeKind, Gravity, Now, Reminder, Stage, gravity_of
from benchmate.remind.rules import RemindSettings
from benchmate.remind.said import Call, Delivery, Said
from benchmate.remind.view import View
from benchmate.remind.wording import speech_of, text_of

__all__ = [
    "EdgeAhead",
    "EdgeKind",
    "Gravity",
    "Look",
    "Now",
    "Reminder",
    "Stage",
    "due",
    "gravity_of",
    "look",
    "next_wake_s",
    "reworded",
    "showing",
]

NOBODY: frozenset[Call] = frozenset()


@dataclass(frozen=True, slots=True)
class Look:
    """What one look at all edges found."""

    due: tuple[Reminder, ...]
    """To be given now, the gravest first."""
    showing: tuple[Reminder, ...]
    """What stands unanswered, for a banner: given or due now, and not acknowledged."""
    wake_s: float | None
    """When something changes next if nobody acts; None: never."""


def due(
    edges: Iterable[EdgeAhead],
    said: Said | Iterable[Delivery],
    settings: RemindSettings,
    now: Now,
    in_flight: Collection[Call] = NOBODY,
) -> list[Reminder]:
    """The reminders to give now, the gravest first."""
    return list(look(edges, said, settings, now, in_flight).due)


def showing(
    edges: Iterable[EdgeAhead],
    said: Said | Iterable[Delivery],
    settings: RemindSettings,
    now: Now,
) -> list[Reminder]:
    """What stands unanswered, for a screen's banner, whoever gives the reminders."""
    return list(look(edges, said, settings, now).showing)


def next_wake_s(
    edges: Iterable[EdgeAhead],
    said: Said | Iterable[Delivery],
    settings: RemindSettings,
    now: Now,
    in_flight: Collection[Call] = NOBODY,
) -> float | None:
    """When on the shop's time line something becomes due next if nobody acts; None: never."""
    return look(edges, said, settings, now, in_flight).wake_s


def look(
    edges: Iterable[EdgeAhead],
    said: Said | Iterable[Delivery],
    settings: RemindSettings,
    now: Now,
    in_flight: Collection[Call] = NOBODY,
) -> Look:
    """All that is due, all that stands unanswered, and when to look again.

    `in_flight` are the calls that this process is making just now: an "about to" without an
    outcome that isn't among them was left by a process that was killed, and is given once more,
    marked "again".
    """
    known = said if isinstance(said, Said) else Said(said)
    live = [edge for edge in edges if not edge.paused]
    opens_s = {edge.window_key: edge.at_s for edge in live if edge.edge == "opens"}
    found = [
        View(edge, opens_s.get(edge.window_key), known, settings, now, in_flight) for edge in live
    ]
    stale = {view.edge.window_key for view in found if view.supersedes_opening}
    views = [v for v in found if not (v.edge.edge == "opens" and v.edge.window_key in stale)]
    wakes = [wake for view in views if (wake := view.wake_s()) is not None]
    return Look(
        tuple(sorted((r for v in views if (r := v.due())), key=_gravest_first)),
        tuple(sorted((r for v in views if (r := v.shown())), key=_gravest_first)),
        min(wakes, default=None),
    )


def reworded(reminder: Reminder, now_s: float) -> Reminder:
    """The same reminder with its times as they are now, for a channel that had to wait."""
    edge, stage, again = reminder.edge, reminder.stage, reminder.again
    return replace(
        reminder,
        text=text_of(edge, stage, now_s, again=again),
        speech_text=speech_of(edge, stage, now_s, again=again),
    )


def _gravest_first(reminder: Reminder) -> tuple[bool, int, float, str]:
    """What spoils before the rest; in each what can still be saved, by its close, before what is
    lost, and that before what merely opens."""
    order = (Stage.CLOSING, Stage.MISSED)
    place = order.index(reminder.stage) if reminder.stage in order else 9 - reminder.stage.place
    return not reminder.urgent, place, reminder.edge.at_s, reminder.key
