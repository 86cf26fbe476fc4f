"""The day sheet on the screen: days side by side where there is room, else one after another."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from benchmate.bench.planning.sheet import Rest, Run, Sheet, per_day, runs_of
from benchmate.localtime import show_clock, show_date, show_when
from benchmate.tui.present.lines import Line, Span, line, width
from benchmate.tui.present.listing import MARK, Item, paragraph

COLUMN = 40
"""Cells of a day, side by side."""
LEAST_COLUMNS = 3
GAP = Span("  ")
WORDS_MOST = 6


class Picked(NamedTuple):
    """A run of steps that is marked, by the first of them."""

    address: str
    begins: float


def columns_in(cells: int) -> int:
    """How many days stand side by side; 1: one after another."""
    many = cells // COLUMN
    return many if many >= LEAST_COLUMNS else 1


def day_items(sheet: Sheet, now_wall: float, cells: int) -> list[list[Item]]:
    """Each day's entries, its head first, filled up to so many cells."""
    days = []
    for _, visits in per_day(sheet):
        entries = [Item((line(Span(show_date(visits[0].begins), "strong")),))]
        for visit in visits:
            entries += [_run(run, cells) for run in runs_of(visit)]
            entries += [_rest(rest, now_wall, cells) for rest in visit.rests]
        days.append([Item(tuple(_filled(x, cells) for x in i.lines), i.what) for i in entries])
    return days


def _run(run: Run, cells: int) -> Item:
    first = run.rows[0]
    span = f"{show_clock(first.begins)}–{show_clock(run.rows[-1].ends)} "
    words = f"{span}{run.says}{' (pinned)' if run.is_pinned else ''}"
    rows = paragraph(words, cells, WORDS_MOST, hang="   ")
    return Item(tuple(rows), Picked(first.address, first.begins))


def _rest(rest: Rest, now_wall: float, cells: int) -> Item:
    words = f"{rest.says}, until {show_when(rest.until, now_wall)}"
    return Item(tuple(paragraph(words, cells, 2, "dim", "   ~ ", "     ")))


def ends_text(sheet: Sheet, now_wall: float) -> str:
    """When each job is done, soonest first."""
    ends = sorted(sheet.done_by.items(), key=lambda item: item[1])
    return "done: " + " · ".join(f"{sheet.titles[j]} {show_when(at, now_wall)}" for j, at in ends)


def side_by_side(
    days: Sequence[Sequence[Item]], marked: object, cells: int, many: int
) -> tuple[list[Line], int]:
    """Filled days in bands of so many columns; the lines, and the one that the mark stands on."""
    blank = (Span(" " * (cells // many)),)
    lines: list[Line] = []
    at = 0
    for first in range(0, len(days), many):
        columns = []
        for day in days[first : first + many]:
            column, mark = _column(day, marked)
            at = len(lines) + mark if mark is not None else at
            columns.append(column)
        for n in range(max(map(len, columns))):
            parts = [c[n] if n < len(c) else blank for c in columns]
            lines.append(tuple(span for part in parts for span in part))
        lines.append(())
    return lines[:-1], at


def _column(day: Sequence[Item], marked: object) -> tuple[list[Line], int | None]:
    column: list[Line] = []
    mark = None
    for item in day:
        is_marked = item.what is not None and item.what == marked
        mark = len(column) if is_marked else mark
        for n, spans in enumerate(item.lines):
            lead = Span(MARK if is_marked and n == 0 else " ", "key")
            column.append((lead, *spans, GAP))
    return column, mark


def _filled(spans: Line, cells: int) -> Line:
    return (*spans, Span(" " * max(0, cells - width(spans))))


def compared_lines(one: Sheet, other: Sheet, now_wall: float, names: tuple[str, str]) -> list[str]:
    """Two sheets side by side, job by job, in sentences for a question."""
    lines = []
    for job, at in sorted(one.done_by.items(), key=lambda item: item[1]):
        then = other.done_by.get(job, at)
        same = "the same" if show_date(at) == show_date(then) else show_when(then, now_wall)
        lines.append(f"{one.titles[job]}: {names[0]} {show_when(at, now_wall)}; {names[1]} {same}")
    visits = f"{len(one.visits)} and {len(other.visits)} visits"
    return [*lines, f"{visits}."]
