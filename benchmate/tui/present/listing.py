"""Lists that are longer than the screen, and the line of keys beneath them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from rich.cells import cell_len

from benchmate.tui.present.lines import Line, Role, Span, crop, line, safe, width, wrap

MARK = "▸"


class Item(NamedTuple):
    """One entry of a list: its lines, and what it stands for (None: it can't be marked)."""

    lines: tuple[Line, ...]
    what: object = None


class View(NamedTuple):
    """What is shown of a list: its lines, the entry that each belongs to, and the first line."""

    lines: tuple[Line, ...]
    entries: tuple[int, ...]
    top: int


def heading(text: str) -> Item:
    """A line between entries."""
    return Item((line(Span(text, "dim")),))


def blank() -> Item:
    """An empty line between entries."""
    return Item(((),))


def markable(items: Sequence[Item]) -> list[int]:
    """The places of the entries that can be marked."""
    return [i for i, item in enumerate(items) if item.what is not None]


def nearest(items: Sequence[Item], at: int) -> int:
    """The place nearest to `at` that can be marked; -1 where there is none."""
    return min(markable(items), key=lambda i: (abs(i - at), i), default=-1)


def moved(items: Sequence[Item], at: int, by: int) -> int:
    """The mark moved by so many entries, over those that can't be marked."""
    places = markable(items)
    if not places:
        return -1
    now = places.index(at) if at in places else 0
    return places[max(0, min(len(places) - 1, now + by))]


def window(items: Sequence[Item], at: int, top: int, cells: int, rows: int) -> View:
    """The lines that fit, scrolled no more than it takes to show the marked entry whole.

    `top` is the first line that was shown before. What is hidden above or below is said in the
    last cells of the first and last line.
    """
    flat = [(i, n) for i, item in enumerate(items) for n in range(len(item.lines))]
    top = _top(flat, items, at, top, rows)
    shown = flat[top : top + rows]
    lines = [_line(items[i].lines[n], cells, marked=i == at, first=n == 0) for i, n in shown]
    if lines and top > 0:
        lines[0] = _more(lines[0], "↑", cells)
    if lines and top + rows < len(flat):
        lines[-1] = _more(lines[-1], "↓", cells)
    return View(tuple(lines), tuple(i for i, _ in shown), top)


def _top(
    flat: Sequence[tuple[int, int]], items: Sequence[Item], at: int, top: int, rows: int
) -> int:
    mine = [n for n, (i, _) in enumerate(flat) if i == at]
    if mine:
        first, last = mine[0], mine[-1]
        if at == next(iter(markable(items)), -1):
            first = 0
        top = max(top, last - rows + 1)
        top = min(top, first if last - first < rows else mine[0])
    return max(0, min(top, len(flat) - rows))


def _line(spans: Line, cells: int, *, marked: bool, first: bool) -> Line:
    lead = Span(MARK if marked and first else " ", "key")
    if marked and first:
        spans = tuple(Span(s.text, "strong") if s.role == "plain" else s for s in spans)
    return crop((lead, *spans), cells)


def _more(spans: Line, sign: str, cells: int) -> Line:
    if cells < 4:
        return spans
    cut = crop(spans, cells - 2)
    return (*cut, Span(" " * max(1, cells - 1 - width(cut))), Span(sign, "key"))


Keys = Sequence[tuple[str, str]]


def key_lines(keys: Keys, cells: int, most: int) -> list[Line]:
    """The keys and what they do, in at most so many lines; those that don't fit are left out."""
    rows: list[list[Span]] = [[]]
    for key, what in keys:
        spans = [Span(f" {key}", "key"), Span(f" {what}  ", "plain")]
        if width((*rows[-1], *spans)) > cells + 1 and rows[-1]:
            if len(rows) >= most:
                break
            rows.append([])
        rows[-1] += spans
    return [crop(line(*row), cells) for row in rows[:most]]


def paragraph(
    text: str, cells: int, most: int = 99, role: Role = "plain", lead: str = " ", hang: str = ""
) -> list[Line]:
    """Text wrapped into lines, the later ones as far in as the first (or behind `hang`)."""
    room = max(4, cells - len(lead))
    rows = wrap(_breakable(text, room), room, most)
    hang = hang or " " * len(lead)
    lines = (line(lead if n == 0 else hang, Span(row, role)) for n, row in enumerate(rows))
    return [crop(each, cells) for each in lines]


def _breakable(text: str, cells: int) -> str:
    """Words that are longer than a line, such as paths, in pieces that each fill one."""
    words = safe(text).split()
    if all(cell_len(word) <= cells for word in words):
        return text
    step = max(1, cells // 2) if any(cell_len(w) > len(w) for w in words) else cells
    pieces = (
        w[i : i + step] if cell_len(w) > cells else w
        for w in words
        for i in range(0, len(w) if cell_len(w) > cells else 1, step)
    )
    return " ".join(pieces)
