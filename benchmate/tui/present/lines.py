"""Lines of text with roles: what presenters make and the Lines widget paints.

A role says what a piece of text is for; the style sheet says how that looks. No role is told
from another by colour alone: the words and signs carry the meaning.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Literal, NamedTuple

from rich.cells import cell_len, chop_cells, set_cell_size

_LABELS = re.compile(r" \(at label temperature [^()]*\)")
_OPEN = re.compile(r" ?\([^()]*…$")
Role = Literal["plain", "dim", "strong", "key", "good", "caution", "spoil", "alarm"]
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")


class Span(NamedTuple):
    """A run of text in one role."""

    text: str
    role: Role = "plain"


Line = tuple[Span, ...]


def safe(text: str) -> str:
    """Text that can't steer a terminal: control characters and direction marks become "·"."""
    return _CONTROL.sub("·", text)


def line(*spans: Span | str) -> Line:
    """A line of spans; bare strings are plain. All text is made safe here."""
    made = (s if isinstance(s, Span) else Span(s) for s in spans)
    return tuple(Span(safe(s.text), s.role) for s in made if s.text)


def width(cells: Iterable[Span]) -> int:
    """How many cells a line takes."""
    return sum(cell_len(s.text) for s in cells)


def fit(text: str, cells: int) -> str:
    """The text in exactly so many cells; what is cut off shows as "…"."""
    text = safe(text)
    if cells <= 0:
        return ""
    if cell_len(text) <= cells:
        return set_cell_size(text, cells)
    return set_cell_size(text, cells - 1) + "…"


def crop(cells: Line, most: int) -> Line:
    """The line, cut to so many cells."""
    out: list[Span] = []
    left = most
    for span in cells:
        size = cell_len(span.text)
        if size > left:
            out.append(Span(fit(span.text, left), span.role))
            break
        out.append(span)
        left -= size
    return tuple(out)


def spread(left: Line, right: Line, cells: int) -> Line:
    """Two ends of one line, with the gap between them; the left one is cut where both won't fit."""
    room = cells - width(right)
    left = crop(left, max(0, room - 1))
    return (*left, Span(" " * max(0, room - width(left))), *right)


def first_fitting(candidates: Sequence[Line], cells: int) -> Line:
    """The first line that fits; the last one, cut, where none does."""
    return next((c for c in candidates if width(c) <= cells), crop(candidates[-1], cells))


def beside(left: Sequence[Line], right: Sequence[Line], left_cells: int, cells: int) -> list[Line]:
    """Two blocks side by side, the right one from so many cells on."""
    rows = max(len(left), len(right))
    out: list[Line] = []
    for i in range(rows):
        one = crop(left[i], left_cells) if i < len(left) else ()
        other = crop(right[i], cells - left_cells) if i < len(right) else ()
        gap = Span(" " * (left_cells - width(one)))
        out.append((*one, gap, *other) if other else one)
    return out


def rule(cells: int) -> Line:
    """A line across."""
    return (Span("─" * cells, "dim"),)


def wrap(text: str, cells: int, most: int) -> list[str]:
    """Words wrapped into at most so many rows; what doesn't fit ends in "…".

    A word longer than a row (a path) goes on in the next. Rather than be cut, a text loses the
    label's times; no cut falls inside a bracket.
    """
    made = _wrap(text, cells, most)
    if made and made[-1].endswith("…") and not text.rstrip().endswith("…"):
        made = _wrap(_LABELS.sub("", text), cells, most)
        return [*made[:-1], _OPEN.sub(" …", made[-1])]
    return made


def _wrap(text: str, cells: int, most: int) -> list[str]:
    rows: list[str] = []
    words = (part for word in safe(text).split() for part in chop_cells(word, max(1, cells)))
    for word in words:
        if rows and cell_len(rows[-1]) + 1 + cell_len(word) <= cells:
            rows[-1] += f" {word}"
        else:
            rows.append(word)
    if len(rows) > most:
        rows = [*rows[: most - 1], fit(" ".join(rows[most - 1 :]), cells).rstrip()]
    return [fit(r, cells).rstrip() if cell_len(r) > cells else r for r in rows]
