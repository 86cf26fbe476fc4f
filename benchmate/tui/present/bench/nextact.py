"""The next act: a sentence, its amounts, its window, its caution."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.cells import cell_len

from benchmate.bench.short import amounts_of, short_act
from benchmate.job.deciding.to_hand import missing_for, need_text
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act, Agenda
from benchmate.job.words.phrases import (
    act_sentence,
    bound_text,
    closes_when,
    holds_clocks,
    remembered,
    window_text,
)
from benchmate.quantities import Units, show_countdown, show_duration
from benchmate.tui.present.bench.timeline import BY_THE_SECOND_S, about, role_of
from benchmate.tui.present.lines import Line, Role, Span, crop, line, wrap

Clock = Callable[[float], str]
INDENT = 6
NARROW = 40
"""Below this the deadline is said in the fewest words."""
MORE = 3
"""Most cautions of air and heat that stand before the step's own; `!` shows all of them."""


def next_act(
    job: JobState,
    act: Act,
    units: Units,
    clock: Clock,
    cells: int,
    most: int,
    *,
    full: bool = False,
    more: Sequence[str] = (),
) -> list[Line]:
    """The act's lines: what is needed most comes first, blank lines only where there is room.

    `full` gives every caution its whole text; `more` are cautions that come before the step's own.
    The deadline always keeps its row, and gives up its second before the amounts go.
    """
    role: Role = "alarm" if act.kind == "answer" else "strong"
    limit = deadline(act, clock, cells)
    # A third row where it is needed: what to do is never cut while cautions stand in full.
    sentence_rows = max(1, min(3 if cells >= NARROW else 4, most - bool(limit)))
    said = act_sentence(job, act)
    sentence = [line(" ", Span(r, role)) for r in wrap(said, cells - 2, sentence_rows)]
    amounts = [
        _indented(t, "strong", cells) for t in (amounts_of(act, units),) if t and t not in said
    ]
    if len(sentence) + len(amounts) + len(limit) > most:
        limit = deadline(act, clock, cells, rows=1)
    before = [
        _indented(r, "caution", cells)
        for text in (*lay_out_first(job, act), *remembered(job, act.step))
        for r in wrap(text, cells - INDENT - 1, 2)
    ]
    room = most - sum(map(len, (sentence, amounts, limit, before)))
    warned = [_indented(r, "caution", cells) for r in fitting(job, act, cells, full, more, room)]
    return spaced([sentence, amounts, limit, before, warned], most, must=2)


def fitting(
    job: JobState, act: Act, cells: int, full: bool, more: Sequence[str], room: int
) -> list[str]:
    """As much of the cautions as there are rows for: all of it, else what they begin with."""
    wide = cells - INDENT - 1
    whole = cautions(job, act, wide, full=True, more=more)
    return whole if full or len(whole) <= room else cautions(job, act, wide, more=more)


def lay_out_first(job: JobState, act: Act) -> list[str]:
    """What nobody said is laid out, where the act is the first that can't be undone."""
    missing = missing_for(job, act.step) if act.kind == "do" and act.step is not None else ()
    return ["have ready: " + "; ".join(need_text(need) for need in missing)] if missing else []


def spaced(blocks: Sequence[list[Line]], most: int, *, must: int) -> list[Line]:
    """The blocks, with a blank line between them as far as there is room for one.

    Where there is too little room, rows go from the last block on, but the block before it (the
    deadline: number `must`) stays.
    """
    kept = [list(b) for b in blocks]
    while sum(map(len, kept)) > most:
        victim = next((b for i, b in reversed(list(enumerate(kept))) if b and i != must), None)
        if victim is None:
            break
        victim.pop()
    gaps = most - sum(map(len, kept))
    out: list[Line] = []
    for block in (b for b in kept if b):
        if out and gaps > 0:
            out.append(())
            gaps -= 1
        out += block
    return out[:most]


def _indented(text: str, role: Role, cells: int) -> Line:
    indent = INDENT if cells >= NARROW else 1
    return line(" " * indent, Span(text, role))


def deadline(act: Act, clock: Clock, cells: int, rows: int = 2) -> list[Line]:
    """How long is left, and what is lost then; one short row on a narrow screen."""
    if act.kind == "answer" or act.bound is None or act.bound.closes is None:
        text = bound_text(act, clock) if act.waits_for is not None else ""
        return [_indented(r, "dim", cells) for r in wrap(text, cells - INDENT - 1, 1)]
    left = time_left(act.bound.closes.at - act.bound.now)
    role = role_of(act.bound)
    if cells < NARROW:
        return [line(" ", Span(f"{left}, {clock(act.bound.closes.at)}", role))]
    window = act.bound.window
    lost = window.closes_text or window.missed_text or "too late"
    said = f"{left}: {lost} {closes_when(act.bound.closes, clock)}"
    short = f"{left}: {lost} {about(act.bound.closes, clock)}"
    room = cells - INDENT - 1
    texts = (f"{said} ({window.label})", f"{short} ({window.label})", short)
    text = next((t for t in texts if cell_len(t) <= room), texts[0] if rows > 1 else short)
    return [_indented(r, role, cells) for r in wrap(text, room, rows)]


def time_left(seconds: float) -> str:
    """ "8:41 left" in the last minutes, "49 min left" before."""
    if seconds < BY_THE_SECOND_S:
        return f"{show_countdown(seconds)} left"
    return f"{show_duration(seconds, rounding='up')} left"


def cautions(
    job: JobState, act: Act, cells: int, *, full: bool = False, more: Sequence[str] = ()
) -> list[str]:
    """`more`, then the step's cautions: each text's first sentence, or all of it.

    Where there is little room only the gravest of `more` is shown: the step's own keep a row.
    """
    texts = job.plan.cautions if job.plan else {}
    names = act.step.cautions if act.step and act.kind == "do" else ()
    out: list[str] = []
    for text in (*more[: MORE if full else 1], *(texts.get(name, name) for name in names)):
        if full:
            out += wrap(f"! {text}", cells, 4)
        else:
            out += wrap(f"! {text.split('. ')[0].rstrip('.')}", cells, 1)
    return out if full else out[:2]


def idle(
    job: JobState, label: str, waits: str, most_urgent: str, cells: int, most: int
) -> list[Line]:
    """What stands where a piece was picked that needs no hands now: its job is in hand."""
    keys = FREE_KEYS if job.plan is None else IDLE_KEYS
    rows = wrap(f"{label[:1].upper()}{label[1:]}: {waits}", cells - 2, 2)
    out = [line(" ", Span(r, "strong")) for r in rows]
    for some in (keys[: len(keys) // 2 + 1], keys[len(keys) // 2 + 1 :]):
        spans = [s for key, what in some for s in (Span(key, "key"), f"  {what}     ")]
        out.append(crop(line(" " * INDENT, *spans), cells))
    if most_urgent:
        text = f"0  most urgent: {most_urgent}"
        out.append(_indented("".join(wrap(text, cells - INDENT - 1, 1)), "dim", cells))
    return out[:most]


FREE_KEYS = (
    ("w", "weigh"),
    ("n", "note"),
    ("m", "what you did"),
    ("o", "finish, pause, stop"),
)
IDLE_KEYS = (
    ("n", "note"),
    ("o", "finish, pause, scrap, stop"),
    ("j", "job card"),
)


def nothing(
    agenda: Agenda, jobs: Sequence[JobState], clock: Clock, cells: int, most: int
) -> list[Line]:
    """What stands where the next act would, when nothing needs hands."""
    if not jobs:
        return _no_job()[:most]
    out = [line(" ", Span("Nothing to do just now.", "strong"))]
    if agenda.later:
        act = agenda.later[0]
        job = next(j for j in jobs if j.job == act.job)
        since = act.likely_since
        text = f"Next, from {clock(act.ready_at)}: {short_act(job, act)}"
        if since is not None:
            text = f"Likely ready since {clock(since)} (space): {short_act(job, act)}"
        out.append(_indented("".join(wrap(text, cells - INDENT - 1, 1)), "plain", cells))
        if act.gives_way is not None:
            why = bound_text(act, clock)
            out += [_indented(r, "dim", cells) for r in wrap(why, cells - INDENT - 1, 2)]
    elif agenda.windows:
        text = window_text(agenda.windows[0], clock)
        out.append(_indented("".join(wrap(text, cells - INDENT - 1, 1)), "plain", cells))
    for job in jobs:
        if job.status == "paused":
            out.append(_indented(f"{job.title} is paused; o resumes it.", "dim", cells))
        elif job.plan is None and not holds_clocks(job):
            text = f"{job.title} has no plan: w weigh, n note, m what you did, o finish."
            out += [_indented(r, "dim", cells) for r in wrap(text, cells - INDENT - 1, 2)]
        elif job.steps and all(job.is_settled(s) for s in job.steps):
            out.append(_indented(f"All of {job.title} is done: o finishes it.", "good", cells))
    return out[:most]


def _no_job() -> list[Line]:
    return [
        line(" ", Span("No job running.", "strong")),
        (),
        line(" " * INDENT, Span("s", "key"), "  start a job from a procedure, or without one"),
        line(" " * INDENT, Span("m", "key"), "  start a clock for a glue, resin or finish"),
        line(" " * INDENT, Span("?", "key"), "  keys"),
    ]
