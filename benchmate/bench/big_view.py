"""The big view's words: the next act, its amount and its time in few words, for across the shop."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from benchmate.bench.short import amounts_of, short_act, verb
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act, Agenda
from benchmate.job.windows.windows import WindowView
from benchmate.job.words.phrases import (
    act_sentence,
    amount_text,
    number_of,
    piece_label,
    said_before,
    window_text,
)
from benchmate.plan.plan import Step
from benchmate.quantities import Units

Clock = Callable[[float], str]
Wordings = tuple[str, ...]
"""The same in fewer and fewer words: the fullest, the usual, the shorter ones."""


@dataclass(frozen=True)
class BigView:
    """What three large lines say, and in ordinary letters the whole of it."""

    what: Wordings
    amount: Wordings = ()
    at_s: float | None = None
    """When its time runs out, or what is waited for comes; of what was missed, when it was."""
    caption: str = ""
    bound: WindowView | None = None
    """The window whose time it is."""
    missed: bool = False


def big_view(
    found: Agenda, act: Act | None, jobs: Sequence[JobState], units: Units, clock: Clock
) -> BigView:
    """Of an act, or, where there is none, of what is waited for. `jobs`: those that are live."""
    if act is None:
        return _of_nothing(found, jobs, clock)
    return of_act(next(j for j in jobs if j.job == act.job), act, units, clock)


def of_act(job: JobState, act: Act, units: Units, clock: Clock) -> BigView:
    """The next act from afar."""
    if act.kind == "answer" and act.bound is not None:
        return _missed(act.bound, act_sentence(job, act))
    bound = act.bound if act.bound is not None and act.bound.closes is not None else None
    at_s, parts = None, [amounts_of(act, units).replace("      ", ", ")]
    if bound is not None and bound.closes is not None:
        at_s = bound.closes.at
        parts.append(f"{clock(at_s)}")
    caption = " · ".join(p for p in (act_sentence(job, act).rstrip("."), *parts) if p)
    return BigView(_what(job, act), _amounts(act, units), at_s, caption, bound)


def _of_nothing(found: Agenda, jobs: Sequence[JobState], clock: Clock) -> BigView:
    if not jobs:
        return BigView(("NO JOB",), caption="No job running.")
    if found.later:
        act = found.later[0]
        job = next(j for j in jobs if j.job == act.job)
        before = said_before(act.waits_for, "opens", clock) if act.waits_for else ""
        caption = f"Next, from {clock(act.ready_at)}: {short_act(job, act)}{before}"
        return BigView(("WAIT",), _what(job, act), act.ready_at, caption)
    if found.windows and (edge := found.windows[0].next_edge) is not None:
        view = found.windows[0]
        return BigView(("WAIT",), (view.window.label,), edge[1], window_text(view, clock))
    return BigView(("NOTHING TO DO", "NOTHING"), caption="Nothing to do just now.")


def _missed(view: WindowView, caption: str) -> BigView:
    head, _, tail = view.window.label.rpartition(", ")
    names = tuple(w for w in (view.window.label, tail, head) if w)
    at_s = view.closes.at if view.closes else None
    return BigView(("MISSED",), names, at_s, caption, view, missed=True)


def _what(job: JobState, act: Act) -> Wordings:
    """ "POUR BOOKEND B LAYER 3", "POUR B LAYER 3", "POUR B L3", "POUR B 3"."""
    step = act.step
    if step is None:
        return (act.address,)
    if act.kind == "do" and step.block == "extra":
        own = short_act(job, act).split()
        return tuple(dict.fromkeys(" ".join(own[:n]) for n in (len(own), 4, 3, 2, 1)))
    doing = {"weigh": "weigh", "check": "check"}.get(act.kind, verb(step))
    number = number_of(step) or _thing(step)
    tail = number.rpartition(" ")[2]
    full = piece_label(job, step.piece) if step.piece else ""
    piece = f"{step.piece} {_mark(full)}" if step.piece else ""
    short = f"{number[:1]}{tail}" if tail.isdigit() else ""
    texts = (
        f"{doing} {full} {number}",
        f"{doing} {piece} {number}",
        f"{doing} {piece} {short}",
        f"{doing} {piece} {short[1:]}",
        doing,
    )
    return tuple(" ".join(t.split()) for t in texts)


def _mark(label: str) -> str:
    """ "(2)" of "bookend A (2)": what tells it from another job's bookend A."""
    last = label.rpartition(" ")[2]
    return last if last != label and last.startswith("(") and last.endswith(")") else ""


def _thing(step: Step) -> str:
    """What is weighed, where the weighing isn't one of several: "block"."""
    return step.weigh.what if step.weigh is not None and step.act == "weighed" else ""


def _amounts(act: Act, units: Units) -> Wordings:
    step = act.step
    if act.kind != "do" or step is None:
        text = amounts_of(act, units)
        return (text, text.partition(" ± ")[0]) if text else ()
    if not step.amounts:
        return ()
    texts = [f"{amount_text(a, units)} {a.what.partition(',')[0]}" for a in step.amounts]
    return ("  ".join(texts), texts[0], amount_text(step.amounts[0], units))
