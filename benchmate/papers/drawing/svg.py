"""A picture in millimetres: a few kinds of lines, hatching, short texts.

User units are millimetres, the origin is the upper left corner. Lines are never thinner than
0.13 mm, greys never darker than 11 %: what a tired printer still shows, and a pencil covers.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from unicodedata import east_asian_width

from benchmate.papers.sheet import STEERS, Drawing

Point = tuple[float, float]
FONT = "DejaVu Sans Condensed, DejaVu Sans, sans-serif"
PT_MM = 25.4 / 72.0
STROKES = {
    "edge": 'stroke="#000" stroke-width="0.25"',
    "thin": 'stroke="#000" stroke-width="0.13"',
    "hidden": 'stroke="#000" stroke-width="0.18" stroke-dasharray="2 1"',
    "dotted": 'stroke="#000" stroke-width="0.18" stroke-dasharray="0.2 1" stroke-linecap="round"',
    "axis": 'stroke="#000" stroke-width="0.13" stroke-dasharray="6 1.2 1 1.2"',
}
"""The kinds of line: what is cut, what is measured, what lies inside, the least wall, the axis."""
_FILLS = {"none": "none", "grey": "#e3e3e3", "hatch": "url(#hatch)", "black": "#000"}
_HATCH = (
    '<defs><pattern id="hatch" width="2" height="2" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><line x1="0" y1="0" x2="0" y2="2" stroke="#000" '
    'stroke-width="0.3"/></pattern></defs>'
)


class Picture:
    """A page or picture of that many millimetres."""

    def __init__(self, width_mm: float, height_mm: float) -> None:
        self.width_mm, self.height_mm = width_mm, height_mm
        self._parts: list[str] = []

    def line(self, start: Point, end: Point, kind: str = "edge") -> None:
        """A straight line."""
        self._parts.append(f"<line {_at('x1 y1 x2 y2', *start, *end)} {STROKES[kind]}/>")

    def path(
        self, points: Sequence[Point], kind: str = "edge", fill: str = "", name: str = ""
    ) -> None:
        """A line through points, closed where it has a `fill`: "none", "grey" or "hatch". `name`
        becomes its id."""
        steps = " L ".join(f"{_mm(x)} {_mm(y)}" for x, y in points)
        named = f' id="{escape(name)}"' if name else ""
        shape = f'd="M {steps}{" Z" if fill else ""}" fill="{_FILLS[fill or "none"]}"'
        self._parts.append(f"<path{named} {shape} {STROKES[kind]}/>")

    def box(self, corner: Point, other: Point, kind: str = "edge", fill: str = "none") -> None:
        """A rectangle between two corners."""
        (x1, y1), (x2, y2) = corner, other
        self.path([(x1, y1), (x2, y1), (x2, y2), (x1, y2)], kind, fill)

    def slot(self, centre: Point, size: Point, corner: float, kind: str = "edge") -> None:
        """A rectangle with rounded corners about its centre."""
        x, y = centre[0] - size[0] / 2.0, centre[1] - size[1] / 2.0
        place = _at("x y width height rx", x, y, *size, corner)
        self._parts.append(f'<rect {place} fill="none" {STROKES[kind]}/>')

    def circle(self, centre: Point, diameter: float, kind: str = "edge") -> None:
        """A circle."""
        place = _at("cx cy r", *centre, diameter / 2.0)
        self._parts.append(f'<circle {place} fill="none" {STROKES[kind]}/>')

    def cross(self, centre: Point, arm: float = 3.0) -> None:
        """A cross that marks a centre."""
        x, y = centre
        self.line((x - arm, y), (x + arm, y), "thin")
        self.line((x, y - arm), (x, y + arm), "thin")

    def text(
        self,
        at: Point,
        text: str,
        size_pt: float = 9.0,
        *,
        bold: bool = False,
        anchor: str = "start",
        turned: bool = False,
        room: float = 0.0,
    ) -> None:
        """A short text; its baseline is at the point. `turned`: it reads upwards. `room`: so many
        mm; a longer one is set smaller, down to two thirds, and what is still too long is cut."""
        if room and text:
            wide = _ems(text) * PT_MM * (1.15 if bold else 1.0)
            size_pt *= max(0.66, min(1.0, room / (wide * size_pt)))
            if wide * size_pt > room * 1.001:
                text = f"{text[: int(len(text) * room / (wide * size_pt)) - 1]}…"
        weight = ' font-weight="bold"' if bold else ""
        turn = f' transform="rotate(-90 {_mm(at[0])} {_mm(at[1])})"' if turned else ""
        font = f'font-family="{FONT}" font-size="{size_pt * PT_MM:.3f}"{weight}{turn}'
        place = f'{_at("x y", *at)} text-anchor="{anchor}"'
        self._parts.append(f"<text {place} {font}>{escape(text.translate(STEERS))}</text>")

    def modules(self, rows: Sequence[Sequence[int]], corner: Point, size: float) -> None:
        """A code's dark squares, `size` mm across, from its upper left corner."""
        one = size / len(rows)
        square = f"h{one:.4f}v{one:.4f}h-{one:.4f}z"
        squares = "".join(
            f"M{_mm(corner[0] + x * one)} {_mm(corner[1] + y * one)}{square}"
            for y, row in enumerate(rows)
            for x, dark in enumerate(row)
            if dark
        )
        self._parts.append(f'<path d="{squares}" fill="#000"/>')

    def scaled(self, other: Picture, at: Point, factor: Point = (1.0, 1.0)) -> None:
        """Another picture on this one, its origin at the point, stretched by the factors."""
        move = f"translate({_mm(at[0])} {_mm(at[1])}) scale({factor[0]:.6g} {factor[1]:.6g})"
        self._parts.append(f'<g transform="{move}">{"".join(other._parts)}</g>')

    def clipped(self, other: Picture, at: Point, window: tuple[float, float, float, float]) -> None:
        """The part of another picture that lies in a window of its own (x, y, width, height), that
        window's corner at the point."""
        place = _at("x y width height", *at, *window[2:])
        view = " ".join(map(_mm, window))
        self._parts.append(f'<svg {place} viewBox="{view}">{"".join(other._parts)}</svg>')

    def svg(self) -> str:
        """The picture as a file of its own."""
        size = f'width="{_mm(self.width_mm)}mm" height="{_mm(self.height_mm)}mm"'
        view = f'viewBox="0 0 {_mm(self.width_mm)} {_mm(self.height_mm)}"'
        body = "".join(self._parts)
        hatch = _HATCH if _FILLS["hatch"] in body else ""
        return f'<svg xmlns="http://www.w3.org/2000/svg" {size} {view}>{hatch}{body}</svg>'

    def drawn(self, alternative: str) -> Drawing:
        """As part of a paper, with the same in words."""
        return Drawing(self.svg(), alternative, self.width_mm, self.height_mm)


def _ems(text: str) -> float:
    """About how wide a text is beside its size: our font is narrow, ideographs are square."""
    return sum(1.05 if east_asian_width(letter) in "WF" else 0.58 for letter in text)


def _at(names: str, *values: float) -> str:
    return " ".join(f'{n}="{_mm(v)}"' for n, v in zip(names.split(), values, strict=True))


def _mm(value: float) -> str:
    """Millimetres to a micrometre, without needless zeros."""
    return f"{value:.3f}".rstrip("0").rstrip(".") or "0"
