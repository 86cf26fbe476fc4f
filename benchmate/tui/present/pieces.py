"""All pieces of all running jobs in a fixed order: the digit of each stays the same all day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from benchmate.job.agenda import Act, Agenda
from benchmate.job.phrases import piece_label
from benchmate.job.state import JobState
from benchmate.tui.present.lines import Line, Span, crop, fit, line, width
from benchmate.tui.present.words import short_act


class Piece(NamedTuple):
    """One piece of one job; `name` is empty for a job without pieces."""

    job: str
    name: str
    label: str


def pieces(jobs: Sequence[JobState]) -> list[Piece]:
    """Pieces that can still need hands, in the order of their jobs and plans."""
    out: list[Piece] = []
    for job in jobs:
        named = [p.name for p in job.plan.pieces if p.name not in job.spoiled] if job.plan else []
        out += [Piece(job.job, n, piece_label(job, n)) for n in named or [""]]
    labels = [p.label for p in out]
    return [_told_apart(p) if labels.count(p.label) > 1 else p for p in out]


def _told_apart(piece: Piece) -> Piece:
    """Two jobs of one procedure name their pieces alike: the job's number tells them apart."""
    return piece._replace(label=f"{piece.label} ({piece.job.rpartition('-')[2]})")


def act_of(found: Agenda, job: str, piece: str) -> Act | None:
    """The most urgent act of a piece; where it has none, one that serves the whole job. Of a job
    without pieces, the most urgent of all."""
    if not piece:
        return next((a for a in found.ready if a.job == job), None)
    return found.of_piece(job, piece) or found.of_piece(job, "")


def digits(found: Sequence[Piece], job: str, piece: str, cells: int) -> Line:
    """ "1 bookend A   2 bookend B": the piece in hand stands out."""
    out: list[Span] = [Span(" ")]
    for n, p in enumerate(found[:9], start=1):
        mine = p.job == job and p.name == piece
        more = line(Span(str(n), "key"), " ", Span(p.label, "strong" if mine else "dim"), "   ")
        if width(out) + width(more) > cells:
            break
        out += more
    return tuple(out)


def piece_list(
    every: Sequence[Piece], found: Agenda, jobs: Mapping[str, JobState], mine: tuple[str, str],
    cells: int, most: int,
) -> list[Line]:  # fmt: skip
    """The pieces on their digits, one a row, each with what it needs now."""
    wide = max(width(line(p.label)) for p in every) + 2
    out: list[Line] = []
    for n, p in enumerate(every[:9], start=1):
        act = act_of(found, p.job, p.name)
        if (p.job, p.name) == mine or act is None:
            continue
        need = Span(short_act(jobs[act.job], act), "caution" if act.spoils else "plain")
        row = line("  ", Span(str(n), "key"), "  ", Span(fit(p.label, wide), "dim"), need)
        out.append(crop(row, cells))
    return out[:most]
