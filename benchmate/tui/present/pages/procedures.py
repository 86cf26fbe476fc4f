"""The list of procedures to start from, and what is said about the marked one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from benchmate.tui.present.lines import Line, Span, fit, line
from benchmate.tui.present.listing import Item, paragraph

FREE = "without a plan"


@dataclass(frozen=True)
class Entry:
    """A procedure in the list."""

    name: str
    path: Path
    is_shipped: bool
    title: str
    about: str
    faults: tuple[str, ...] | None = None
    """What its proofreader says; None while nobody has looked."""


def entries_of(listed: Sequence[Entry], cells: int) -> list[Item]:
    """One line a procedure, and last the way without one."""
    broad = min(30, max((len(e.title or e.name) for e in listed), default=0), max(8, cells - 10))
    out = [Item((_line(n, entry, broad),), entry.name) for n, entry in enumerate(listed, 1)]
    words = "work as you go; turn it into a procedure later"
    free = line(Span(" 0 ", "key"), " ", fit(FREE, broad), "  ", Span(words, "dim"))
    return [*out, Item((free,), FREE)]


def _line(n: int, entry: Entry, broad: int) -> Line:
    digit = str(n) if n < 10 else " "
    tail = Span(entry.about, "dim")
    if entry.faults:
        count = len(entry.faults)
        tail = Span(f"✗ {count} thing{'' if count == 1 else 's'} to put right", "spoil")
    own = "" if entry.is_shipped else "your own; " if entry.faults or entry.about else "your own"
    spans = (Span(f" {digit} ", "key"), " ", fit(entry.title or entry.name, broad), "  ")
    return line(*spans, Span(own, "good"), tail)


def about_lines(
    entry: Entry | None, wishes: Mapping[str, Sequence[str]], learned: int, cells: int
) -> list[Line]:
    """The marked procedure: what it is about, what earlier jobs left, what is wrong with it."""
    if entry is None:
        text = (
            "Give the job a name and do what you do: start clocks, weigh, note. "
            "Afterwards it can be turned into a procedure."
        )
        return paragraph(text, cells)
    out = paragraph(entry.about or "Its file doesn't say what it is about.", cells)
    for fault in entry.faults or ():
        out += paragraph(fault, cells, 4, "spoil", " ✗ ")
    for step, said in wishes.items():
        for text in said:
            out += paragraph(f"Next time, at “{step or 'the start'}”: {text}", cells, 3, "caution")
    if learned:
        values = "value" if learned == 1 else "values"
        out += paragraph(f"{learned} {values} learned from earlier jobs will be used.", cells)
    place = "came with benchmate" if entry.is_shipped else str(entry.path)
    return [*out, *paragraph(f"{entry.name}: {place}", cells, 2, "dim")]
