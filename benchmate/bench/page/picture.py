"""What the page shows, as plain data: the big view in its wordings, all clocks, what reminds.

Times are Unix seconds beside the shop's own clock text; the browser counts down by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import Any

from benchmate.bench.big_view import big_view
from benchmate.bench.next_line import clock_of
from benchmate.bench.service import Bench
from benchmate.job.windows.windows import WindowView
from benchmate.remind.rules.edges import Reminder

MOST_CLOCKS = 12


def picture_of(bench: Bench, standing: Sequence[Reminder], reminds: str) -> dict[str, Any]:
    """The page's picture of the shop as it stands. `standing`: what reminds."""
    found, clock, live = bench.agenda(), clock_of(bench), bench.shop.live
    view = big_view(found, found.next, live, bench.settings.units, clock)
    many = sum(j.plan is not None for j in live)
    return {
        "what": list(view.what),
        "amount": list(view.amount),
        "until": None if view.at_s is None else _wall(bench, view.at_s),
        "caption": view.caption,
        "lost": view.missed,
        "clocks": [_clock(bench, view, clock) for view in found.windows[:MOST_CLOCKS]],
        "missed": [v.window.label for v in found.windows if v.asks],
        "standing": [{"text": r.text, "spoils": r.urgent} for r in standing],
        "foot": f"{many} {'job' if many == 1 else 'jobs'} open. {reminds}".strip(),
    }


def _wall(bench: Bench, at_s: float) -> float:
    """Unix seconds, to a tenth: what is the same stays the same picture."""
    return round(bench.wall_at(at_s), 1)


def _clock(bench: Bench, view: WindowView, clock: Any) -> dict[str, Any]:
    """A clock's next time, and what it means."""
    now_s = bench.now_s()
    texts = {
        "opens": view.window.opens_text,
        "full": view.window.full_text,
        "closes": view.window.closes_text,
    }
    ahead = [(edge.at, name) for name, edge in view.edges.items() if edge is not None]
    at, name = min(((s, n) for s, n in ahead if s > now_s), default=(inf, ""))
    says = "too cold: don't trust it" if view.is_ruined else texts.get(name) or name or "done"
    coming = not view.is_ruined and at != inf
    return {
        "label": view.window.label,
        "says": says,
        "at": clock(at) if coming else "",
        "until": _wall(bench, at) if coming else None,
    }
