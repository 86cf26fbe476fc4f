"""A section through a piece's filled part, the steel hatched: where not to drill or saw."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.lists.sizes import blank_size
from benchmate.papers.drawing.svg import Picture
from benchmate.papers.drawing.turned import Profile, profile_of, zones
from benchmate.papers.figures import Figures
from benchmate.papers.sheet import Drawing
from benchmate.plan.plan import PartPlan
from benchmate.plan.shapes import PartShape

EDGE = 4.0
LARGEST_MM = 90.0


def section(parts: Sequence[PartPlan], figures: Figures) -> Drawing | None:
    """The first part with a void, cut through it; None where no part has a shape and a void."""
    part = next((p for p in parts if p.shape is not None and p.shape.voids), None)
    if part is None or part.shape is None:
        return None
    profile = profile_of(part.shape)
    picture = _round(part.shape, profile) if profile else _block(part.shape)
    factor = min(1.0, LARGEST_MM / picture.width_mm)
    small = Picture(picture.width_mm * factor, picture.height_mm * factor)
    small.scaled(picture, (0.0, 0.0), (factor, factor))
    size = figures.size(blank_size(part.shape))
    return small.drawn(f"Section through the {part.name}, {size}: the filled void is hatched.")


def _round(shape: PartShape, profile: Profile) -> Picture:
    widest, length = max(d for _, d in profile) / 2.0, profile[-1][0]
    picture = Picture(2.0 * (widest + EDGE), length + 2.0 * EDGE)
    middle = EDGE + widest
    edge = [(middle + d / 2.0, EDGE + at) for at, d in profile]
    other = [(2.0 * middle - x, y) for x, y in reversed(edge)]
    picture.path([*edge, *other], fill="none")
    for hollow in shape.voids:
        for near, far, inner, outer in zones(hollow, length):
            for sign in (-0.5, 0.5):
                corners = (middle + sign * inner, EDGE + near), (middle + sign * outer, EDGE + far)
                picture.box(*corners, "thin", "hatch")
    return picture


def _block(shape: PartShape) -> Picture:
    """Along the length, from the front: every void's length and depth."""
    length, _, high = blank_size(shape)
    picture = Picture(length + 2.0 * EDGE, high + 2.0 * EDGE)
    picture.box((EDGE, EDGE), (EDGE + length, EDGE + high))
    for hollow in shape.voids:
        long, deep = hollow.size_mm[0], hollow.size_mm[-1]
        x, y = length / 2.0 + hollow.across_mm - long / 2.0, hollow.down_mm
        if hollow.side == "underside":
            y = high - hollow.down_mm - deep
        elif hollow.side != "top":
            long, deep = deep, min(hollow.size_mm[0], high)
            x, y = (length - long) / 2.0, (high - deep) / 2.0
        picture.box((EDGE + x, EDGE + y), (EDGE + x + long, EDGE + y + deep), "thin", "hatch")
    return picture
