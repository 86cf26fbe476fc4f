"""Pages of a template: head, two check lines, and a drawing cut into tiles where it is too large.

What a printer stretches is put right by what the check lines measured on a first print.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from benchmate.papers.drawing.svg import Drawing
from benchmate.papers.pdf import LEFT_MM, RIGHT_MM, SIZE_MM, Paper

CHECK_MM = 100.0
HEAD_MM, FOOT_MM, OVERLAP_MM = 46.0, 12.0, 10.0
TABLE_MM = 62.0
"""What a station table takes on the right of the first page."""
SAY_SCALE = "Print at 100 %, never “fit”. Measure both 100 mm lines before you cut."


@dataclass(frozen=True)
class Correction:
    """What the two check lines measured, across and down, mm."""

    across_mm: float = CHECK_MM
    down_mm: float = CHECK_MM

    @property
    def factors(self) -> tuple[float, float]:
        """By how much everything is drawn larger, so that it prints right."""
        return CHECK_MM / self.across_mm, CHECK_MM / self.down_mm


@dataclass(frozen=True)
class Template:
    """One template: what it is, its drawing, and rows of a table (number, distance, ⌀)."""

    name: str
    title: str
    subtitle: str
    drawing: Drawing
    rows: tuple[tuple[str, ...], ...] = ()


def pages(template: Template, paper: Paper, correction: Correction, foot: str) -> list[Drawing]:
    """The template's pages, tiled where it doesn't fit on one."""
    width, height = SIZE_MM[paper]
    across = width - LEFT_MM - RIGHT_MM
    down = height - HEAD_MM - FOOT_MM
    beside = TABLE_MM if template.rows and template.drawing.width_mm + TABLE_MM <= across else 0.0
    columns = _tiles(template.drawing.width_mm, across - beside)
    rows = _tiles(template.drawing.height_mm, down)
    made = []
    for row in range(rows):
        for column in range(columns):
            page = Drawing(width, height)
            number = row * columns + column
            _head(page, template, number, rows * columns, correction)
            if number == 0 and beside:
                _table(page, template, width)
            _tile(page, template.drawing, (column, row), (columns, rows), correction)
            page.text((LEFT_MM, height - 5.0), foot, 7.5)
            page.text(
                (width - RIGHT_MM, height - 5.0),
                f"{number + 1} of {rows * columns}",
                7.5,
                anchor="end",
            )
            made.append(page)
    if template.rows and not beside:
        page = Drawing(width, height)
        page.text((LEFT_MM, 15.0), f"{template.title}, stations", 16.0, bold=True)
        _table(page, template, width)
        made.append(page)
    return made


def _tiles(size: float, room: float) -> int:
    return 1 if size <= room else ceil((size - OVERLAP_MM) / (room - OVERLAP_MM))


def _head(page: Drawing, template: Template, number: int, count: int, fix: Correction) -> None:
    sheet = f", sheet {number + 1} of {count}" if count > 1 else ""
    page.text((LEFT_MM, 15.0), template.title + sheet, 16.0, bold=True)
    page.text((LEFT_MM, 21.0), template.subtitle, 9.0)
    page.text((LEFT_MM, 26.0), SAY_SCALE, 9.0)
    fx, fy = fix.factors
    _scale(page, (LEFT_MM, 34.0), (CHECK_MM * fx, 0.0))
    _scale(page, (11.0, HEAD_MM), (0.0, CHECK_MM * fy))


def _scale(page: Drawing, at: tuple[float, float], run: tuple[float, float]) -> None:
    """A check line of 100 mm with a tick each 10 mm."""
    x, y = at
    page.line(at, (x + run[0], y + run[1]), "edge")
    for n in range(11):
        long = 2.5 if n in (0, 5, 10) else 1.5
        tx, ty = x + run[0] * n / 10.0, y + run[1] * n / 10.0
        end = (tx, ty + long) if run[0] else (tx + long, ty)
        page.line((tx, ty), end, "thin")
    where = (x + run[0] + 2.0, y + 1.5) if run[0] else (x - 3.0, y + run[1] + 4.0)
    page.text(where, "100 mm", 7.5)


def _table(page: Drawing, template: Template, width: float) -> None:
    x = width - RIGHT_MM - TABLE_MM + 6.0
    y = HEAD_MM + 4.0
    page.text((x, y), "no.   from the end      ⌀", 9.0, bold=True)
    for n, row in enumerate(template.rows, 1):
        at = y + 7.0 * n
        page.text((x, at), row[0], 9.0, bold=True)
        page.text((x + 26.0, at), row[1], 9.0, anchor="end")
        page.text((x + 48.0, at), row[2], 12.0, anchor="end")
        page.slot((x + 53.0, at - 1.4), (4.0, 4.0), 0.0, "thin")


def _tile(
    page: Drawing,
    drawing: Drawing,
    at: tuple[int, int],
    count: tuple[int, int],
    fix: Correction,
) -> None:
    """One tile, of equal size with the others, with its circles and crosses on the seams."""
    fx, fy = fix.factors
    wide = (drawing.width_mm + OVERLAP_MM * (count[0] - 1)) / count[0]
    high = (drawing.height_mm + OVERLAP_MM * (count[1] - 1)) / count[1]
    x, y = at[0] * (wide - OVERLAP_MM), at[1] * (high - OVERLAP_MM)
    tile = Drawing(wide, high)
    tile.clipped(drawing, (0.0, 0.0), (x, y, wide, high))
    if at[1] > 0:
        _seam(tile, OVERLAP_MM / 2.0, wide)
    if at[1] < count[1] - 1:
        _seam(tile, high - OVERLAP_MM / 2.0, wide)
        tile.text((wide / 2.0, high - 1.0), f"cut here, lay on sheet {at[1] + 2}", 7.0)
    page.scaled(tile, (LEFT_MM, HEAD_MM), (fx, fy))


def _seam(tile: Drawing, y: float, wide: float) -> None:
    for x in (4.0, wide - 4.0):
        tile.circle((x, y), 4.0, "thin")
        tile.cross((x, y), 3.5)
