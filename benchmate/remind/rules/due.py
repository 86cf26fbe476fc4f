"""Which reminders are due: pure rules from edges, what was said, settings and the moment.

Of one edge only the latest stage that has begun is said; of one window an edge that opened is
not mentioned any more once the window closes. What is held back (quiet hours, a machine that
runs, "call me again") is said when the hold ends, as it then stands.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from benchmate.remind.rules.edges import (
    EdgeAhead,
    Now,
    Reminder,
    Stage,
)
from benchmate.remind.rules.said import Call, Delivery, Said
from benchmate.remind.rules.settings import RemindSettings
from benchmate.remind.rules.stages import ONE_S
from benchmate.remind.rules.view import View
from benchmate.remind.rules.wording import joined, speech_of, text_of, title_of

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


def showing(
    edges: Iterable[EdgeAhead],
    said: Said | Iterable[Delivery],
    settings: RemindSettings,
    now: Now,
) -> list[Reminder]:
    """What stands unanswered, for a screen's banner, whoever gives the reminders."""
    return list(look(edges, said, settings, now).showing)


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
    kin = _Kin(live)
    found = [
        View(kin.told(e), kin.opens_s(e), known, settings, now, in_flight, kin.last_s(e))
        for e in live
    ]
    stale = {name for view in found if view.supersedes_opening for name in view.edge.kin}
    views = [v for v in found if not (v.edge.edge == "opens" and stale.intersection(v.edge.kin))]
    wakes = [wake for view in views if (wake := view.wake_s()) is not None]
    return Look(
        tuple(_as_one(sorted((r for v in views if (r := v.due())), key=_gravest_first), now)),
        tuple(sorted((r for v in views if (r := v.shown())), key=_gravest_first)),
        min(wakes, default=None),
    )


class _Kin:
    """The edges by what they share, so that one step, and like steps of two pieces, ring once."""

    def __init__(self, edges: Iterable[EdgeAhead]) -> None:
        self._opens: dict[str, list[float]] = {}
        self._closes: dict[str, list[float]] = {}
        self._alike: dict[tuple[str, str, str], list[float]] = {}
        for edge in edges:
            if edge.edge == "opens":
                self._alike.setdefault(_alike(edge), []).append(edge.at_s)
            of = {"opens": self._opens, "closes": self._closes}.get(edge.edge, {})
            for name in edge.kin:
                of.setdefault(name, []).append(edge.at_s)

    def opens_s(self, edge: EdgeAhead) -> float | None:
        """When the last of its window's or step's openings comes before it."""
        found = (s for name in edge.kin for s in self._opens.get(name, ()) if s <= edge.at_s)
        return max(found, default=None)

    def told(self, edge: EdgeAhead) -> EdgeAhead:
        """An opening with the close of the same step or window, which its words name."""
        if edge.edge != "opens":
            return edge
        closes = (s for name in edge.kin for s in self._closes.get(name, ()) if s > edge.at_s)
        return replace(edge, until_s=min(closes, default=None))

    def last_s(self, edge: EdgeAhead) -> float | None:
        """When the last of like openings comes that are so near that one word does for all."""
        if edge.edge != "opens":
            return None
        if not any(_alike(edge)[1:]):
            return None
        near = (s for s in self._alike[_alike(edge)] if 0.0 <= s - edge.at_s <= ONE_S)
        return max(near, default=None)


def _alike(edge: EdgeAhead) -> tuple[str, str, str]:
    """What like steps of two pieces share."""
    return edge.job, edge.words, edge.action


def _as_one(reminders: list[Reminder], now: Now) -> Iterable[Reminder]:
    """Openings that say the same of several pieces, as one that names them all."""
    groups: dict[object, list[Reminder]] = {}
    for r in reminders:
        alone = r.again or r.edge.edge not in ("opens", "full") or not any(_alike(r.edge)[1:])
        same = (_alike(r.edge), r.edge.edge, r.stage, r.channels)
        groups.setdefault(r.key if alone else same, []).append(r)
    for first, *others in groups.values():
        yield reworded(replace(first, also=tuple(others)), now) if others else first


def reworded(reminder: Reminder, now: Now) -> Reminder:
    """The same reminder with its times as they are now, for a channel that had to wait."""
    edge, stage, again = reminder.edge, reminder.stage, reminder.again
    if reminder.also:
        edges = [edge, *(r.edge for r in reminder.also)]
        verb = edge.do.partition(": ")[0]
        things = joined(e.do.removeprefix(f"{verb}: ") for e in edges)
        do = f"{verb}: {things}" if edge.do else ""
        edge = replace(edge, label=joined(e.label for e in edges), do=do)
    return replace(
        reminder,
        text=text_of(edge, stage, now, again=again),
        speech_text=speech_of(edge, stage, now.now_s, again=again),
        title=title_of(edge, stage),
    )


def _gravest_first(reminder: Reminder) -> tuple[bool, int, float, str]:
    """What spoils before the rest; in each what can still be saved, by its close, before what is
    lost, and that before what merely opens."""
    order = (Stage.CLOSING, Stage.MISSED)
    place = order.index(reminder.stage) if reminder.stage in order else 9 - reminder.stage.place
    return not reminder.urgent, place, reminder.edge.at_s, reminder.key
