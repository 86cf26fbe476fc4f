"""Help from the bindings themselves, so that it can't say anything else than the keys do."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from benchmate.tui.keys.names import key_name
from benchmate.tui.present.lines import Line, Span, beside, line, wrap

COLUMN = 52
"""Cells from which on a second and third column is worth it."""


class KeyHelp(NamedTuple):
    """One key and what it does."""

    key: str
    what: str


def merged(found: Iterable[tuple[str, str, str]]) -> list[KeyHelp]:
    """(key, action, text) of each binding, in order; keys of one action share a row.

    The nine digits, which pick by their number, become one row.
    """
    rows: dict[str, list[str]] = {}
    texts: dict[str, str] = {}
    for key, action, text in found:
        group = "digits" if key in "123456789" and len(key) == 1 else action
        if not text or key in rows.get(group, ()):
            continue
        rows.setdefault(group, []).append(key)
        texts.setdefault(group, text)
    return [KeyHelp(_keys(g, keys), _text(g, texts[g])) for g, keys in rows.items()]


def _keys(group: str, keys: Sequence[str]) -> str:
    if group == "digits" and len(keys) > 1:
        return f"{keys[0]}-{keys[-1]}"
    return " ".join(key_name(k) for k in keys)


def _text(group: str, text: str) -> str:
    return text.replace(" 1 ", " of that number ") if group == "digits" else text


def help_lines(rows: Sequence[KeyHelp], cells: int) -> list[Line]:
    """The keys in as many columns as there is room for."""
    columns = max(1, cells // COLUMN)
    each = -(-len(rows) // columns)
    wide = cells // columns
    blocks = [_column(rows[i : i + each], wide) for i in range(0, len(rows), each)]
    out = blocks[0] if blocks else []
    for n, block in enumerate(blocks[1:], start=1):
        out = beside(out, block, n * wide, cells)
    return out


def _column(rows: Sequence[KeyHelp], cells: int) -> list[Line]:
    wide = max((len(r.key) for r in rows), default=0) + 3
    out: list[Line] = []
    for row in rows:
        first, *more = wrap(row.what, max(8, cells - wide - 2), 3) or [""]
        out.append(line(" ", Span(row.key.ljust(wide - 1), "key"), first))
        out += [line(" " * wide, r) for r in more]
    return out
