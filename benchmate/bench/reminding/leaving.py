"""One message for who leaves: what comes before the shop opens, what would be too late then."""

from __future__ import annotations

from benchmate.bench.reminding.edges import ahead
from benchmate.bench.reminding.presence import now_of
from benchmate.bench.reminding.reminding import edges_now
from benchmate.bench.service import Bench
from benchmate.localtime import local, next_at
from benchmate.remind.rules.edges import EdgeAhead, Reminder, Stage
from benchmate.settings import Hours

MORNING_MIN = 9 * 60
"""When the shop opens where the settings give no hours at all."""


def back_at(hours: Hours, wall_s: float) -> float:
    """When the shop opens next on a later day, by the settings (Unix seconds)."""
    today = local(wall_s).date().day_of_week().value - 1
    for days in range(1, 8):
        spans = hours.on((today + days) % 7)
        if spans:
            begins = min(s.begins_min for s in spans)
            return next_at(wall_s, days, begins // 60, begins % 60)
    return next_at(wall_s, 1, MORNING_MIN // 60, MORNING_MIN % 60)


def digest_of(bench: Bench) -> Reminder | None:
    """What somebody waits for until the shop opens again; None: nothing does."""
    now, wall_s = now_of(bench), bench.now().wall_s
    back_s = now.now_s + back_at(bench.settings.hours, wall_s) - wall_s
    found = [e for e in ahead(edges_now(bench), now.now_s) if e.gravity > 0 and e.at_s <= back_s]
    if not found:
        return None
    listed = "; ".join(f"{now.clock(e.at_s)} {_what(e)}" for e in found)
    text = f"Before {now.clock(back_s)}: {listed}."
    return Reminder(
        key="leaving",
        stage=Stage.SOON,
        round=0,
        text=text,
        speech_text=text,
        channels=("message",),
        insistence="once",
        again=False,
        edge=found[0],
        due_s=now.now_s,
        title="While you are away",
    )


def _what(edge: EdgeAhead) -> str:
    if edge.edge == "closes":
        return f"{edge.do or edge.label}, too late after that: do it now"
    return edge.do or f"{edge.label}, {edge.words}".rstrip(", ")
