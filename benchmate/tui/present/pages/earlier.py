"""Earlier jobs of a procedure side by side, and where their pieces landed, in plain characters."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from benchmate.quantities import Units, show_mass
from benchmate.tui.present.lines import Line, Role, Span, fit, line, wrap
from benchmate.tui.present.listing import Item, blank, heading

if TYPE_CHECKING:
    from benchmate.learning.side_by_side import JobsTable, JobSummary

NAME_CELLS, NAME_WIDE = 22, 32
"""Cells for what a row tells, at 80 columns and where there is room."""
WIDE = 90
MOST_ROWS = 4
"""Lines that one cell may take: how a job turned out is a sentence."""
LEAST_AXIS = 16


def table_items(table: JobsTable, at: int, cells: int) -> list[Item]:
    """The table as entries of a list, one a row; the column of job `at` stands out."""
    if not table.columns:
        return []
    name_cells = NAME_WIDE if cells >= WIDE else NAME_CELLS
    each = max(6, (cells - name_cells) // len(table.columns))
    stem = shared_stem(table.columns)
    heads = [name.removeprefix(stem) for name in table.columns]
    heads[at] = f"[{heads[at]}]"
    out = [Item(tuple(_row_lines("job", heads, name_cells, each, at, head=True)))]
    timed = False
    for row in table.rows:
        if row.of == "hands" and not timed:
            timed = True
            out += [blank(), heading("hands-on time of each step")]
        rows = tuple(_row_lines(row.name, row.cells, name_cells, each, at))
        out.append(Item(rows, ("row", row.name, row.of)))
    return out


def shared_stem(names: Sequence[str]) -> str:
    """What the jobs' names have in common up to a dash, so that narrow columns show the rest."""
    heads = {name.rpartition("-")[0] for name in names}
    return f"{heads.pop()}-" if len(heads) == 1 and "" not in heads else ""


def _row_lines(
    name: str, texts: Sequence[str], name_cells: int, each: int, at: int, *, head: bool = False
) -> Iterator[Line]:
    """A row over as many lines as its fullest cell takes."""
    split = any(len(text) >= each for text in texts)
    parts = [_parts(text, each, split=split) for text in texts]
    names = wrap(name, name_cells - 1, MOST_ROWS)
    for n in range(max(len(names), *(len(p) for p in parts))):
        spans = [Span(fit(names[n] if n < len(names) else "", name_cells), "dim")]
        for i, part in enumerate(parts):
            role: Role = "strong" if i == at else "dim" if head else "plain"
            spans.append(Span(fit(part[n] if n < len(part) else "", each), role))
        yield line(*spans)


def _parts(text: str, each: int, *, split: bool) -> list[str]:
    """A cell's lines; a weight's departure from its target goes below it rather than be cut."""
    weight, bracket, off = text.partition(" (")
    if split and bracket and off.endswith(("g)", "oz)")):
        return [weight, off.removesuffix(")")]
    return wrap(text, each - 1, MOST_ROWS) or [""]


def landing_lines(jobs: Sequence[JobSummary], units: Units, cells: int, rows: int) -> list[Line]:
    """Each job's finished pieces against their target, a line a job, newest last.

    A piece is the last letter of its name; the axis reaches from light to heavy, and where one
    tolerance holds for all, its limits are marked. Empty where no finished weight has a target.
    """
    offs = [(job, found) for job in jobs if (found := _offs(job))]
    name_cells = min(12, max((len(_number(job)) for job, _ in offs), default=0) + 2)
    axis = cells - name_cells - 2
    if not offs or axis < LEAST_AXIS or rows < 4:
        return []
    offs = offs[-(rows - 2) :]
    limit = _tolerance(jobs)
    reach = max(limit or 0.0, *(abs(off) for _, found in offs for _, off in found), 1.0) * 1.1
    names = sorted({name for _, found in offs for name, _ in found})
    key = ", ".join(names) + ("; * where they meet" if len(names) > 1 else "")
    ends = [show_mass(off, units, decimals=0, sign=True) for off in (-reach, reach)]
    middle = "on target".center(max(0, axis - len(ends[0]) - len(ends[1])))
    out = [
        line(Span(" finished weight less its target", "strong"), Span(f"  {key}", "dim")),
        line(" " * name_cells, Span(f"{ends[0]}{middle}{ends[1]}", "dim")),
    ]
    for job, found in offs:
        track = _track(found, limit, reach, axis)
        out.append(line(Span(f" {_number(job):<{name_cells - 1}}", "dim"), *track))
    return out


def _offs(job: JobSummary) -> list[tuple[str, float]]:
    return [
        (p.name[-1:].upper(), p.final_g - p.target_g)
        for p in job.pieces
        if p.final_g is not None and p.target_g is not None
    ]


def _tolerance(jobs: Sequence[JobSummary]) -> float | None:
    found = {p.tolerance_g for job in jobs for p in job.pieces if p.final_g is not None}
    return found.pop() if len(found) == 1 else None


def _number(job: JobSummary) -> str:
    return job.job.rpartition("-")[2] or job.job


def _track(
    found: Sequence[tuple[str, float]], limit: float | None, reach: float, axis: int
) -> list[Span]:
    """One job's line: ┊ at the limits, │ at the target, a letter for each piece."""

    def place(off: float) -> int:
        return round((off + reach) / (2.0 * reach) * (axis - 1))

    marks = dict.fromkeys(range(axis), "·")
    marks |= {place(edge): "┊" for edge in ((-limit, limit) if limit else ())}
    marks[place(0.0)] = "│"
    pieces: dict[int, str] = {}
    for name, off in found:
        at = place(off)
        pieces[at] = name if at not in pieces else "*"
    return [Span(pieces.get(i, marks[i]), "strong" if i in pieces else "dim") for i in range(axis)]
