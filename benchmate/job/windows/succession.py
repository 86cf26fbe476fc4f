"""Which act ends a clock where no plan says so: gluing, closing, clamping follow each other."""

from __future__ import annotations

from benchmate.job.state.state import JobState
from benchmate.plan.address import parse
from benchmate.plan.plan import Window

FOLLOW: dict[str, frozenset[str]] = {
    "spread": frozenset({"closed", "clamped", "joined"}),
    "closed": frozenset({"clamped", "joined"}),
    "coated": frozenset({"coated", "wiped", "joined", "waxed"}),
    "poured": frozenset({"poured", "capped"}),
    "waxed": frozenset({"waxed", "polished"}),
}
"""An act, and the acts on the same thing that use up its closing windows. A mixed cup is not
among them: it may serve many acts, and only its own pot life ends it."""


def is_followed(job: JobState, window: Window) -> bool:
    """Whether a later act without a plan has used this window, so that it closes on nobody."""
    if window.closes_s is None:
        return False
    step = window.address.rpartition(":")[0]
    place = next((i for i, f in enumerate(job.free) if f.event.address == step), None)
    at = parse(step)
    if place is None or at is None:
        return False
    follow = FOLLOW.get(job.free[place].event.act, frozenset())
    later = (f.event for f in job.free[place + 1 :] if f.event.act in follow)
    return any(
        (where := parse(event.address)) is not None and where[1:3] == at[1:3] for event in later
    )
