"""Labels: one for each part of each piece, on sheets that are sold cut.

Piece and part large enough for across the bench, the face that points up, marks, the plan's
weight, a line to write the reading on, and the code as letters and as QR.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from benchmate.papers.codes import code_of, shown
from benchmate.papers.drawing.svg import Drawing
from benchmate.papers.pdf import SIZE_MM, Paper
from benchmate.plan.plan import PartPlan, Plan
from benchmate.quantities import Units, show_mass
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


STOCKS: dict[Paper, Stock] = {
    "a4": Stock(3, 8, (70.0, 37.0), (70.0, 37.0), (0.0, 0.5)),
    "letter": Stock(3, 10, (66.7, 25.4), (69.8, 25.4), (4.8, 12.7)),
}
"""Usual sheets: 24 of 70 × 37 mm without gaps, 30 of 2 5/8 × 1 inch."""
QUIET_MM = 3.0


@dataclass(frozen=True)
class Label:
    """What stands on one label."""

    piece: str
    part: str
    wood: str
    up: str
    marks: str
    weight: str
    job: str
    code: str


def labels_of(plan: Plan, units: Units = "metric") -> list[Label]:
    """One for every part of every piece, in the plan's order."""
    parts = plan.parts or tuple(PartPlan(piece=p.name, name="") for p in plan.pieces)
    return [_label(plan, part, units) for part in parts]


def _label(plan: Plan, part: PartPlan, units: Units) -> Label:
    shape = part.shape
    opens = next((h.opens_on or h.side for h in shape.voids), "") if shape else ""
    marks = [mark.what for mark in shape.marks] if shape else []
    address = f"{plan.job}/{part.piece}/{part.name}"
    doubt = f" ± {show_mass(part.mass_u_g, units)}" if part.mass_u_g >= 0.5 else ""
    return Label(
        piece=part.piece,
        part=part.name,
        wood=part.wood,
        up=f"▲ {opens} up" if opens else "",
        marks=", ".join(marks),
        weight=f"plan {show_mass(part.mass_g, units)}{doubt}" if part.mass_g else "",
        job=plan.job,
        code=code_of(address),
    )


def label_pages(
    labels: Sequence[Label], paper: Paper, *, start: int = 1, guides: bool = False
) -> list[Drawing]:
    """Sheets of labels; `start` is the first free label of a half-used sheet.

    Raises Refused for a start that isn't on the sheet.
    """
    stock = STOCKS[paper]
    if not 1 <= start <= stock.count:
        raise Refused(f"Label {start} isn't on the sheet: it has labels 1 to {stock.count}.")
    pages: list[Drawing] = []
    for n, label in enumerate(labels, start - 1):
        if n // stock.count >= len(pages):
            pages.append(Drawing(*SIZE_MM[paper]))
        place = n % stock.count
        column, row = place % stock.across, place // stock.across
        x = stock.margin_mm[0] + column * stock.pitch_mm[0]
        y = stock.margin_mm[1] + row * stock.pitch_mm[1]
        picture = _picture(label, stock.size_mm, guides=guides)
        pages[-1].clipped(picture, (x, y), (0.0, 0.0, *stock.size_mm))
    return pages


def _picture(label: Label, size: tuple[float, float], *, guides: bool) -> Drawing:
    wide, high = size
    small = high < 30.0
    drawing = Drawing(wide, high)
    if guides:
        drawing.slot((wide / 2.0, high / 2.0), (wide, high), 0.0, "dotted")
    edge = 3.0 if small else 5.0
    letter_mm = 9.5 if small else 12.0
    drawing.text((edge, edge + letter_mm), label.piece[:3], letter_mm * 4.0, bold=True)
    x = edge + letter_mm * (1.3 if len(label.piece) < 2 else 2.2)
    step = 4.0 if small else 5.2
    drawing.text((x, edge + step), _fit(label.part, 13), 12.0 if small else 14.0, bold=True)
    lines = [label.wood, label.up or label.marks, label.weight]
    for n, text in enumerate(lines):
        drawing.text((x, edge + step * (n + 1.9)), _fit(text, 19), 8.5, bold=n == 2)
    drawing.text((edge, high - edge), _fit(label.job, 24), 7.0)
    drawing.line((x, high - edge - 4.5), (x + 20.0, high - edge - 4.5), "thin")
    _qr(drawing, label.code, (wide - edge, edge), 12.6 if small else 14.7)
    drawing.text((wide - edge, high - edge), shown(label.code), 7.5, anchor="end")
    return drawing


def _qr(drawing: Drawing, code: str, corner: tuple[float, float], size: float) -> None:
    """The code as QR, its upper right corner at the point; version 1 at level Q."""
    import segno

    rows = list(segno.make(code, version=1, error="q", micro=False).matrix)
    module = size / len(rows)
    left, top = corner[0] - size, corner[1]
    for y, row in enumerate(rows):
        for x, dark in enumerate(row):
            if dark:
                drawing.block((left + x * module, top + y * module), (module, module))


def _fit(text: str, most: int) -> str:
    """No more letters than there is room for."""
    return text if len(text) <= most else f"{text[: most - 1]}…"
