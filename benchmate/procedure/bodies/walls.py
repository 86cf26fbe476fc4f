"""The thinnest wall around a void, by the ready reckoner: to the outside and to other hollows."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from benchmate.plan.shapes import Side
from benchmate.procedure.bodies.bodies import Hollow, Worked, voids_of
from benchmate.procedure.bodies.finishing import finished_form
from benchmate.procedure.bodies.placing import placed, side_of
from benchmate.procedure.bodies.shapes import json_of, sizes_of
from benchmate.procedure.file.part_schema import Part, Shape, Void
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.wall.wall_outside import read_outside
from benchmate.reckon.wall.wall_pocket import read_pocket
from benchmate.reckon.wall.wall_thickness import walls

_FACE = re.compile(r"the (face|end) at ([xyz]) = (-?)([\d.]+)")
_HOLE = re.compile(r"cross-hole (\d+)")
_FACES: dict[tuple[str, bool], tuple[str, Side]] = {
    ("x", True): ("the end", "first end"),
    ("x", False): ("the end", "other end"),
    ("y", True): ("the long side", "front"),
    ("y", False): ("the long side", "back"),
    ("z", True): ("the underside", "underside"),
    ("z", False): ("the top", "top"),
}
"""Axis, and whether on its negative side, to the face in words and by name: a part lies with its
length along x, its width along y and its height along z."""


@dataclass(frozen=True, order=True)
class Found:
    """A wall: how thick, where it is in words, and under which face of the body it lies."""

    mm: float
    where: str
    side: Side | None = field(default=None, compare=False)


def least_wall_mm(part: Worked) -> Found | None:
    """The thinnest wall round any of the part's voids; None where there is none or the reckoner
    has no answer for the shapes."""
    found = (wall_of(part, hollow) for hollow in part.hollows)
    return min((w for w in found if w is not None), default=None)


def wall_of(part: Worked, hollow: Hollow) -> Found | None:
    """The thinnest wall round a void of a part; 0 where it runs into another void."""
    if part.built:
        return None
    void = voids_of(part.spec)[hollow.name]
    found = [*_to_outside(part.spec, hollow.name, void), *_to_holes(part.spec, void)]
    return min(found, default=None)


def _to_outside(spec: Part, name: str, void: Void) -> list[Found]:
    """To the faces and to the other voids. A ring's outer wall is that of the whole round it
    stands in."""
    try:
        others = {n: placed(spec, v) for n, v in voids_of(spec).items() if n != name}
        others |= {} if void.shape == "ring" else _cuts(spec, void)
        pocket = placed(spec, void)
        if void.shape == "ring":
            inner = ("outer_mm", "inner_mm")
            pocket = {k: v for k, v in pocket.items() if k not in inner}
            pocket |= {"shape": "cylinder", "diameter_mm": sizes_of(void)[0]}
        outside = finished_form(spec) if spec.shape == "turned" else spec
        every = walls_round(json_of(outside), pocket, others)
    except Refused:
        return []
    # It opens there, through whatever recess lies over it.
    return [wall for wall in every if wall.side != side_of(spec, void)]


def _cuts(spec: Part, void: Void) -> dict[str, dict[str, Any]]:
    """The part's named cuts from another face than the void's own, where it may open on purpose."""
    side = side_of(spec, void)
    return {c.name: placed(spec, c) for c in spec.minus if c.name and side_of(spec, c) != side}


def walls_round(
    outside: dict[str, Any], pocket: dict[str, Any], others: Mapping[str, dict[str, Any]]
) -> list[Found]:
    """All walls round a pocket: to the faces of the outside and to other hollows, by their names.

    Raises Refused for shapes that the reckoner has no answer for.
    """
    if others:
        outside = {**outside, "cross_holes": list(others.values())}
    every = walls(read_outside(outside), read_pocket(pocket))
    names = list(others)
    return [
        Found(max(0.0, wall.thickness_mm), _said(str(wall.where), names), _side(str(wall.where)))
        for wall in every
    ]


def _side(where: str) -> Side | None:
    found = _FACE.search(where)
    if found is None:
        return None
    return _FACES[found[2], bool(found[3]) or float(found[4]) == 0.0][1]


def _said(where: str, others: list[str]) -> str:
    """The reckoner's surfaces as a maker who has the part in hand calls them."""
    where = re.sub(r"the pocket( \d+)?", "the void", where.partition(", nearest")[0])
    where = _HOLE.sub(lambda found: f"the {others[int(found[1]) - 1]}", where)
    return _FACE.sub(lambda found: _FACES[found[2], found[3] == "-"][0], where)


def _to_holes(spec: Part, void: Void) -> list[Found]:
    """Between a ring and the holes that run up its middle."""
    if void.shape != "ring":
        return []
    _, inner, deep = sizes_of(void)
    top = void.down + deep
    beside = [h for h in spec.minus if _is_coaxial(h) and h.down < top]
    return [Found((inner - sizes_of(h)[0]) / 2.0, "to the hole in the middle") for h in beside]


def _is_coaxial(hole: Shape) -> bool:
    return hole.shape in ("bore", "cylinder") and not hole.offset and hole.into in ("", "length")
