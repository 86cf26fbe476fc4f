"""What the bench says, in words: both front doors say the same."""

from __future__ import annotations

from collections.abc import Callable

from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.windows.windows import Edge, WindowView
from benchmate.plan.address import WHOLE, parse
from benchmate.plan.plan import Amount, Check, Step
from benchmate.quantities import Units, show_duration, show_mass, show_volume

Clock = Callable[[float], str]
"""Turns a place on the time line into the wall time a person reads."""
CLOCKS_TITLE = "Clocks"
_NUMBERED = ("layer", "coat")
SAME_S = 60.0
"""Two times nearer each other than this read the same."""


def piece_label(job: JobState, piece: str) -> str:
    """What a person calls a piece: "bookend B"."""
    if not piece or piece == WHOLE:
        return job.title
    for plan in job.plan.pieces if job.plan else ():
        if plan.name == piece:
            return plan.label or piece
    return piece


def number_of(step: Step) -> str:
    """ "layer 3" or "coat 2" where the step is one of several; else empty."""
    at = parse(step.address)
    return f"{step.scope} {at.n}" if at is not None and step.scope in _NUMBERED else ""


def thing_of(job: JobState, step: Step) -> str:
    """What a step is done to: "bookend B, layer 3", "cup 2", "lamp A, lining"."""
    if step.scope == "mix":
        heads = (w.label.rpartition(", ")[0] for w in step.windows)
        named = next((h.replace("mix", "cup", 1) for h in heads if h), "cup")
        return "the cup" if named == "cup" else named
    where = "" if step.part == WHOLE else step.where
    number = number_of(step)
    if number and step.scope == "layer" and _has_other_fills(job, step):
        number = f"{where}, {number}"
    parts = (piece_label(job, step.piece), number or where)
    return ", ".join(p for p in parts if p)


_NOT_THE_PIECE = frozenset(
    {"tried", "pulled", "cut", "set", "loosened", "spread", "closed", "driven", "scuffed"}
)
"""Acts that with the piece alone sound like something done to all of it: "cut lamp A"."""


def done_text(job: JobState, step: Step) -> str:
    """What was done: "poured bookend B, layer 3"; "dry run, bookend A" where verb and piece alone
    would mislead."""
    if step.act.partition(" ")[0] in _NOT_THE_PIECE and step.short and step.piece:
        return f"{step.short}, {piece_label(job, step.piece)}"
    return f"{step.act} {thing_of(job, step)}"


def _has_other_fills(job: JobState, step: Step) -> bool:
    """Whether a layer's number alone doesn't tell which void it goes into."""
    fills = job.plan.fills if job.plan else ()
    return sum(f.piece == step.piece for f in fills) > 1


def holds_clocks(job: JobState) -> bool:
    """Whether this is the job of the clocks that were started without one."""
    return job.plan is None and job.title == CLOCKS_TITLE


def short_address(address: str) -> str:
    """An address without its job, for lists of one job: "B/block/pour#3"."""
    return address.partition("/")[2] or address


def place_label(job: JobState, address: str) -> str:
    """Where an act belongs, in words: "bookend B, block"."""
    at = parse(address)
    if at is None:
        return address
    return piece_label(job, at.piece)


def weighed_what(job: JobState, address: str, what: str = "", piece: str = "") -> str:
    """What stood on the scale: "bookend B, layer 2"; for a free weighing what was said of it."""
    step = job.steps.get(address)
    if step is None or not step.piece:
        return short_address(address) if address else (what or piece)
    named = step.weigh.what if step.weigh and step.weigh.what else step.act
    return f"{piece_label(job, step.piece)}, {named}"


def in_job(job: JobState, question: str) -> str:
    """A question, with the job that its answer is recorded into."""
    return f"{question} ({job.title})"


def act_sentence(job: JobState, act: Act) -> str:
    """The next act in a sentence: "Bookend B: shot for layer 3, then resin to the line"."""
    if act.kind == "answer" and act.bound is not None:
        what = act.bound.window
        if act.bound.is_ruined:
            return f"Too cold: {what.label}. Don't trust it. What happened?"
        lost = what.closes_text or "its time is over"
        return f"Missed: {what.label}. {_capital(lost)}. What happened?"
    if act.step is None:
        return act.address
    work = act.step.do
    if act.kind == "weigh" and act.step.act != "weighed":
        work = f"weigh what went in ({short_address(act.address)})"
        if act.step.weigh and act.step.weigh.what:
            on_it = act.step.weigh.what
            work = f"weigh {on_it}" if on_it[-1:].isdigit() else f"weigh the {on_it}"
    elif act.kind == "check" and act.check is not None:
        work = check_sentence(act.check)
    if not act.step.piece:
        return _capital(work)
    return f"{_capital(piece_label(job, act.step.piece))}: {_small(work)}"


def check_sentence(check: Check) -> str:
    """What to check, with its verb: "check the wall: at least 4 mm"; a question as it is asked."""
    name, colon, wanted = check.ask.partition(": ")
    if colon and name.casefold() == check.name.casefold():
        return f"check the {check.name}: {wanted}"
    return check.ask


def remembered(job: JobState, step: Step | None) -> tuple[str, ...]:
    """What is to be remembered at this step: an earlier job's wishes, and the file's notes."""
    if step is None or job.plan is None:
        return ()
    wished = job.plan.next_time.get(step.file_step, ())
    noted = job.plan.notes.get(step.file_step, ())
    return (*(f"Next time, you said: {t}" for t in wished), *(f"Note: {t}" for t in noted))


def amounts_text(step: Step, units: Units = "metric", gap: str = "      ") -> str:
    """The step's amounts in a row: "117 g shot      11 g resin"."""
    return gap.join(f"{amount_text(a, units)} {a.what}" for a in step.amounts)


def amount_text(amount: Amount, units: Units = "metric") -> str:
    """One amount with its unit."""
    if amount.unit == "g":
        return show_mass(amount.amount, units)
    if amount.unit == "ml":
        return show_volume(amount.amount, units)
    return f"{plain(amount.amount)} {amount.unit}".strip()


def bound_text(act: Act, clock: Clock) -> str:
    """What limits the act: "mix 2 stays liquid until 16:51, then it is lost"."""
    if act.gives_way is not None:
        return f"{gives_way_text(act.gives_way, clock)}; until {clock(act.ready_at)}"
    if act.waits_for is not None:
        name = "full" if act.step and act.waits_for.address in act.step.waits_full else "opens"
        edge = act.awaited
        when = clock(act.ready_at) if edge is None or edge.at <= act.ready_at else clock(edge.at)
        before = said_before(act.waits_for, name, clock)
        if act.likely_since is not None:
            likely = f"likely ready since {clock(act.likely_since)}, for sure from {when}"
            return f"{likely}; read the air to settle it: {act.waits_for.window.label}"
        likely = ""
        if edge is not None and edge.is_unsettled and not before:
            likely = f" (likely {clock(edge.middle)}; reading the air settles it)"
        return f"wait until {when}{likely}: {act.waits_for.window.label}{before}"
    if act.bound is None or act.bound.closes is None:
        return ""
    lost = act.bound.window.closes_text or act.bound.window.missed_text or "too late"
    return f"{lost} {closes_when(act.bound.closes, clock)} ({act.bound.window.label})"


def gives_way_text(first: Act, clock: Clock) -> str:
    """What needs the hands first: "first bookend A, wipe off: the excess turns sticky at 16:51"."""
    bound = first.bound
    if bound is None or bound.closes is None:
        return "another clock needs your hands first"
    lost = bound.window.closes_text or "too late"
    return f"first {bound.window.label}: {lost} {closes_when(bound.closes, clock)}"


def window_text(view: WindowView, clock: Clock) -> str:
    """A live window in one line: "mix 2, pot life: 8 min left, closes 16:51"."""
    label, edge = view.window.label, view.next_edge
    if view.spoiled_at is not None and view.is_live:
        return f"{label}: too cold since {clock(view.spoiled_at)}; don't trust it"
    if view.state == "missed" and view.closes is not None:
        return f"{label}: missed by {show_duration(view.now - view.closes.at)}"
    if edge is None:
        return f"{label}: {view.window.full_text or view.window.opens_text or 'done'}"
    name, at = edge
    left = show_duration(at - view.now, rounding="up")
    when = (closes_when if name == "closes" else opens_when)(view.edges[name], clock)
    return f"{label}: {edge_word(view, name)} in {left}, {when}{said_before(view, name, clock)}"


def said_before(view: WindowView, name: str, clock: Clock) -> str:
    """What was said of an edge that a newer reading has put off again; empty for any other."""
    back = view.set_back.get(name)
    return "" if back is None else f"; earlier estimate {clock(back.said_at)}"


def opens_when(edge: Edge, clock: Clock) -> str:
    """When an edge opens, the label's time beside it where it differs: "safe from 18:40".

    "safe from": the end of its range, since what opens must be nearly sure before it is said.
    """
    when = clock(edge.at)
    if edge.kind != "label":
        when = f"about {when}" if edge.at < edge.latest else f"safe from {when}"
    return _beside_label(edge, when, clock)


def closes_when(edge: Edge, clock: Clock) -> str:
    """When an edge closes: "about 18:40 (at label temperature 17:23)", "at 18:40"."""
    when = clock(edge.at)
    if edge.kind == "label":
        when = f"at {when}" if when[:1].isdigit() else when
    else:
        when = f"about {when}" if edge.at < edge.latest else f"by {when}"
    return _beside_label(edge, when, clock)


def _beside_label(edge: Edge, when: str, clock: Clock) -> str:
    if abs(edge.at - edge.label_at) < SAME_S:
        return when
    by = "rule of thumb" if edge.rough else "label" if edge.own else "at label temperature"
    own = f"as {edge.own}× seen here; " if edge.own else ""
    return f"{when} ({own}{by} {clock(edge.label_at)})"


def edge_word(view: WindowView, name: str) -> str:
    """What an edge means for this window, in words."""
    window = view.window
    texts = {"opens": window.opens_text, "full": window.full_text, "closes": window.closes_text}
    plain = {"opens": "opens", "full": "full strength", "closes": "closes"}
    return texts[name] or plain[name]


def plain(value: float) -> str:
    """A number without needless zeros: "3", "2.5"."""
    return f"{value:.4g}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _small(text: str) -> str:
    """First letter small, unless the word is an abbreviation or a name like "A4"."""
    return text if text[1:2].isupper() or text[1:2].isdigit() else text[:1].lower() + text[1:]
