"""Flowing papers as Markdown, and their tables as CSV that opens right in a spreadsheet.

Source of the CSV rules: RFC 4180. A cell that a spreadsheet would take for a formula (it begins
with = + - @ or a tab) gets an apostrophe in front, unless it is a plain number.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

from benchmate.papers import sheet as paper
from benchmate.papers.html import BOX

_NUMBER = re.compile(r"[+-]?\d+([.,]\d+)?")
_RISKY = frozenset("=+-@\t\r")
_MARKS = re.compile(r"([\\`*_{}\[\]<>#|])")


def harmless(cell: str) -> str:
    """The cell as no spreadsheet takes it for a formula; numbers stay numbers."""
    begins = {cell[:1], cell.lstrip()[:1]}
    if begins & _RISKY and not _NUMBER.fullmatch(cell):
        return f"'{cell}"
    return cell


def to_csv(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table with its heads in the first row, lines ended as the standard says."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerows(
        [harmless(cell.translate(paper.STEERS)) for cell in row] for row in (heads, *rows)
    )
    return out.getvalue()


def table_csv(table: paper.SheetTable) -> str:
    """One table of a paper; boxes and room to write in are left out."""
    kept = [n for n, column in enumerate(table.columns) if column.kind not in ("tick", "blank")]
    heads = [table.columns[n].head for n in kept]
    return to_csv(heads, ([row[n] for n in kept] for row in table.rows))


def to_markdown(sheets: Sequence[paper.PaperSheet]) -> str:
    """All papers, one after the other; every word that was typed is escaped."""
    return "\n\n".join(_sheet(sheet) for sheet in sheets).translate(paper.STEERS) + "\n"


def _sheet(sheet: paper.PaperSheet) -> str:
    parts = [f"# {_plain(sheet.title)}", _plain(sheet.aside), _plain(sheet.subtitle)]
    parts += [*map(_block, sheet.blocks), _plain(sheet.foot)]
    return "\n\n".join(filter(None, parts))


def _block(block: paper.Block) -> str:
    match block:
        case paper.SheetHeading(text, level):
            return f"{'#' * level} {_plain(text)}"
        case paper.Paragraph(text):
            return _plain(text)
        case paper.Ticks(items):
            return "\n".join(f"- [ ] {_plain(item)}" for item in items)
        case paper.Caution(name, text):
            return f"> **{_plain(name)}.** {_plain(text)}"
        case paper.Drawing() | paper.Photo():
            return f"({_plain(block.alternative)})"
        case paper.Card():
            says = "\n\n".join(f"{_plain(head)}: {_plain(text)}" for head, text in block.says)
            under = f"## {_plain(block.title)}, {_plain(block.aside)}\n\n{_plain(block.under)}"
            return f"{under}\n\n{says}\n\n{_plain(block.signed)} {block.code}"
        case paper.Lines(head):
            return f"## {_plain(head)}"
        case paper.PageBreak():
            return ""
        case paper.SheetTable():
            return _table(block)


def _table(table: paper.SheetTable) -> str:
    heads = " | ".join(_plain(column.head) or " " for column in table.columns)
    line = " | ".join("---:" if c.kind in ("number", "large") else "---" for c in table.columns)
    rows = "\n".join(
        f"| {' | '.join(_cell(c.kind, cell) for c, cell in zip(table.columns, row, strict=True))} |"
        for row in table.rows
    )
    return f"**{_plain(table.caption)}**\n\n| {heads} |\n| {line} |\n{rows}"


def _cell(kind: str, text: str) -> str:
    return BOX * int(text or 1) if kind == "tick" else _plain(text)


def _plain(text: str) -> str:
    return _MARKS.sub(r"\\\1", " ".join(text.split()))
