"""How large a part is: as it is weighed, when it is done, and as it is sawn.

Allowances are common practice of a small shop without a source; a part's own `rough` wins.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchmate.plan.shapes import Form, PartShape

Size = tuple[float, float, float]
"""Length along the grain, width, thickness, mm."""
_ROUND = ("cylinder", "capsule", "frustum", "dome", "turned", "ring")
USUAL_STOCK_MM = (4.0, 6.0, 10.0, 13.0, 20.0, 26.0, 33.0, 40.0, 52.0, 65.0, 80.0, 105.0, 130.0)
"""Thicknesses that wood is sold in, planed thin stock to 5 inch turning squares."""


@dataclass(frozen=True)
class Allowances:
    """What is added to a part's size to saw it, and what the saw itself takes, mm."""

    along_mm: float = 15.0
    across_mm: float = 6.0
    thick_mm: float = 3.0
    turning_mm: float = 4.0
    """On the diameter of what is turned, from a squared blank."""
    chuck_mm: float = 30.0
    """On the length of what is turned, for the chuck and the parting tool."""
    kerf_mm: float = 3.0
    trim_mm: float = 20.0
    """Off each end of a board."""


def is_round(form: Form) -> bool:
    """Whether it is turned."""
    return form.kind in _ROUND


def extent(form: Form) -> Size:
    """The box round a form: length, width, thickness."""
    size = form.size_mm
    match form.kind:
        case "turned":
            wide = max((d for _, d in form.profile_mm), default=0.0)
            return form.profile_mm[-1][0], wide, wide
        case "shaped":
            return (
                form.stations_mm[-1][0],
                max(s[1] for s in form.stations_mm),
                max(s[2] for s in form.stations_mm) + form.bend_mm,
            )
        case "block":
            return size[0], size[1], size[2]
        case "slot":
            return size[2], size[0], size[1]
        case "taper":
            return size[3], max(size[0], size[1]), size[2]
        case "bore" if form.steps_mm:
            wide = max(d for d, _ in form.steps_mm)
            return max(deep for _, deep in form.steps_mm), wide, wide
    wide = max(size[:-1]) if form.kind in ("frustum", "ring") else size[0]
    return size[-1], wide, wide


def blank_size(shape: PartShape) -> Size:
    """As it is weighed before the first step, with what stands on its end."""
    length, width, thick = extent(shape.blank)
    return length + sum(extent(more)[0] for more in shape.adds), width, thick


def finished_size(shape: PartShape) -> Size:
    """When it is done."""
    profile = shape.finished_profile_mm
    if profile:
        wide = max(d for _, d in profile)
        return profile[-1][0], wide, wide
    if len(shape.finished_mm) == 3:
        return shape.finished_mm[0], shape.finished_mm[1], shape.finished_mm[2]
    if len(shape.finished_mm) == 2 and is_round(shape.blank):
        diameter, length = shape.finished_mm
        return length, diameter, diameter
    return blank_size(shape)


def rough_size(shape: PartShape, allow: Allowances) -> Size:
    """To saw it to: the part's own rough size, else the blank's with allowances.

    A thin part lies flat: its least size is its thickness, its greatest across the grain its width.
    """
    if len(shape.rough_mm) == 3:
        return shape.rough_mm[0], shape.rough_mm[1], shape.rough_mm[2]
    length, width, thick = blank_size(shape)
    if shape.metal:
        return length, width, thick
    if is_round(shape.blank):
        return length + allow.chuck_mm, width + allow.turning_mm, thick + allow.turning_mm
    return length + allow.along_mm, width + allow.across_mm, thick + allow.thick_mm


def stock_thickness(thick_mm: float) -> float:
    """The next usual thickness of stock; the size itself beyond all of them."""
    return next((s for s in USUAL_STOCK_MM if s >= thick_mm - 1e-9), thick_mm)
