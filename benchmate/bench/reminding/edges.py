"""The edges that reminders are about, from the shop as it stands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from benchmate.bench.short import verb
from benchmate.job.state.shop import Shop
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act, agenda, is_covered
from benchmate.job.windows.cold_ahead import will_spoil_s
from benchmate.job.windows.windows import Edge, WindowView
from benchmate.job.words.phrases import place_label, thing_of
from benchmate.plan.plan import Step, Window
from benchmate.quantities import Units, show_temperature
from benchmate.remind.rules.edges import EdgeAhead, EdgeKind

WEIGH_AFTER_S = 60.0
"""A weight that is owed is spoken of a minute after its act: most are on the scale by then."""
WAITED_FOR = "extra work"
"""The consequence of missing an edge that a step waits for. Nothing is lost by waiting longer: it
is worth a word before and a word at the edge, outside quiet hours, and no insisting."""
ANSWER = "What happened?"
WARM = "Warm it now: below that it is ruined, not just slow."
SPOILED = "Don't rely on it; check the maker's data sheet."


def edges_of(shop: Shop, now_s: float, units: Units = "metric") -> list[EdgeAhead]:
    """Every edge of every live window, the cold that spoils one, and every weight that is owed."""
    found = agenda(shop.live, shop.around, now_s)
    out = [
        replace(edge, anew_s=_put_off_s(shop, edge))
        for view in found.windows
        for edge in _of_window(shop.jobs[view.job], view)
    ]
    out += _of_cold(shop, found.windows, units)
    for act in found.ready:
        weight = _weight_owed(shop, act)
        if weight is not None:
            out.append(weight)
    return out


def _put_off_s(shop: Shop, edge: EdgeAhead) -> float | None:
    """When the edge was put off after it had come, in this run of its window."""
    back = shop.set_back.get((edge.address, edge.edge))
    if back is None or (edge.begun_s is not None and back.until < edge.begun_s):
        return None
    return back.until


def _of_window(job: JobState, view: WindowView) -> Iterable[EdgeAhead]:
    pending = [job.steps[a] for a in view.pending if a in job.steps]
    # One whose time ran out, and whose maker said what happened, needs no word that it may begin.
    timely = [s for s in pending if not job.answers.keys() & set(s.within)]
    waiting = {
        "opens": [s for s in timely if view.address in s.waits],
        "full": [s for s in timely if view.address in s.waits_full],
    }
    nobody = not job.users.get(view.address)
    for name, edge in view.edges.items():
        if name == "closes":
            yield _closing(job, view, edge, pending)
        elif nobody or waiting[name]:
            first = waiting[name][0] if waiting[name] else None
            yield _opening(job, view, name, edge, first)  # type: ignore[arg-type]


def _closing(job: JobState, view: WindowView, edge: Edge, pending: Sequence[Step]) -> EdgeAhead:
    """The close: all that is still to be done before it needs its hands."""
    window = view.window
    action = _sentence(pending[0].do) if pending else window.closes_text
    if view.state == "missed" and window.missed != "nothing":
        action = " ".join(t for t in (_sentence(window.missed_text), ANSWER) if t)
    found = _edge(view, "closes", edge, window.missed, action, sum(s.hands_s for s in pending))
    return _for_step(found, job, pending[0]) if pending else found


def _opening(
    job: JobState, view: WindowView, name: EdgeKind, edge: Edge, step: Step | None
) -> EdgeAhead:
    if step is None:
        return _edge(view, name, edge, "nothing", words_of(view.window, name), 0.0)
    consequence = WAITED_FOR if name == "opens" else "nothing"
    found = _edge(view, name, edge, consequence, _sentence(step.do), step.hands_s)
    return _for_step(found, job, step)


def _for_step(edge: EdgeAhead, job: JobState, step: Step) -> EdgeAhead:
    """The edge as that of the step that waits for it."""
    return replace(edge, step=step.address, do=f"{verb(step)}: {thing_of(job, step)}")


def _of_cold(shop: Shop, views: Iterable[WindowView], units: Units) -> Iterable[EdgeAhead]:
    """Cold that spoils something, foreseen or past: one edge for each act that began windows."""
    found: dict[str, EdgeAhead] = {}
    for view in views:
        act = view.address.rpartition(":")[0]
        lowest_c = view.window.rule.lowest_c
        if lowest_c is None or act in found:
            continue
        lowest = show_temperature(lowest_c, units)
        if view.spoiled_at is not None:
            found[act] = _cold_edge(view, "chilled", view.spoiled_at, "extra work", SPOILED, lowest)
            continue
        at_s = will_spoil_s(shop.jobs[view.job], view, shop.around)
        if at_s is not None:
            found[act] = _cold_edge(view, "chills", at_s, "spoils", WARM, lowest)
    return found.values()


def _cold_edge(
    view: WindowView, name: EdgeKind, at_s: float, consequence: str, action: str, lowest: str
) -> EdgeAhead:
    """Of one that was spoiled nothing can be saved any more: it is told, and not shouted."""
    act = view.address.rpartition(":")[0]
    return EdgeAhead(
        key=f"{act}:{name}",
        job=view.job,
        address=act,
        label=view.window.label,
        edge=name,
        at_s=at_s,
        consequence=consequence,
        action=action,
        paused=view.paused,
        begun_s=view.anchor,
        window=f"{act}:cold",
        words=lowest,
    )


def _edge(
    view: WindowView, name: EdgeKind, edge: Edge, consequence: str, action: str, hands_s: float
) -> EdgeAhead:
    return EdgeAhead(
        key=f"{view.address}:{name}",
        job=view.job,
        address=view.address,
        label=view.window.label,
        edge=name,
        at_s=edge.at,
        consequence=consequence,
        action=action,
        hands_s=hands_s,
        paused=view.paused,
        begun_s=view.anchor,
        window=view.address,
        words=words_of(view.window, name),
    )


def words_of(window: Window, name: EdgeKind) -> str:
    """The window's own words for an edge: "clamps may come off"; empty where it has none."""
    texts = {"opens": window.opens_text, "full": window.full_text, "closes": window.closes_text}
    return texts.get(name, "")


def _weight_owed(shop: Shop, act: Act) -> EdgeAhead | None:
    """The edge of a weight that its act still owes, while it can still correct something."""
    job = shop.jobs[act.job]
    record = job.done.get(act.address)
    if act.kind != "weigh" or act.step is None or record is None or is_covered(job, act.address):
        return None
    at_s = shop.timeline.at(record.done)
    what = act.step.weigh.what if act.step.weigh is not None else ""
    return EdgeAhead(
        key=f"{act.address}:weight",
        job=act.job,
        address=act.address,
        label=", ".join(t for t in (place_label(job, act.address), what) if t),
        edge="weigh",
        at_s=at_s + WEIGH_AFTER_S,
        consequence=WAITED_FOR,
        action="Weigh it before anything else is done to it.",
        begun_s=at_s,
    )


def ahead(edges: Sequence[EdgeAhead], now_s: float) -> list[EdgeAhead]:
    """Those still to come, soonest first; cold that is foreseen is no date to rely on."""
    found = (e for e in edges if e.at_s > now_s and not e.paused and e.edge != "chills")
    return sorted(found, key=lambda e: e.at_s)


def _sentence(text: str) -> str:
    plain = text.strip().rstrip(".")
    return f"{plain[:1].upper()}{plain[1:]}." if plain else ""
