"""For what the machine is kept awake: what somebody waits for, clamps included. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from benchmate.remind.rules.edges import EdgeAhead, Now

ON_BATTERY_S = 4 * 3600.0
"""No farther ahead is an edge worth an empty battery (common practice, no source)."""


class Wish(NamedTuple):
    """Whether to keep awake, and for what or why not, in a sentence."""

    awake: bool
    sentence: str


MAY_SLEEP = Wish(False, "The machine may sleep: no clock is waited for.")


def awake_for(edges: Sequence[EdgeAhead], now: Now, *, on_battery: bool) -> Wish:
    """On mains as long as anything is waited for; on battery until the next of it, within 4 h."""
    live = [
        edge
        for edge in edges
        if edge.edge in ("opens", "closes")
        and edge.gravity > 0
        and not edge.paused
        and edge.at_s > now.now_s
    ]
    if not live:
        return MAY_SLEEP
    first = min(live, key=lambda edge: edge.at_s)
    named = f"{first.label} ({now.clock(first.at_s)})"
    if on_battery and first.at_s - now.now_s > ON_BATTERY_S:
        return Wish(
            False,
            f"On battery the machine may sleep: next comes {named}. Plug it in, or save the "
            "calendar file so your phone reminds you.",
        )
    more = f" and {len(live) - 1} more" if len(live) > 1 and not on_battery else ""
    return Wish(True, f"Kept awake for {named}{more}.")
