"""Labels: one for each part of each piece, on sheets that are sold cut.

Piece and part large enough for across the bench, the face that points up, marks, the plan's
weight, a line to write the reading on, and the code as letters and as QR.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from benchmate.papers.codes import code_of, rows_of_qr, shown
from benchmate.papers.drawing.svg import Picture
from benchmate.papers.figures import HARD, Figures
from benchmate.papers.pdf import SIZE_MM, Paper
from benchmate.plan.plan import PartPlan, Plan
from benchmate.refusal import Refused


@dataclass(frozen=True)
class Stock:
    """A sheet of labels: how many across and down, their size and pitch, and where they begin."""

    across: int
    down: int
    size_mm: tuple[float, float]
    pitch_mm: tuple[float, float]
    margin_mm: tuple[float, float]

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.across * self.down

    def corner(self, place: int) -> tuple[float, float]:
        """The upper left corner of one, counted along the rows from 0."""
        row, column = divmod(place, self.across)
        x, y = column * self.pitch_mm[0], row * self.pitch_mm[1]
        return self.margin_mm[0] + x, self.margin_mm[1] + y


STOCKS: dict[Paper, Stock] = {
    "a4": Stock(3, 8, (70.0, 37.0), (70.0, 37.0), (0.0, 0.5)),
    "letter": Stock(3, 10, (66.7, 25.4), (69.8, 25.4), (4.8, 12.7)),
}
"""Usual sheets: 24 of 70 × 37 mm without gaps, 30 of 2 5/8 × 1 inch."""


@dataclass(frozen=True)
class Label:
    """What stands on one label."""

    piece: str
    part: str
    lines: tuple[str, ...]
    """Wood, the face that points up and the marks, the plan's weight; none is empty."""
    job: str
    code: str


def labels_of(plan: Plan, figures: Figures) -> list[Label]:
    """One for every part of every piece, in the plan's order."""
    parts = plan.parts or tuple(PartPlan(piece=p.name, name="") for p in plan.pieces)
    return [_label(plan, part, figures) for part in parts]


def _label(plan: Plan, part: PartPlan, figures: Figures) -> Label:
    shape = part.shape
    opens = next((h.opens_on or h.side for h in shape.voids), "") if shape else ""
    marks = [
        *([f"▲{HARD}{opens} up"] if opens else ()),
        *(m.what for m in (shape.marks if shape else ())),
    ]
    weight = f"plan {figures.around(part.mass_g, part.mass_u_g)}" if part.mass_g else ""
    lines = (part.wood, ", ".join(marks), weight)
    code = code_of(f"{plan.job}/{part.piece}/{part.name}")
    return Label(part.piece, part.name, tuple(filter(None, lines)), plan.job, code)


def label_pages(
    labels: Sequence[Label], paper: Paper, *, start: int = 1, guides: bool = False
) -> list[Picture]:
    """Sheets of labels; `start` is the first free label of a half-used sheet.

    Raises Refused for a start that isn't on the sheet.
    """
    stock = STOCKS[paper]
    if not 1 <= start <= stock.count:
        raise Refused(f"Label {start} isn't on the sheet: it has labels 1 to {stock.count}.")
    pages: list[Picture] = []
    for n, label in enumerate(labels, start - 1):
        if n // stock.count >= len(pages):
            pages.append(Picture(*SIZE_MM[paper]))
        corner = stock.corner(n % stock.count)
        picture = _picture(label, stock.size_mm, guides=guides)
        pages[-1].clipped(picture, corner, (0.0, 0.0, *stock.size_mm))
    return pages


def _picture(label: Label, size: tuple[float, float], *, guides: bool) -> Picture:
    """Large to small down the left, the code on the right; nothing nearer to the edge than a
    printer may be off."""
    wide, high = size
    small = high < 30.0
    picture = Picture(wide, high)
    if guides:
        picture.box((0.1, 0.1), (wide - 0.1, high - 0.1), "dotted")
    edge, letter_mm, step, code_mm = (2.6, 9.5, 3.9, 12.6) if small else (5.0, 12.0, 5.0, 14.7)
    picture.text((edge, edge + letter_mm), label.piece[:3], letter_mm * 4.0, bold=True)
    x = edge + letter_mm * (1.1 if len(label.piece) < 2 else 0.95 * min(3, len(label.piece)))
    room = wide - edge - code_mm - x - 1.0
    picture.text((x, edge + step), label.part, 14.0, bold=True, room=room)
    for n, text in enumerate(label.lines):
        place = (x, edge + step * (n + 1.9))
        picture.text(place, text, 8.5, bold=text.startswith("plan "), room=room)
    foot = high - edge + (0.6 if small else 0.0)
    picture.line((x, foot - 2.9), (wide - edge - code_mm - 2.0, foot - 2.9), "thin")
    picture.text((edge, foot), label.job, 6.5, room=wide - 2.0 * edge - 22.0)
    picture.modules(rows_of_qr(label.code), (wide - edge - code_mm, edge), code_mm)
    picture.text((wide - edge, foot), shown(label.code), 7.5, anchor="end")
    return picture
