"""The edges that reminders are about, from the shop as it stands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from benchmate.job.agenda import agenda
from benchmate.job.phrases import place_label
from benchmate.job.shop import Shop
from benchmate.job.state import JobState
from benchmate.job.windows import WindowView
from benchmate.remind.edges import EdgeAhead

WEIGH_AFTER_S = 60.0
"""A weight that is owed is spoken of a minute after its act: most are on the scale by then."""


def edges_of(shop: Shop, now_s: float) -> list[EdgeAhead]:
    """Every edge of every live window, and every weight that is owed."""
    found = agenda(shop.live, shop.around, now_s)
    out: list[EdgeAhead] = []
    for view in found.windows:
        out += _of_window(shop.jobs[view.job], view)
    for act in found.ready:
        job = shop.jobs[act.job]
        record = job.done.get(act.address)
        if act.kind == "weigh" and record is not None:
            at = shop.timeline.at(record.done)
            out.append(
                EdgeAhead(
                    key=f"{act.address}:weight", job=act.job, address=act.address,
                    label=place_label(job, act.address), edge="weigh", at_s=at + WEIGH_AFTER_S,
                    action="Weigh it before the next layer goes in.", begun_s=at,
                )
            )  # fmt: skip
    return out


def _of_window(job: JobState, view: WindowView) -> Iterable[EdgeAhead]:
    window = view.window
    pending = [job.steps[a] for a in view.pending if a in job.steps]
    waiting = {a.address for a in pending if view.address in (*a.waits, *a.waits_full)}
    users = job.users.get(view.address, ())
    words = {"opens": window.opens_text, "full": window.full_text, "closes": window.closes_text}
    for name, edge in (("opens", view.opens), ("full", view.full), ("closes", view.closes)):
        if edge is None or (name != "closes" and users and not waiting):
            continue
        step = next((s for s in pending if name == "closes" or s.address in waiting), None)
        yield EdgeAhead(
            key=f"{view.address}:{name}", job=view.job, address=view.address,
            label=window.label, edge=name, at_s=edge.at,  # type: ignore[arg-type]
            consequence=window.missed if name == "closes" else "nothing",
            action=step.do if step else words[name], hands_s=step.hands_s if step else 0.0,
            paused=view.paused, begun_s=view.anchor, window=view.address, words=words[name],
        )  # fmt: skip


def ahead(edges: Sequence[EdgeAhead], now_s: float) -> list[EdgeAhead]:
    """Those still to come, soonest first."""
    return sorted((e for e in edges if e.at_s > now_s and not e.paused), key=lambda e: e.at_s)
