"""The one place where two jobs' pieces and cups are told apart by their names.

A job is frozen when it starts, so that what is written on a piece in pencil stays its name: the
later job's names get its number, "bookend A (2)", and the running jobs' stay as they are. Jobs of
an older benchmate were started without; theirs are told apart when they are shown. These names are
for people: what a thing is, its address says.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence

import msgspec

from benchmate.job.state.state import JobState
from benchmate.job.words.phrases import piece_label
from benchmate.plan.plan import PiecePlan, Plan, Step, Window


def told_apart(plan: Plan, running: Iterable[JobState]) -> Plan:
    """The plan, with other names where a running job has pieces, cups or a title of the same."""
    jobs = [job for job in running if job.job != plan.job]
    taken = {name for job in jobs for name in _names_of(job)}
    titles = {job.title for job in jobs}
    mine = [p.label or p.name for p in plan.pieces]
    if plan.title in titles or taken & set(mine):
        mark = _mark(plan, taken | titles)
        pieces = tuple(_renamed(p, mark) for p in plan.pieces)
        heads = {label: f"{label} {mark}" for label in mine}
        heads |= {
            h: _marked(plan, h, mark, taken) for h in _heads(plan) if not h.startswith(tuple(mine))
        }
        title = f"{plan.title} {mark}" if plan.title in titles else plan.title
        return _with_heads(msgspec.structs.replace(plan, pieces=pieces, title=title), heads)
    clash = taken & _heads(plan)
    noun = _noun(plan)
    heads = {head: f"{noun} {head}" for head in clash if noun}
    return _with_heads(plan, heads) if heads else plan


def shown_names(jobs: Sequence[JobState]) -> dict[tuple[str, str], str]:
    """What each piece that can still need hands is called, by job and piece, in the jobs' order.
    A job without pieces stands for itself, with an empty piece."""
    named = {
        (job.job, piece): piece_label(job, piece)
        for job in jobs
        for piece in _pieces_left(job) or [""]
    }
    shown = Counter(named.values())
    return {
        at: f"{label} ({at[0].rpartition('-')[2]})" if shown[label] > 1 else label
        for at, label in named.items()
    }


def _pieces_left(job: JobState) -> list[str]:
    pieces = job.plan.pieces if job.plan else ()
    return [p.name for p in pieces if p.name not in job.spoiled]


def title_apart(title: str, running: Iterable[JobState]) -> str:
    """A job's title, with a number behind it where a running job has the same."""
    titles, made, n = {job.title for job in running}, title, 1
    while made in titles:
        n += 1
        made = f"{title} ({n})"
    return made


def _names_of(job: JobState) -> Iterable[str]:
    """What a person may call a thing of this job: its pieces, and what its windows are of."""
    for piece in job.plan.pieces if job.plan else ():
        yield piece.label or piece.name
    for window in job.windows.values():
        yield _head(window)


def _heads(plan: Plan) -> set[str]:
    return {_head(w) for s in plan.steps for w in s.windows}


def _head(window: Window) -> str:
    """What a window is of: "mix 2" of "mix 2, pot life"."""
    return window.label.rpartition(", ")[0] or window.label


def _mark(plan: Plan, taken: set[str]) -> str:
    """ "(2)": the job's own number, or the next one that nothing has yet."""
    number = plan.job.rpartition("-")[2]
    n = int(number) if number.isdigit() else 2
    names = [plan.title, *(p.label or p.name for p in plan.pieces)]
    while any(f"{name} ({n})" in taken for name in names):
        n += 1
    return f"({n})"


def _marked(plan: Plan, head: str, mark: str, taken: set[str]) -> str:
    """ "mix 1 (2)"; with the piece's noun before it where another procedure's second job has it."""
    marked = f"{head} {mark}"
    return f"{_noun(plan)} {marked}" if marked in taken else marked


def _noun(plan: Plan) -> str:
    """What the pieces are called without their letter: "lamp base"."""
    nouns = (p.label.removesuffix(p.name).strip() for p in plan.pieces)
    return next((n for n in nouns if n), plan.title)


def _renamed(piece: PiecePlan, mark: str) -> PiecePlan:
    return msgspec.structs.replace(piece, label=f"{piece.label or piece.name} {mark}")


def _with_heads(plan: Plan, heads: dict[str, str]) -> Plan:
    steps = tuple(_step(s, heads) for s in plan.steps)
    return msgspec.structs.replace(plan, steps=steps)


def _step(step: Step, heads: dict[str, str]) -> Step:
    if not step.windows:
        return step
    windows = tuple(msgspec.structs.replace(w, label=_named(w.label, heads)) for w in step.windows)
    return msgspec.structs.replace(step, windows=windows)


def _named(label: str, heads: dict[str, str]) -> str:
    """The label with its longest known beginning renamed: "bookend A (2) layer 3, tacky"."""
    begins = sorted(heads, key=len, reverse=True)
    found = next((h for h in begins if label == h or label.startswith((f"{h},", f"{h} "))), None)
    return label if found is None else heads[found] + label[len(found) :]


def own_name(label: str) -> str:
    """A piece's name without the number that told it apart: one row for it in every job."""
    return re.sub(r" \(\d+\)$", "", label)
