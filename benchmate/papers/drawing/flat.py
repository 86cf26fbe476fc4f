"""Outlines at full size of what is routed, sawn or cut to a line: faces, tenons, spacers."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.papers.drawing.svg import Picture, Point
from benchmate.papers.figures import Figures
from benchmate.plan.shapes import Form, Hollow, PartShape, Side, Tenon

MARGIN = 14.0
_LOWER: dict[Side, Side] = {
    "top": "front",
    "underside": "back",
    "front": "underside",
    "back": "top",
    "first end": "underside",
    "other end": "underside",
}
"""Which face lies below as one looks at a face, its length (an end's width) from left to right."""


def face_of(shape: PartShape, side: Side) -> tuple[float, float]:
    """Length and width of a face as one looks at it, mm; 0, 0 of a part that isn't a block."""
    if shape.blank.kind != "block":
        return 0.0, 0.0
    length, width, height = shape.blank.size_mm
    if side in ("top", "underside"):
        return length, width
    return (length, height) if side in ("front", "back") else (width, height)


def face(
    shape: PartShape, side: Side, hollows: Sequence[Hollow], pieces: Sequence[str], figures: Figures
) -> Picture:
    """All that goes into one face, as one looks at it: edge of the face dashed, chamfer, outlines,
    the cutter's centres as crosses, least wall dotted; below, sizes and room for measured ones."""
    wide, high = face_of(shape, side)
    picture = Picture(
        max(wide, 110.0) + 2.0 * MARGIN, high + 2.0 * MARGIN + 6.0 * (len(hollows) + len(pieces))
    )
    middle = (MARGIN + wide / 2.0, MARGIN + high / 2.0)
    picture.slot(middle, (wide, high), 0.0, "hidden")
    if shape.chamfer_mm:
        inner = (wide - 2.0 * shape.chamfer_mm, high - 2.0 * shape.chamfer_mm)
        picture.slot(middle, inner, 0.0, "thin")
    picture.line((MARGIN, middle[1]), (MARGIN + wide, middle[1]), "axis")
    picture.line((middle[0], MARGIN), (middle[0], MARGIN + high), "axis")
    picture.text((middle[0], MARGIN - 3.0), figures.length(wide), 8.0, anchor="middle")
    picture.text((MARGIN + wide + 5.0, middle[1]), figures.length(high), 8.0, turned=True)
    left = "back" if side == "first end" else "front" if side == "other end" else "first end"
    picture.text((MARGIN - 2.0, middle[1] + 8.0), left, 7.0, turned=True)
    picture.text((MARGIN + wide, MARGIN + high + 4.0), f"{_LOWER[side]} edge", 7.0, anchor="end")
    across = -1.0 if side == "first end" else 1.0
    up = 1.0 if side in ("underside", "back") else -1.0
    y = MARGIN + high + 6.0
    for hollow in hollows:
        _outline(
            picture, hollow, (middle[0] + across * hollow.across_mm, middle[1] + up * hollow.up_mm)
        )
        name = hollow.name or hollow.purpose
        size = f"{figures.size(_outer(hollow))}, {figures.length(_deep(hollow))} deep"
        picture.text((MARGIN, y), f"{name}: {size}", 8.0, bold=True, room=max(wide, 110.0))
        y += 6.0
    for piece in pieces:
        picture.text((MARGIN, y), f"{piece}, measured: depth ________  wall ________", 8.0)
        y += 6.0
    return picture


def _outline(picture: Picture, hollow: Hollow, centre: Point) -> None:
    wall = hollow.wall_at_least_mm or 0.0
    if hollow.kind not in ("slot", "block"):
        for diameter in _outer(hollow):
            picture.circle(centre, diameter, "hidden" if hollow.purpose == "bore" else "edge")
        picture.cross(centre)
        if wall:
            picture.circle(centre, hollow.size_mm[0] + 2.0 * wall, "dotted")
        return
    long, wide = hollow.size_mm[:2]
    round_mm = min(long, wide) / 2.0 if hollow.kind == "slot" else 0.0
    corner = hollow.corner_mm if hollow.corner_mm is not None else round_mm
    picture.slot(centre, (long, wide), corner, "edge")
    if wall:
        picture.slot(centre, (long + 2.0 * wall, wide + 2.0 * wall), corner + wall, "dotted")
    x, y = max(0.0, long / 2.0 - corner), max(0.0, wide / 2.0 - corner)
    for at in dict.fromkeys((sx * x, sy * y) for sx in (-1, 1) for sy in (-1, 1)):
        picture.cross((centre[0] + at[0], centre[1] + at[1]))


def _outer(hollow: Hollow) -> tuple[float, ...]:
    if hollow.steps_mm:
        return tuple(diameter for diameter, _ in hollow.steps_mm)
    return hollow.size_mm[: 1 if hollow.kind in ("bore", "cylinder") else 2]


def _deep(hollow: Hollow) -> float:
    return hollow.down_mm + (hollow.steps_mm[-1][1] if hollow.steps_mm else hollow.size_mm[-1])


def tenon_on_round(round_mm: float, tenon: Tenon, figures: Figures) -> Picture:
    """A tenon on its round, from the end: its section with kerfs; and from the side, with the
    relief holes where the kerfs stop."""
    width, long = tenon.size_mm[0], tenon.size_mm[-1]
    flat = len(tenon.size_mm) == 3
    thick = tenon.size_mm[1] if flat else width
    tall = max(round_mm, long)
    picture = Picture(2.0 * MARGIN + max(round_mm + 20.0 + width, 120.0), 2.0 * MARGIN + tall)
    x, y = MARGIN + round_mm / 2.0, MARGIN + round_mm / 2.0
    picture.circle((x, y), round_mm, "hidden")
    picture.cross((x, y))
    if flat:
        picture.slot((x, y), (width, thick), 0.0)
    else:
        picture.circle((x, y), width)
    left = MARGIN + round_mm + 20.0
    picture.box((left, MARGIN), (left + width, MARGIN + long))
    deep = MARGIN + (tenon.kerf_deep_mm or long)
    for n in range(1, tenon.kerfs + 1):
        kerf = width * n / (tenon.kerfs + 1)
        at = x - width / 2.0 + kerf
        picture.line((at, y - thick / 2.0), (at, y + thick / 2.0))
        picture.line((left + kerf, MARGIN), (left + kerf, deep))
        if tenon.relief_hole_mm:
            picture.circle((left + kerf, deep), tenon.relief_hole_mm)
    said = f"tenon {figures.size(tenon.size_mm)} on {figures.length(round_mm)}"
    if tenon.kerfs:
        said += f"; {tenon.kerfs} kerfs {figures.length(deep - MARGIN)} deep"
    if tenon.relief_hole_mm:
        said += f", holes {figures.length(tenon.relief_hole_mm)}"
    picture.text((MARGIN, MARGIN + tall + 8.0), said, 8.0, bold=True)
    return picture


def taper(form: Form, figures: Figures) -> Picture:
    """A spacer that tapers: its broad side with the line between its halves, and its edge."""
    wide, narrow, thick, long = form.size_mm
    most = max(wide, narrow, 30.0)
    picture = Picture(2.0 * MARGIN + most + 20.0 + thick, 2.0 * MARGIN + long)
    middle, end = MARGIN + most / 2.0, MARGIN + long
    ends = ((wide, MARGIN), (narrow, end))
    right = [(middle + size / 2.0, y) for size, y in ends]
    left = [(middle - size / 2.0, y) for size, y in reversed(ends)]
    picture.path([*right, *left], "edge", "none", "spacer")
    picture.line((middle, MARGIN - 4.0), (middle, end + 4.0), "axis")
    for (size, _), y in zip(ends, (MARGIN - 5.0, end + 7.0), strict=True):
        picture.text((middle, y), figures.length(size), 8.0, anchor="middle")
    side = MARGIN + most + 20.0
    picture.box((side, MARGIN), (side + thick, end))
    picture.text((side, end + 7.0), f"{figures.length(thick)} thick", 8.0)
    picture.text((side + thick + 5.0, middle), f"{figures.length(long)} long", 8.0, turned=True)
    return picture
