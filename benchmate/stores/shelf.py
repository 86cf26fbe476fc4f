"""What stands on the shelf, folded from the events of stream `stores`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from benchmate.job.events import AnyEvent, TinDescribed, TinGone, TinUsed
from benchmate.stores.tin import Tin, decode_tin


@dataclass(frozen=True)
class Stores:
    """All tins by name, in the order they were described, and what is left in each."""

    tins: Mapping[str, Tin] = field(default_factory=dict)
    left: Mapping[str, float] = field(default_factory=dict)
    """Amount less what was used, in the tin's unit; only where an amount was given."""
    unreadable: tuple[str, ...] = ()
    """Names of tins whose label a newer benchmate wrote."""


def fold_stores(events: Iterable[AnyEvent]) -> Stores:
    """The shelf after these events; others than a tin's are passed over."""
    tins: dict[str, Tin] = {}
    used: dict[str, float] = {}
    unreadable: list[str] = []
    for event in events:
        if isinstance(event, TinDescribed):
            try:
                tins[event.name] = decode_tin(event.label)
            except ValueError:
                unreadable.append(event.name)
        elif isinstance(event, TinGone):
            tins.pop(event.name, None)
            used.pop(event.name, None)
        elif isinstance(event, TinUsed) and _counts(event, tins):
            used[event.name] = used.get(event.name, 0.0) + event.amount
    left = {n: t.amount - used.get(n, 0.0) for n, t in tins.items() if t.amount is not None}
    return Stores(tins, left, tuple(unreadable))


def _counts(event: TinUsed, tins: Mapping[str, Tin]) -> bool:
    tin = tins.get(event.name)
    return tin is not None and tin.unit == event.unit
