"""Walls in a glued-up body: how much wood lies between a void and the outside, a gap, or another
void in the part beside it, and how near the saw may come."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from benchmate.plan.shapes import Side
from benchmate.procedure.bodies.bodies import Worked, voids_of
from benchmate.procedure.bodies.built import Assembled, spots
from benchmate.procedure.bodies.gaps import Between, Layer
from benchmate.procedure.bodies.placing import placed, side_named
from benchmate.procedure.bodies.walls import Found, walls_round
from benchmate.reckon.asking.frame import Refused

THROUGH: tuple[Side, ...] = ("front", "back")
"""A gap runs from one to the other."""
_FLIPPED = {"y": "-y", "-y": "y", "z": "-z", "-z": "z"}


@dataclass(frozen=True)
class BodyWalls:
    """The thinnest wall round each void of a body's parts, and what may come off each face."""

    least: Mapping[tuple[str, str], Found]
    """Part and void (a gap that is filled: the body's name and its own) to its thinnest wall."""
    faces: Mapping[Side, float]
    """The thinnest wall under each face of the body, in mm."""


def walls_in(body: Assembled, parts: Mapping[str, Worked]) -> BodyWalls:
    """The walls of a body; voids whose shapes the reckoner has no answer for are left out."""
    hollows = {
        (name, void): in_body(placed(parts[name].spec, shape), start, layer)
        for name, layer, start in spots(body)
        for void, shape in voids_of(parts[name].spec).items()
    }
    gaps = {(body.name, gap.name): gap_json(gap) for gap in body.gaps}
    every = {**hollows, **gaps}
    outside = {"shape": "block", "size_mm": list(body.size_mm)}
    least: dict[tuple[str, str], Found] = {}
    faces: dict[Side, float] = {}
    filled = {(body.name, gap.name) for gap in body.filled}
    for key, pocket in every.items():
        others = {_called(k): other for k, other in every.items() if k != key}
        for wall in _round(outside, pocket, others):
            if key in gaps and wall.side in THROUGH:
                continue
            if key in filled or key not in gaps:
                least[key] = min(least.get(key, wall), wall)
            # The saw may come no nearer to a mortise than to a void.
            if wall.side is not None:
                faces[wall.side] = min(faces.get(wall.side, wall.mm), wall.mm)
    return BodyWalls(least, faces)


def _round(
    outside: dict[str, Any], pocket: dict[str, Any], others: Mapping[str, dict[str, Any]]
) -> list[Found]:
    try:
        return walls_round(outside, pocket, others)
    except Refused:
        return []


def _called(key: tuple[str, str]) -> str:
    part, void = key
    return f"{void} of the {part}" if void else f"void of the {part}"


def in_body(data: dict[str, Any], start: float, layer: Layer) -> dict[str, Any]:
    """A hollow of a part where it lies in the body."""
    x, y, z = data["at_mm"]
    along = data["along"]
    middle = layer.from_mm + layer.thick_mm / 2.0
    if layer.turned:
        return {**data, "at_mm": [x + start, -y, middle - z], "along": _FLIPPED.get(along, along)}
    return {**data, "at_mm": [x + start, y, middle + z]}


def gap_json(gap: Between) -> dict[str, Any]:
    """A gap in its body, through it from front to back; sloped where one of its parts is."""
    layer, half = gap.layer, gap.deep_mm / 2.0
    first, last = gap.starts_mm, gap.starts_mm + gap.narrow_mm
    more = gap.wide_mm - gap.narrow_mm
    if gap.spec.slopes in layer.parts and layer.parts.index(gap.spec.slopes) < layer.gap_at(first):
        wide = (first - more, last)
    else:
        wide = (first, last + more)
    narrow = (first, last)
    at_front, at_back = (
        (wide, narrow) if side_named(gap.spec.wide_on) == "front" else (narrow, wide)
    )
    return {
        "shape": "prism",
        "outline_mm": [
            [at_front[0], -half],
            [at_front[1], -half],
            [at_back[1], half],
            [at_back[0], half],
        ],
        "length_mm": layer.thick_mm,
        "at_mm": [0.0, 0.0, layer.from_mm],
        "along": "z",
    }
