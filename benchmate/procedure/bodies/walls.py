"""The thinnest wall around a void, by the ready reckoner: to the outside and to other hollows."""

from __future__ import annotations

import re

from benchmate.procedure.bodies.bodies import Hollow, Worked, voids_of
from benchmate.procedure.bodies.placing import placed
from benchmate.procedure.bodies.shapes import json_of, sizes_of
from benchmate.procedure.file.schema import Part, Shape, Void
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.wall.wall_outside import read_outside
from benchmate.reckon.wall.wall_pocket import read_pocket
from benchmate.reckon.wall.wall_thickness import walls

_FACE = re.compile(r"the (face|end) at ([xyz]) = (-?)[\d.]+")
_HOLE = re.compile(r"cross-hole (\d+)")
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
    """The thinnest wall round any of the part's voids, and where it is; None where there is none
    or the reckoner has no answer for the shapes."""
    walls_mm = (wall_of(part, hollow) for hollow in part.hollows)
    return min((w for w in walls_mm if w is not None), default=None)


def wall_of(part: Worked, hollow: Hollow) -> tuple[float, str] | None:
    """The thinnest wall round a void and where it is; 0 where it runs into another void."""
    void = voids_of(part.spec)[hollow.name]
    found = (_to_outside(part.spec, hollow.name, void), _to_holes(part.spec, void))
    return min((w for w in found if w is not None), default=None)


def _to_outside(spec: Part, name: str, void: Void) -> tuple[float, str] | None:
    """To the faces and to the other voids. A ring's outer wall is that of the whole round it
    stands in."""
    others = {n: placed(spec, v) for n, v in voids_of(spec).items() if n != name}
    try:
        if void.shape == "ring":
            outer, _, deep = sizes_of(void)
            whole = {"shape": "cylinder", "diameter_mm": outer, "length_mm": deep}
            pocket = {**whole, "at_mm": [void.down, 0, 0], "along": "x"}
        else:
            pocket = placed(spec, void)
        outside = {**json_of(spec), **({"cross_holes": list(others.values())} if others else {})}
        every = walls(read_outside(outside), read_pocket(pocket))
    except Refused:
        return None
    least = min(every, key=lambda wall: wall.thickness_mm)
    return max(0.0, least.thickness_mm), _said(str(least.where), list(others))


def _said(where: str, others: list[str]) -> str:
    """The reckoner's surfaces as a maker who has the part in hand calls them."""
    where = re.sub(r"the pocket( \d+)?", "the void", where.partition(", nearest")[0])
    where = _HOLE.sub(lambda found: f"the {others[int(found[1]) - 1]}", where)
    return _FACE.sub(lambda found: _FACES[found[2], found[3] == "-"], where)


def _to_holes(spec: Part, void: Void) -> tuple[float, str] | None:
    """Between a ring and the holes that run up its middle."""
    if void.shape != "ring":
        return None
    _, inner, deep = sizes_of(void)
    top = void.down + deep
    beside = [h for h in spec.minus if _is_coaxial(h) and h.down < top]
    walls_mm = [(inner - sizes_of(h)[0]) / 2.0 for h in beside]
    return (min(walls_mm), "to the hole in the middle") if walls_mm else None


def _is_coaxial(hole: Shape) -> bool:
    return hole.shape in ("bore", "cylinder") and not hole.offset and hole.into in ("", "length")
