"""All pieces of all running jobs in a fixed order: the digit of each stays the same all day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from benchmate.bench.short import short_act
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act, Agenda
from benchmate.job.words.distinct_names import shown_names
from benchmate.tui.present.lines import Line, Span, crop, fit, line, width

DIGITS = 9
"""So many pieces have a digit of their own."""


class Piece(NamedTuple):
    """One piece of one job; `name` is empty for a job without pieces."""

    job: str
    name: str
    label: str


def pieces(jobs: Sequence[JobState]) -> list[Piece]:
    """Pieces that can still need hands, in the order of their jobs and plans."""
    return [Piece(*at, label) for at, label in shown_names(jobs).items()]


def act_of(found: Agenda, job: str, piece: str) -> Act | None:
    """The most urgent act of a piece; where it has none, one that serves the whole job. Of a job
    without pieces, the most urgent of all."""
    if not piece:
        return next((a for a in found.ready if a.job == job), None)
    return found.of_piece(job, piece) or found.of_piece(job, "")


def digits(found: Sequence[Piece], job: str, piece: str, cells: int) -> Line:
    """ "1 bookend A   2 bookend B": the piece in hand stands out.

    Where not all fit, those about the piece in hand, with "…" for what is left out and the key
    that goes on to it.
    """
    made = [_on_digit(n, p, mine=(p.job, p.name) == (job, piece)) for n, p in enumerate(found, 1)]
    at = next((n for n, p in enumerate(found) if (p.job, p.name) == (job, piece)), 0)
    if sum(map(width, made)) + 1 - GAP <= cells:
        return (Span(" "), *(span for one in made for span in one))
    more = line(Span("tab", "key"), " next")
    room = cells - width(more) - 2 * len(CUT) - 2
    first, last = at, at + 1
    while True:
        if last < len(made) and _wide(made[first : last + 1]) <= room:
            last += 1
        elif first > 0 and _wide(made[first - 1 : last]) <= room:
            first -= 1
        else:
            break
    shown = [span for one in made[first:last] for span in one]
    before, after = CUT if first else "", CUT if last < len(made) else ""
    return crop(line(" ", Span(before, "dim"), *shown, Span(after, "dim"), *more), cells)


GAP = 3
CUT = "…  "


def _wide(made: Sequence[Line]) -> int:
    return sum(map(width, made))


def _on_digit(n: int, piece: Piece, *, mine: bool) -> Line:
    """One piece behind its digit; there are only nine."""
    key = line(Span(str(n), "key"), " ") if n <= DIGITS else ()
    return (*key, *line(Span(piece.label, "strong" if mine else "dim"), " " * GAP))


def piece_list(
    every: Sequence[Piece],
    found: Agenda,
    jobs: Mapping[str, JobState],
    mine: tuple[str, str],
    cells: int,
    most: int,
) -> list[Line]:
    """The pieces on their digits, one a row, each with what it needs now."""
    wide = max(width(line(p.label)) for p in every) + 2
    out: list[Line] = []
    idle: list[Line] = []
    for n, p in enumerate(every, start=1):
        act = act_of(found, p.job, p.name)
        if (p.job, p.name) == mine:
            continue
        need = Span("nothing to do", "dim")
        if act is not None:
            need = Span(short_act(jobs[act.job], act), "caution" if act.spoils else "plain")
        digit = Span(str(n), "key") if n <= DIGITS else Span(" ")
        row = line("  ", digit, "  ", Span(fit(p.label, wide), "dim"), need)
        (out if act is not None else idle).append(crop(row, cells))
    return [*out, *idle][:most]
