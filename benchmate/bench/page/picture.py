"""What the page shows, as plain data: the next step, its amount, what is left, all clocks, what
stands. Times are Unix seconds beside the shop's own clock text; the browser counts down by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import Any

from benchmate.bench.next_line import clock_of
from benchmate.bench.service import Bench
from benchmate.job.windows.windows import WindowView
from benchmate.job.words.phrases import act_sentence, amounts_text

MOST_CLOCKS = 12


def picture_of(bench: Bench, standing: Sequence[str], reminds: str) -> dict[str, Any]:
    """The page's picture of the shop as it stands. `standing`: the texts of what reminds."""
    found = bench.agenda()
    act, clock = found.next, clock_of(bench)
    step = act.step if act is not None else None
    says = act_sentence(bench.shop.jobs[act.job], act) if act is not None else _nothing(bench)
    until = act.latest_at if act is not None else inf
    amount = amounts_text(step, bench.settings.units, ", ") if step and step.amounts else ""
    live = sum(j.plan is not None for j in bench.shop.live)
    return {
        "next": says,
        "amount": amount,
        "until": None if until == inf else bench.wall_at(until),
        "clocks": [_clock(bench, view, clock) for view in found.windows[:MOST_CLOCKS]],
        "missed": [v.window.label for v in found.windows if v.asks],
        "standing": list(standing),
        "foot": f"{live} {'job' if live == 1 else 'jobs'} open. {reminds}".strip(),
    }


def _nothing(bench: Bench) -> str:
    later = bench.agenda().later
    if not later:
        return "Nothing to do just now."
    act = later[0]
    job = bench.shop.jobs[act.job]
    return f"Next, from {clock_of(bench)(act.ready_at)}: {act_sentence(job, act)}"


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
        "until": bench.wall_at(at) if coming else None,
    }
