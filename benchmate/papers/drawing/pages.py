"""Pages of a template: head, two check lines, and a picture cut into tiles where it is too large.

What a printer stretches is put right by what the check lines measured on a first print.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from benchmate.papers.drawing.svg import Picture
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
    """One template: what it is, its picture, and rows of a table (number, distance, ⌀)."""

    name: str
    title: str
    subtitle: str
    picture: Picture
    rows: tuple[tuple[str, ...], ...] = ()
    unit: str = "mm"


def pages(template: Template, paper: Paper, correction: Correction, foot: str) -> list[Picture]:
    """The template's pages, tiled where it doesn't fit on one."""
    width, height = SIZE_MM[paper]
    fx, fy = correction.factors
    room = (width - LEFT_MM - RIGHT_MM) / fx, (height - HEAD_MM - FOOT_MM) / fy
    picture = template.picture
    beside = TABLE_MM if template.rows and picture.width_mm + TABLE_MM <= room[0] else 0.0
    count = _tiles(picture.width_mm, room[0] - beside), _tiles(picture.height_mm, room[1])
    several = count[0] * count[1] > 1
    made: list[Picture] = []
    for number in range(count[0] * count[1]):
        sheet = f", sheet {number + 1} of {count[0] * count[1]}" if several else ""
        page = _page(template.title + sheet, foot, width, height)
        page.text((LEFT_MM, 21.0), template.subtitle, 9.0, room=width - LEFT_MM - RIGHT_MM)
        page.text((LEFT_MM, 26.0), SAY_SCALE, 9.0)
        _scale(page, (LEFT_MM, 34.0), (CHECK_MM * fx, 0.0))
        _scale(page, (11.0, HEAD_MM), (0.0, CHECK_MM * fy))
        if number == 0 and beside:
            _table(page, template, width)
        row, column = divmod(number, count[0])
        page.scaled(_tile(picture, (column, row), count), (LEFT_MM, HEAD_MM), (fx, fy))
        made.append(page)
    if template.rows and not beside:
        made.append(_page(f"{template.title}, stations", foot, width, height))
        _table(made[-1], template, width)
    return made


def _page(title: str, foot: str, width: float, height: float) -> Picture:
    page = Picture(width, height)
    page.text((LEFT_MM, 15.0), title, 16.0, bold=True, room=width - LEFT_MM - RIGHT_MM)
    page.text((LEFT_MM, height - 6.0), foot, 7.5)
    return page


def _tiles(size: float, room: float) -> int:
    return 1 if size <= room else ceil((size - OVERLAP_MM) / (room - OVERLAP_MM))


def _scale(page: Picture, at: tuple[float, float], run: tuple[float, float]) -> None:
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


def _table(page: Picture, template: Template, width: float) -> None:
    x, y = width - RIGHT_MM - TABLE_MM + 6.0, HEAD_MM + 4.0
    heads = ("no.", f"from end, {template.unit}", f"⌀, {template.unit}")
    for place, head in zip((0.0, 32.0, 50.0), heads, strict=True):
        page.text((x + place, y), head, 8.0, bold=True, anchor="end" if place else "start")
    for n, row in enumerate(template.rows, 1):
        at = y + 7.0 * n
        page.text((x, at), row[0], 9.0, bold=True)
        for place, text in zip((32.0, 50.0), row[1:], strict=True):
            page.text((x + place, at), text, 12.0, anchor="end")
        page.box((x + 51.5, at - 3.4), (x + 55.5, at + 0.6), "thin")


def _tile(picture: Picture, at: tuple[int, int], count: tuple[int, int]) -> Picture:
    """One tile, of equal size with the others, with its circles and crosses on the seams."""
    wide, high = (
        (size + OVERLAP_MM * (n - 1)) / n
        for size, n in zip((picture.width_mm, picture.height_mm), count, strict=True)
    )
    tile = Picture(wide, high)
    corner = at[0] * (wide - OVERLAP_MM), at[1] * (high - OVERLAP_MM)
    tile.clipped(picture, (0.0, 0.0), (*corner, wide, high))
    half = OVERLAP_MM / 2.0
    for is_there, seam in ((at[1] > 0, half), (at[1] < count[1] - 1, high - half)):
        for x in (4.0, wide - 4.0) if is_there else ():
            tile.circle((x, seam), 4.0, "thin")
            tile.cross((x, seam), 3.5)
    for is_there, seam in ((at[0] > 0, half), (at[0] < count[0] - 1, wide - half)):
        for y in (4.0, high - 4.0) if is_there else ():
            tile.circle((seam, y), 4.0, "thin")
            tile.cross((seam, y), 3.5)
    if at[1] < count[1] - 1:
        said = f"cut here, lay on sheet {(at[1] + 1) * count[0] + at[0] + 1}"
        tile.text((wide - 9.0, high - 1.0), said, 7.0, anchor="end")
    return tile
