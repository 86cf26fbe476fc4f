"""The logbook's entries as lines."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchmate.bench.history.logbook import Entry
from benchmate.job.state.shop import JOB
from benchmate.localtime import show_date
from benchmate.tui.present.lines import Line, Role, Span, fit, line
from benchmate.tui.present.listing import Item, heading, paragraph

LATER_S = 60.0
"""Recorded so much later than it happened, both times are worth saying."""
Clock = Callable[[float], str]


def log_items(
    entries: Sequence[Entry], clock: Clock, cells: int, *, one_stream: bool
) -> list[Item]:
    """One line an entry, with a line for each new day. They stand for (stream, version)."""
    out: list[Item] = []
    day = ""
    broad = 0 if one_stream else min(22, max((len(_where(e)) for e in entries), default=0))
    for entry in entries:
        today = show_date(entry.happened_s) if entry.happened_s is not None else day
        if today != day:
            out.append(heading(f"── {today}"))
            day = today
        what = (entry.stream, entry.version)
        out.append(Item((_line(entry, clock, broad),), what))
    return out


def _line(entry: Entry, clock: Clock, broad: int) -> Line:
    when = clock(entry.happened_s) if entry.happened_s is not None else "  ?  "
    role: Role = "dim" if entry.taken_back else "plain"
    where = f"{fit(_where(entry), broad)}  " if broad else f"{entry.version:>4}  "
    back = Span("(undone) " if entry.taken_back else "", "caution")
    return line(Span(f"{when}  ", "dim"), Span(where, "dim"), back, Span(entry.text, role))


def _where(entry: Entry) -> str:
    return entry.stream.removeprefix(JOB)


def entry_detail(entry: Entry, stamp: Clock, cells: int) -> list[Line]:
    """The marked entry in full: what, of which stream and number, when it happened and when it
    was written down."""
    out = paragraph(entry.text, cells, 12, "strong")
    times = "at an unknown time"
    if entry.happened_s is not None:
        times = f"happened {stamp(entry.happened_s)}"
        later = (entry.recorded_s or entry.happened_s) - entry.happened_s
        if abs(later) > LATER_S and entry.recorded_s is not None:
            times += f", written down {stamp(entry.recorded_s)}"
    back = ", undone" if entry.taken_back else ""
    text = f"{entry.stream}, entry {entry.version}, number {entry.seq} of all: {times}{back}"
    return out + paragraph(text, cells, 3, "dim")
