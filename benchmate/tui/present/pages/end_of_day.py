"""Closing up: what runs overnight and turns when, rags, materials, and what comes first
tomorrow."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from benchmate.job.state.shop import Shop
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Agenda
from benchmate.job.windows.windows import Edge, WindowView
from benchmate.job.words.phrases import act_sentence, edge_word
from benchmate.plan.plan import Amount
from benchmate.quantities import show_duration
from benchmate.tui.present.bench.nextact import Clock
from benchmate.tui.present.bench.timeline import about
from benchmate.tui.present.lines import Line, Role, Span, crop, line, wrap

DAY_S = 86400.0
RAGS = "oily rags"
RAGS_TEXT = (
    "Rags with drying oil heat themselves and catch fire: lay them out singly outdoors to dry, or "
    "keep them under water in a closed metal can; dispose of them by local rules."
)
CUP_TEXT = (
    "A cup of resin or glue that is left over heats itself; stand it outdoors on something that "
    "doesn't burn, and leave it there until it is cold."
)


class Turn(NamedTuple):
    """One edge that comes while nobody is here."""

    view: WindowView
    name: str
    edge: Edge

    @property
    def is_lost(self) -> bool:
        """Whether something closes before anybody is back."""
        return self.name == "closes"


def turns(found: Agenda, until_s: float) -> list[Turn]:
    """The edges between now and then, soonest first."""
    out: list[Turn] = []
    for view in found.windows:
        edges = view.edges.items()
        out += [Turn(view, n, e) for n, e in edges if view.now < e.at <= until_s]
    return sorted(out, key=lambda t: t.edge.at)


def rag_jobs(shop: Shop, now_s: float) -> list[JobState]:
    """Jobs in which something of the last day has left oily rags."""
    return [
        job
        for job in shop.jobs.values()
        if any(
            (step := job.steps.get(address)) is not None
            and step.rag
            and now_s - shop.timeline.at(record.done) < DAY_S
            for address, record in job.done.items()
        )
    ]


LIDLESS = ("shot", "sheet", "felt", "leather", "tape", "abrasive")
"""What needs no lid put back on, by what a step or a label calls it."""


def _has_lid(shop: Shop, amount: Amount) -> bool:
    """Whether what an amount came from is shut at the end of the day."""
    label = shop.shelf.labels.get(amount.material, "")
    return not any(word in amount.what or f'"{word}' in label for word in LIDLESS)


def materials_used(shop: Shop, now_s: float) -> list[str]:
    """Materials (or materials, where no material is named) that were open in the last day."""
    return list(dict.fromkeys(_materials(shop, now_s)))


def _materials(shop: Shop, now_s: float) -> Iterable[str]:
    for job in shop.jobs.values():
        for address, record in job.done.items():
            step = job.steps.get(address)
            if step is not None and now_s - shop.timeline.at(record.done) < DAY_S:
                yield from (
                    a.material or a.what.partition(",")[0]
                    for a in step.amounts
                    if _has_lid(shop, a)
                )
        for free in job.free:
            if free.event.material and now_s - shop.timeline.at(free.event.happened) < DAY_S:
                yield free.event.material


def cups(found: Agenda) -> list[WindowView]:
    """Cups that are still liquid."""
    return [v for v in found.windows if v.window.missed == "spoils mix" and v.state != "missed"]


def closing_lines(
    shop: Shop, found: Agenda, now_s: float, back_s: float, clock: Clock, cells: int
) -> list[Line]:
    """The whole page. `back_s` is when the shop opens again."""
    out = _cups(found, clock, cells)
    out += _section(f"While you’re away, until {clock(back_s)}")
    coming = turns(found, back_s)
    for turn in coming:
        out += _turn(turn, clock, cells)
    out += [] if coming else [line("   nothing comes due")]
    out += _rags(shop, now_s, cells)
    materials = [t for t in materials_used(shop, now_s) if t]
    out += _section("Lids to put back on")
    out += _text(" · ".join(materials) if materials else "nothing was open today", cells)
    out += _section("First thing tomorrow")
    return [crop(r, cells) for r in (*out, *_first(shop, found, clock, cells))]


def minding_lines(sentences: Sequence[str], cells: int) -> list[Line]:
    """Who reminds meanwhile, and whether the machine stays awake for it."""
    if not sentences:
        return []
    return [*_section("Reminders"), *(r for text in sentences for r in _text(text, cells))]


def _section(title: str) -> list[Line]:
    return [(), line(" ", Span(title, "strong"))]


def _text(text: str, cells: int, role: Role = "plain") -> list[Line]:
    return [line("   ", Span(r, role)) for r in wrap(text, max(8, cells - 4), 8)]


def _cups(found: Agenda, clock: Clock, cells: int) -> list[Line]:
    out: list[Line] = []
    for view in cups(found):
        until = f" until {clock(view.closes.at)}" if view.closes else ""
        text = f"! {view.window.label}: still liquid{until}. {CUP_TEXT}"
        out += _text(text, cells, "spoil")
    return out


def _turn(turn: Turn, clock: Clock, cells: int) -> list[Line]:
    view, lost = turn.view, turn.is_lost
    role: Role = ("spoil" if view.spoils else "caution") if lost else "plain"
    sign = "!" if lost and view.window.missed != "nothing" else " "
    what = edge_word(view, turn.name)
    text = f"{view.window.label}: {'closes; ' if lost and view.window.closes_text else ''}{what}"
    first, *more = wrap(text, max(8, cells - 18), 2)
    out = [line(f" {sign} ", Span(f"{about(turn.edge, clock):<12}", "strong"), Span(first, role))]
    return [*out, *(line(" " * 15, Span(r, role)) for r in more)]


def _rags(shop: Shop, now_s: float, cells: int) -> list[Line]:
    jobs = rag_jobs(shop, now_s)
    if not jobs:
        return []
    texts = [j.plan.cautions.get(RAGS, "") for j in jobs if j.plan]
    text = next((t for t in texts if t), RAGS_TEXT)
    return [*_section("Oily rags"), *_text(f"! {text}", cells, "spoil")]


def _first(shop: Shop, found: Agenda, clock: Clock, cells: int) -> list[Line]:
    """What can be done at once, and what waits."""
    out: list[Line] = []
    acts = [("ready", a) for a in found.ready[:3]]
    acts += [(clock(a.ready_at), a) for a in found.later[:4]]
    for when, act in acts[:5]:
        hands = f", {show_duration(act.step.hands_s)}" if act.step and act.kind == "do" else ""
        first, *more = wrap(
            act_sentence(shop.jobs[act.job], act).rstrip(".") + hands, max(8, cells - 18), 2
        )
        out.append(line("   ", Span(f"{when:<12}", "strong"), first))
        out += [line(" " * 15, r) for r in more]
    return out or [line("   nothing is waiting")]


__all__: Sequence[str] = [
    "closing_lines",
    "cups",
    "materials_used",
    "minding_lines",
    "rag_jobs",
    "turns",
]
