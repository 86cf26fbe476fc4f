"""A section through a piece's filled part, the steel hatched: where not to drill or saw."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.lists.sizes import blank_size
from benchmate.papers.drawing.svg import Drawing as Picture
from benchmate.papers.drawing.svg import mirrored
from benchmate.papers.drawing.turned import profile_of
from benchmate.papers.sheet import Drawing
from benchmate.plan.plan import PartPlan
from benchmate.plan.shapes import Hollow, PartShape
from benchmate.quantities import Units, show_length

EDGE = 6.0
LARGEST_MM = 90.0


def section(parts: Sequence[PartPlan], units: Units = "metric") -> Drawing | None:
    """The first part with a void, cut through it; None where no part has a shape and a void."""
    part = next((p for p in parts if p.shape is not None and p.shape.voids), None)
    if part is None or part.shape is None:
        return None
    picture = _round(part.shape) if profile_of(part.shape) else _block(part.shape)
    factor = min(1.0, LARGEST_MM / picture.width_mm)
    small = Picture(picture.width_mm * factor, picture.height_mm * factor)
    small.scaled(picture, (0.0, 0.0), (factor, factor))
    length, wide, high = blank_size(part.shape)
    size = " × ".join(show_length(mm, units) for mm in (length, wide, high))
    alternative = f"Section through the {part.name}, {size}: the filled void is hatched."
    return Drawing(small.svg(), alternative, small.width_mm, small.height_mm)


def _round(shape: PartShape) -> Picture:
    profile = profile_of(shape)
    widest = max(d for _, d in profile) / 2.0
    length = profile[-1][0]
    picture = Picture(2.0 * widest + 2.0 * EDGE, length + 2.0 * EDGE)
    middle = EDGE + widest
    edge = [(middle + d / 2.0, EDGE + at) for at, d in profile]
    picture.path([*edge, *mirrored(edge, middle)], closed=True)
    for hollow in shape.voids:
        _steel(picture, hollow, middle, length)
    return picture


def _steel(picture: Picture, hollow: Hollow, middle: float, length: float) -> None:
    size, deep = hollow.size_mm, hollow.size_mm[-1]
    inner = size[1] / 2.0 if hollow.kind == "ring" else 0.0
    outer = size[0] / 2.0
    y1 = EDGE + hollow.down_mm
    if hollow.side == "other end":
        y1 = EDGE + length - hollow.down_mm - deep
    for sign in (-1.0, 1.0):
        left, right = middle + sign * inner, middle + sign * outer
        corners = [(left, y1), (right, y1), (right, y1 + deep), (left, y1 + deep)]
        picture.path(corners, "thin", closed=True, fill="hatch")


def _block(shape: PartShape) -> Picture:
    """Along the length, from the front: every void's length and depth."""
    length, _, high = blank_size(shape)
    picture = Picture(length + 2.0 * EDGE, high + 2.0 * EDGE)
    corners = [
        (EDGE, EDGE),
        (EDGE + length, EDGE),
        (EDGE + length, EDGE + high),
        (EDGE, EDGE + high),
    ]
    picture.path(corners, closed=True)
    for hollow in shape.voids:
        long, deep = hollow.size_mm[0], hollow.size_mm[-1]
        x = EDGE + length / 2.0 + hollow.across_mm - long / 2.0
        y = EDGE + hollow.down_mm
        if hollow.side == "underside":
            y = EDGE + high - hollow.down_mm - deep
        elif hollow.side != "top":
            long, deep = deep, min(hollow.size_mm[0], high)
            x, y = EDGE + length / 2.0 - long / 2.0, EDGE + (high - deep) / 2.0
        box = [(x, y), (x + long, y), (x + long, y + deep), (x, y + deep)]
        picture.path(box, "thin", closed=True, fill="hatch")
    return picture
