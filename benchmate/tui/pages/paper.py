"""A flowing paper as a page to be read: its headings, sentences and tables."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.papers.sheet import PaperSheet, Paragraph, SheetHeading, SheetTable
from benchmate.tui.pages.frames.read_page import ReadPage
from benchmate.tui.present.lines import Line, Role, Span, fit, line
from benchmate.tui.present.listing import paragraph


class PaperPage(ReadPage):
    """What is drawn or to be ticked stays on the paper."""

    def __init__(self, sheet: PaperSheet) -> None:
        super().__init__()
        self.sheet = sheet

    def title_line(self) -> tuple[str, str]:
        """The paper's own."""
        return self.sheet.title, self.sheet.subtitle

    def text(self, cells: int) -> Sequence[Line]:
        """Block by block, a blank line between them."""
        found: list[Line] = []
        for block in self.sheet.blocks:
            match block:
                case SheetHeading(text) | Paragraph(text):
                    found += [*paragraph(text, cells), ()]
                case SheetTable():
                    found += [*_table(block, cells), ()]
        return found


def _table(table: SheetTable, cells: int) -> list[Line]:
    """Columns by their shares; figures stand to the right."""
    shares = sum(column.width for column in table.columns)
    wide = [max(6, int((cells - 1) * column.width / shares)) for column in table.columns]

    def row(texts: Sequence[str], role: Role) -> Line:
        made = []
        for text, room, column in zip(texts, wide, table.columns, strict=True):
            short = fit(text, room - 1)
            made.append(short.strip().rjust(room - 1) if column.kind == "number" else short)
        return line(Span(f" {' '.join(made)}", role))

    rows = [row(texts, "plain") for texts in table.rows]
    return [row([column.head for column in table.columns], "dim"), *rows]
