"""Flowing papers as data: headings, paragraphs, tables, ticks, cautions and drawings, in order.

One description serves every way out: HTML, PDF, Markdown, CSV and JSON each walk the same blocks.
Everything in it is plain text, never markup: a writer escapes it for its own format.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Kind = Literal["text", "number", "tick", "blank"]
"""What a column holds: words, figures set to the right, a box to tick, or room to write in."""


@dataclass(frozen=True)
class Heading:
    """A heading; level 2 begins a section, 3 a part of it (the paper's title is level 1)."""

    text: str
    level: int = 2


@dataclass(frozen=True)
class Paragraph:
    """A few sentences."""

    text: str
    strong: bool = False


@dataclass(frozen=True)
class Column:
    """A column's head, what it holds, and its width as a share of the others."""

    head: str
    kind: Kind = "text"
    width: float = 1.0


@dataclass(frozen=True)
class Table:
    """A table with its caption; cells are text, one for each column."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    name: str = ""
    """What its CSV file is called; empty: it has none."""

    def __post_init__(self) -> None:
        wrong = [row for row in self.rows if len(row) != len(self.columns)]
        if wrong:
            raise ValueError(f"A row of “{self.caption}” has {len(wrong[0])} cells.")


@dataclass(frozen=True)
class Ticks:
    """Things to tick off, a box before each."""

    items: tuple[str, ...]


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


@dataclass(frozen=True)
class PageBreak:
    """Go on on a new page."""


Block = Heading | Paragraph | Table | Ticks | Caution | Drawing | Photo | PageBreak


@dataclass(frozen=True)
class Sheet:
    """One flowing paper: its title, one line under it, its blocks, and what stands at the foot."""

    name: str
    title: str
    subtitle: str
    blocks: Sequence[Block]
    foot: str = ""

    @property
    def tables(self) -> list[Table]:
        """The tables that have a CSV file of their own."""
        return [block for block in self.blocks if isinstance(block, Table) and block.name]
