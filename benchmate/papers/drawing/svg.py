"""A drawing in millimetres: a few kinds of lines, hatching, short texts.

User units are millimetres, the origin is the upper left corner. Lines are never thinner than
0.13 mm, greys never darker than 11 %: what a tired printer still shows, and a pencil covers.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

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


class Drawing:
    """A page or picture of that many millimetres."""

    def __init__(self, width_mm: float, height_mm: float) -> None:
        self.width_mm, self.height_mm = width_mm, height_mm
        self._parts: list[str] = []
        self._hatched = False

    def line(self, start: Point, end: Point, kind: str = "edge") -> None:
        """A straight line."""
        (x1, y1), (x2, y2) = start, end
        at = f'x1="{_mm(x1)}" y1="{_mm(y1)}" x2="{_mm(x2)}" y2="{_mm(y2)}"'
        self._parts.append(f"<line {at} {STROKES[kind]}/>")

    def path(
        self,
        points: Sequence[Point],
        kind: str = "edge",
        *,
        closed: bool = False,
        fill: str = "none",
        name: str = "",
    ) -> None:
        """A line through points; `fill` is "none", "grey" or "hatch". `name` becomes its id."""
        steps = " L ".join(f"{_mm(x)} {_mm(y)}" for x, y in points)
        self._add_path(f"M {steps}{' Z' if closed else ''}", kind, fill, name)

    def slot(self, centre: Point, size: Point, corner: float, kind: str = "edge") -> None:
        """A rectangle with rounded corners about its centre."""
        x, y = centre[0] - size[0] / 2.0, centre[1] - size[1] / 2.0
        at = f'x="{_mm(x)}" y="{_mm(y)}" width="{_mm(size[0])}" height="{_mm(size[1])}"'
        self._parts.append(f'<rect {at} rx="{_mm(corner)}" fill="none" {STROKES[kind]}/>')

    def block(self, at: Point, size: Point) -> None:
        """A black rectangle, by its upper left corner."""
        place = f'x="{_mm(at[0])}" y="{_mm(at[1])}"'
        self._parts.append(
            f'<rect {place} width="{_mm(size[0])}" height="{_mm(size[1])}" fill="#000"/>'
        )

    def circle(self, centre: Point, diameter: float, kind: str = "edge") -> None:
        """A circle."""
        at = f'cx="{_mm(centre[0])}" cy="{_mm(centre[1])}" r="{_mm(diameter / 2.0)}"'
        self._parts.append(f'<circle {at} fill="none" {STROKES[kind]}/>')

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
    ) -> None:
        """A short text; its baseline is at the point."""
        weight = ' font-weight="bold"' if bold else ""
        font = f'font-family="{FONT}" font-size="{size_pt * PT_MM:.3f}"{weight}'
        place = f'x="{_mm(at[0])}" y="{_mm(at[1])}" text-anchor="{anchor}"'
        self._parts.append(f"<text {place} {font}>{escape(text)}</text>")

    def scaled(self, other: Drawing, at: Point, factor: Point = (1.0, 1.0)) -> None:
        """Another drawing on this one, its origin at the point, stretched by the factors."""
        self._hatched = self._hatched or other._hatched
        move = f"translate({_mm(at[0])} {_mm(at[1])}) scale({factor[0]:.6g} {factor[1]:.6g})"
        self._parts.append(f'<g transform="{move}">{"".join(other._parts)}</g>')

    def clipped(self, other: Drawing, at: Point, window: tuple[float, float, float, float]) -> None:
        """The part of another drawing that lies in a window of its own (x, y, width, height), that
        window's corner at the point."""
        self._hatched = self._hatched or other._hatched
        x, y, width, height = window
        self._parts.append(
            f'<svg x="{_mm(at[0])}" y="{_mm(at[1])}" width="{_mm(width)}" height="{_mm(height)}" '
            f'viewBox="{_mm(x)} {_mm(y)} {_mm(width)} {_mm(height)}">{"".join(other._parts)}</svg>'
        )

    def svg(self) -> str:
        """The drawing as a file of its own."""
        size = f'width="{_mm(self.width_mm)}mm" height="{_mm(self.height_mm)}mm"'
        box = f'viewBox="0 0 {_mm(self.width_mm)} {_mm(self.height_mm)}"'
        hatch = (
            '<defs><pattern id="hatch" width="2" height="2" patternUnits="userSpaceOnUse" '
            'patternTransform="rotate(45)"><line x1="0" y1="0" x2="0" y2="2" stroke="#000" '
            'stroke-width="0.3"/></pattern></defs>'
            if self._hatched
            else ""
        )
        body = "".join(self._parts)
        return f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box}>{hatch}{body}</svg>'

    def _add_path(self, steps: str, kind: str, fill: str, name: str) -> None:
        self._hatched = self._hatched or fill == "hatch"
        paint = {"none": "none", "grey": "#e3e3e3", "hatch": "url(#hatch)", "white": "#fff"}[fill]
        named = f' id="{escape(name)}"' if name else ""
        self._parts.append(f'<path{named} d="{steps}" fill="{paint}" {STROKES[kind]}/>')


def mirrored(points: Iterable[Point], about_x: float) -> list[Point]:
    """The points on the other side of an upright line, in the reverse order."""
    return [(2.0 * about_x - x, y) for x, y in points][::-1]


def _mm(value: float) -> str:
    """Millimetres to a micrometre, without needless zeros."""
    return f"{value:.3f}".rstrip("0").rstrip(".") or "0"
