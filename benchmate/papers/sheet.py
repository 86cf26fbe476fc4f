"""Flowing papers as data: headings, paragraphs, tables, ticks, cautions and drawings, in order.

One description serves every way out: HTML, PDF, Markdown and CSV each walk the same blocks.
Everything in it is plain text, never markup: a writer escapes it for its own format.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

Kind = Literal["text", "number", "large", "tick", "blank"]
"""What a column holds: words, figures set to the right (large: read from afar), boxes to tick (as
many as its cell says, one where it says nothing), or room to write in."""
_KINDS: dict[str, Kind] = {"": "text", ">": "number", "!": "large", "☐": "tick", "_": "blank"}
_COLUMN = re.compile(r"(.*?)\s*([>!☐_]?)(?:\*([\d.]+))?")

STEERS = dict.fromkeys((*range(9), *range(11, 32), *range(127, 160)), "·")
"""For `str.translate`: what would steer a terminal or break a file is no part of any word."""


@dataclass(frozen=True)
class SheetHeading:
    """A heading; level 2 begins a section, 3 a part of it (the paper's title is level 1)."""

    text: str
    level: int = 2


@dataclass(frozen=True)
class Paragraph:
    """A few sentences."""

    text: str


@dataclass(frozen=True)
class Column:
    """A column's head, what it holds, and its width as a share of the others."""

    head: str
    kind: Kind = "text"
    width: float = 1.0


def columns(text: str) -> tuple[Column, ...]:
    """Columns in a line: "part*1.5 | net, g > | weighed _ | done ☐". After the head stand what it
    holds (nothing: words; > number, ! large number, ☐ tick, _ blank) and its width."""
    found = [_COLUMN.fullmatch(one.strip()) for one in text.split("|")]
    return tuple(Column(m[1], _KINDS[m[2]], float(m[3] or 1.0)) for m in found if m)


@dataclass(frozen=True)
class SheetTable:
    """A table with its caption; cells are text, one for each column."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    name: str = ""
    """What its CSV file is called; empty: it has none."""
    stages: tuple[str, ...] = ()
    """Of each row: the stage of the work that it stands in; a page breaks between stages."""
    beside: bool = False
    """Narrow: stands beside the one before it, where that is narrow too."""

    def __post_init__(self) -> None:
        wrong = [row for row in self.rows if len(row) != len(self.columns)]
        if wrong:
            raise ValueError(f"A row of “{self.caption}” has {len(wrong[0])} cells.")


def table(
    caption: str, heads: str, rows: Iterable[Sequence[str]], name: str = "", *more: Column
) -> SheetTable:
    """A table whose columns are told in a line, and `more` whose heads somebody typed."""
    return SheetTable(caption, (*columns(heads), *more), tuple(tuple(row) for row in rows), name)


@dataclass(frozen=True)
class Ticks:
    """Things to tick off, a box before each."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Lines:
    """Lines to write on, as many as there is room for."""

    head: str
    count: int


@dataclass(frozen=True)
class Caution:
    """A caution with its full text."""

    name: str
    text: str


@dataclass(frozen=True)
class Drawing:
    """An SVG of ours in millimetres, and the same in words for whoever can't see it."""

    svg: str
    alternative: str
    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class Photo:
    """A photo by its bytes; shown no wider than the page."""

    data: bytes
    mime: str
    alternative: str

    @property
    def source(self) -> str:
        """All of it as an address."""
        return f"data:{self.mime};base64,{b64encode(self.data).decode('ascii')}"

    def drawn(self) -> Drawing:
        """The photo as a drawing of the size of a usual print, nothing of it cut off."""
        image = f'<image width="90" height="68" href="{self.source}"/>'
        svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 90 68">{image}</svg>'
        return Drawing(svg, self.alternative, 90.0, 68.0)


@dataclass(frozen=True)
class Card:
    """A card to cut out, 148 mm wide, three to a page: head, drawing, what is said of it, who made
    it, and its code as a picture."""

    title: str
    aside: str
    under: str
    says: tuple[tuple[str, str], ...]
    """Heads ("Care") and texts."""
    signed: str
    code: str
    qr: Drawing | None = None
    drawing: Drawing | None = None
    photo: Photo | None = None


@dataclass(frozen=True)
class PageBreak:
    """Go on on a new page."""


Block = (
    SheetHeading
    | Paragraph
    | SheetTable
    | Ticks
    | Lines
    | Caution
    | Drawing
    | Photo
    | Card
    | PageBreak
)


@dataclass(frozen=True)
class PaperSheet:
    """One flowing paper: its title, one line under it, its blocks, and what stands at the foot."""

    name: str
    title: str
    subtitle: str
    blocks: Sequence[Block]
    foot: str = ""
    aside: str = ""
    """Beside the title, as large: what it is all about ("850 ± 8 g")."""

    @property
    def tables(self) -> list[SheetTable]:
        """The tables that have a CSV file of their own."""
        return [block for block in self.blocks if isinstance(block, SheetTable) and block.name]


def pieces_of(count: int) -> str:
    """ "1 piece", "12 pieces"."""
    return f"{count} {'piece' if count == 1 else 'pieces'}"
