"""Flowing papers as Markdown, and their tables as CSV that opens right in a spreadsheet.

Source of the CSV rules: RFC 4180. A cell that a spreadsheet would take for a formula (it begins
with = + - @ or a tab) gets an apostrophe in front, unless it is a plain number.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

from benchmate.papers.sheet import (
    Block,
    Caution,
    Drawing,
    Heading,
    PageBreak,
    Paragraph,
    Photo,
    Sheet,
    Table,
    Ticks,
)

_NUMBER = re.compile(r"[+-]?\d+([.,]\d+)?")
_RISKY = ("=", "+", "-", "@", "\t", "\r")
_MARKS = re.compile(r"([\\`*_{}\[\]<>#|])")


def harmless(cell: str) -> str:
    """The cell as no spreadsheet takes it for a formula; numbers stay numbers."""
    if cell.startswith(_RISKY) and not _NUMBER.fullmatch(cell):
        return f"'{cell}"
    return cell


def to_csv(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table with its heads in the first row, lines ended as the standard says."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([harmless(head) for head in heads])
    writer.writerows([[harmless(cell) for cell in row] for row in rows])
    return out.getvalue()


def table_csv(table: Table) -> str:
    """One table of a paper; boxes and room to write in are left out."""
    kept = [n for n, column in enumerate(table.columns) if column.kind in ("text", "number")]
    heads = [table.columns[n].head for n in kept]
    return to_csv(heads, ([row[n] for n in kept] for row in table.rows))


def to_markdown(sheets: Sequence[Sheet]) -> str:
    """All papers, one after the other; every word that was typed is escaped."""
    return "\n\n".join(_sheet(sheet) for sheet in sheets) + "\n"


def _sheet(sheet: Sheet) -> str:
    parts = [f"# {_plain(sheet.title)}", _plain(sheet.subtitle)]
    parts += [text for block in sheet.blocks if (text := _block(block))]
    return "\n\n".join(parts + ([_plain(sheet.foot)] if sheet.foot else []))


def _block(block: Block) -> str:
    match block:
        case Heading(text, level):
            return f"{'#' * level} {_plain(text)}"
        case Paragraph(text, strong):
            return f"**{_plain(text)}**" if strong else _plain(text)
        case Ticks(items):
            return "\n".join(f"- [ ] {_plain(item)}" for item in items)
        case Caution(name, text):
            return f"> **{_plain(name)}.** {_plain(text)}"
        case Drawing():
            return f"({_plain(block.alternative)})"
        case Photo():
            return f"({_plain(block.alternative)})"
        case PageBreak():
            return ""
        case Table():
            heads = " | ".join(_plain(column.head) or " " for column in block.columns)
            line = " | ".join("---:" if c.kind == "number" else "---" for c in block.columns)
            rows = "\n".join(f"| {' | '.join(_plain(c) for c in row)} |" for row in block.rows)
            return f"**{_plain(block.caption)}**\n\n| {heads} |\n| {line} |\n{rows}"


def _plain(text: str) -> str:
    return _MARKS.sub(r"\\\1", " ".join(text.split()))
