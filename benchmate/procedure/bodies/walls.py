"""The thinnest wall around a void, by the ready reckoner."""

from __future__ import annotations

import re

from benchmate.procedure.bodies.bodies import Worked
from benchmate.procedure.bodies.shapes import json_of, placed, sizes_of
from benchmate.procedure.file.schema import Part, Shape
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.wall.wall_outside import read_outside
from benchmate.reckon.wall.wall_pocket import read_pocket
from benchmate.reckon.wall.wall_thickness import thinnest, walls

_FACE = re.compile(r"the (face|end) at ([xyz]) = (-?)[\d.]+")
_FACES = {
    ("x", False): "the end",
    ("x", True): "the end",
    ("y", False): "the long side",
    ("y", True): "the long side",
    ("z", False): "the top",
    ("z", True): "the underside",
}
"""A part lies with its length along x, its width along y and its height along z."""


def least_wall_mm(part: Worked) -> tuple[float, str] | None:
    """The thinnest wall and where it is; None where the reckoner has no answer for the shapes."""
    spec = part.spec
    if spec.void is None:
        return None
    found = [w for w in (_to_outside(spec), _to_holes(spec)) if w is not None]
    return min(found, default=None)


def _to_outside(spec: Part) -> tuple[float, str] | None:
    """A ring's outer wall is that of the whole round it stands in."""
    void = spec.void
    assert void is not None
    try:
        if void.shape == "ring":
            outer, _, deep = sizes_of(void)
            whole = {"shape": "cylinder", "diameter_mm": outer, "length_mm": deep}
            pocket = {**whole, "at_mm": [void.down, 0, 0], "along": "x"}
        else:
            pocket = placed(spec, void)
        least = thinnest(walls(read_outside(json_of(spec)), read_pocket(pocket)), 0.0)
    except Refused:
        return None
    return least.thickness_mm, _said(str(least.where))


def _said(where: str) -> str:
    """The reckoner's surfaces as a maker who has the part in hand calls them."""
    where = where.partition(", nearest")[0].replace("the pocket", "the void")
    return _FACE.sub(lambda found: _FACES[found[2], found[3] == "-"], where)


def _to_holes(spec: Part) -> tuple[float, str] | None:
    """Between a ring and the holes that run up its middle."""
    void = spec.void
    assert void is not None
    if void.shape != "ring":
        return None
    _, inner, deep = sizes_of(void)
    top = void.down + deep
    beside = [h for h in spec.minus if _is_coaxial(h) and h.down < top]
    walls_mm = [(inner - sizes_of(h)[0]) / 2.0 for h in beside]
    return (min(walls_mm), "to the hole in the middle") if walls_mm else None


def _is_coaxial(hole: Shape) -> bool:
    return hole.shape in ("bore", "cylinder") and not hole.offset and hole.into in ("", "length")
