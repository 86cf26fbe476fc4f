"""Far: three lines that fill the screen, to be read from across the shop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from benchmate.bench.short import number_of, short_act, verb
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act, Agenda
from benchmate.job.windows.windows import WindowView
from benchmate.job.words.phrases import (
    act_sentence,
    amount_text,
    piece_label,
    said_before,
    window_text,
)
from benchmate.plan.plan import Step
from benchmate.quantities import Units, show_countdown, show_duration
from benchmate.tui.present.bench.nextact import Clock, amounts_of
from benchmate.tui.present.bench.timeline import role_of
from benchmate.tui.present.font import big, cells_of, rows_of
from benchmate.tui.present.lines import Line, Role, Span, crop, line, safe

MARGIN = 2
Wordings = tuple[str, ...]
"""The same in fewer and fewer words: the fullest, the usual, the shorter ones."""


@dataclass(frozen=True)
class Far:
    """What the three lines say, and in ordinary letters the whole of it."""

    what: Wordings
    amount: Wordings = ()
    time: str = ""
    caption: str = ""
    role: Role = "strong"
    time_role: Role = "plain"
    whole: bool = False
    """The whole screen in the role: a window was missed."""


def far_of_act(job: JobState, act: Act, units: Units, clock: Clock) -> Far:
    """The next act from afar."""
    if act.kind == "answer" and act.bound is not None:
        return _missed(act.bound, act_sentence(job, act))
    bound = act.bound if act.bound is not None and act.bound.closes is not None else None
    time, parts = "", [amounts_of(act, units).replace("      ", ", ")]
    if bound is not None and bound.closes is not None:
        time = far_time(bound.closes.at - bound.now)
        parts.append(f"{clock(bound.closes.at)}")
    caption = " · ".join(p for p in (act_sentence(job, act).rstrip("."), *parts) if p)
    return Far(
        _what(job, act),
        _amounts(act, units),
        time,
        caption,
        time_role=role_of(bound) if bound else "plain",
    )


def far_of_nothing(found: Agenda, jobs: Sequence[JobState], clock: Clock) -> Far:
    """What is waited for."""
    if not jobs:
        return Far(("NO JOB",), caption="No job running.")
    if found.later:
        act = found.later[0]
        job = next(j for j in jobs if j.job == act.job)
        view = act.waits_for or (act.gives_way.bound if act.gives_way else None)
        now = view.now if view else act.ready_at
        before = said_before(act.waits_for, "opens", clock) if act.waits_for else ""
        return Far(
            ("WAIT",),
            _what(job, act),
            far_time(act.ready_at - now),
            f"Next, from {clock(act.ready_at)}: {short_act(job, act)}{before}",
        )
    if found.windows and (edge := found.windows[0].next_edge) is not None:
        view = found.windows[0]
        return Far(
            ("WAIT",), (view.window.label,), far_time(edge[1] - view.now), window_text(view, clock)
        )
    return Far(("NOTHING TO DO", "NOTHING"), caption="Nothing to do just now.")


def _missed(view: WindowView, caption: str) -> Far:
    ago = far_time(view.now - view.closes.at) if view.closes else ""
    head, _, tail = view.window.label.rpartition(", ")
    return Far(
        ("MISSED",),
        tuple(w for w in (view.window.label, tail, head) if w),
        f"{ago} AGO",
        caption,
        role="alarm",
        time_role="alarm",
        whole=True,
    )


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


def far_time(seconds: float) -> str:
    """ "8:41" to the second below an hour, "1:08 h" below a day, then "1 d 20 h"."""
    if seconds < 3600:
        return show_countdown(seconds)
    if seconds < 86400:
        minutes = -int(-seconds // 60)
        return f"{minutes // 60}:{minutes % 60:02d} h"
    return show_duration(seconds, rounding="up")


def far_lines(view: Far, cells: int, rows: int) -> list[Line]:
    """The three lines as large as they go, in the middle, with the caption below."""
    texts = [_chosen(w, cells - 2 * MARGIN) for w in (view.what, view.amount, (view.time,))]
    roles: list[Role] = [view.role, view.role, view.time_role]
    shown = [(t, r) for t, r in zip(texts, roles, strict=True) if t]
    if rows < 4 * len(shown) + 1 or any(cells_of(t) > cells - MARGIN for t, _ in shown):
        made = _plain(view, cells)
    else:
        made = _big(shown, cells, rows - 1)
        made.append(crop(line(" ", Span(view.caption, view.role if view.whole else "dim")), cells))
    made = [*made, *[()] * (rows - len(made))][:rows]
    return [_filled(m, cells) for m in made] if view.whole else made


def _chosen(wordings: Wordings, cells: int) -> str:
    """The usual wording if it fits, a shorter one if not; the full one where it costs no size."""
    made = [safe(w) for w in wordings if w]
    if not made:
        return ""
    usual = next((w for w in made[1:] if cells_of(w) <= cells), made[-1])
    if cells_of(made[0]) <= cells and cells // cells_of(made[0]) >= cells // cells_of(usual):
        return made[0]
    return usual


def _big(shown: list[tuple[str, Role]], cells: int, rows: int) -> list[Line]:
    scales = _scales([cells_of(t) for t, _ in shown], cells - MARGIN, rows)
    blocks = [
        [line(" " * MARGIN, Span(row, role)) for row in big(text, scale)]
        for (text, role), scale in zip(shown, scales, strict=True)
    ]
    spare = max(0, rows - sum(map(len, blocks)))
    gap, out = spare // (len(blocks) + 1), []
    for block in blocks:
        out += [*[()] * gap, *block]
    return [*out, *[()] * (rows - len(out))]


def _scales(widths: Sequence[int], cells: int, rows: int) -> list[int]:
    """The last line (the time) grows first, then the others, while all fit with a row between."""
    scales = [1] * len(widths)
    grown = True
    while grown:
        grown = False
        for i in reversed(range(len(widths))):
            wanted = [s + (n == i) for n, s in enumerate(scales)]
            high = sum(rows_of(s) for s in wanted) + len(wanted) - 1
            if widths[i] * wanted[i] <= cells and high <= rows:
                scales, grown = wanted, True
    return scales


def _plain(view: Far, cells: int) -> list[Line]:
    """On a screen too small for large letters: the same in ordinary ones."""
    texts = [view.what[0], view.amount[0] if view.amount else "", view.time]
    return [crop(line(" ", Span(safe(t).upper(), "strong")), cells) for t in texts if t]


def _filled(spans: Line, cells: int) -> Line:
    """A whole row in the alarm's colours."""
    text = "".join(s.text for s in spans)
    return (Span(text.ljust(cells)[:cells], "alarm"),)
