"""Walls in a glued-up body: how much wood lies between a void and the outside, a gap, a cut, or
another void in the part beside it, and how near the saw may come."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from benchmate.plan.shapes import Side
from benchmate.procedure.bodies.bodies import Worked, voids_of
from benchmate.procedure.bodies.built import Assembled, spots
from benchmate.procedure.bodies.finishing import ends_off_mm, finished_form
from benchmate.procedure.bodies.gaps import Between, Layer
from benchmate.procedure.bodies.placing import (
    AXIS,
    Placed,
    extent_of,
    moved,
    placed,
    side_named,
    side_of,
)
from benchmate.procedure.bodies.shapes import json_of
from benchmate.procedure.bodies.walls import (
    CHAMFER,
    Found,
    cuts,
    pocket_of,
    wall_asked,
    walls_round,
)
from benchmate.procedure.file.part_schema import Part
from benchmate.reckon.asking.frame import Refused

THROUGH: tuple[Side, ...] = ("front", "back")
"""A gap runs from one to the other."""
_FLIPPED = {"y": "-y", "-y": "y", "z": "-z", "-z": "z"}
_OVER: dict[Side, Side] = {"top": "underside", "underside": "top", "front": "back", "back": "front"}
"""Which face looks where when a part is turned over about its length."""
Key = tuple[str, str]
"""A part and its void; the body's name and its gap."""


@dataclass(frozen=True)
class ToOutside:
    """The wall from one hollow to a face, or to a chamfer, once the body is shaped."""

    left: Found
    off_mm: float
    """What comes off that face."""
    is_void: bool
    own_mm: float
    body_mm: float
    """What the file asks for round this void, and over every hollow of the body; 0: nothing."""

    @property
    def asked_mm(self) -> float:
        """What is to stay there."""
        return max(self.own_mm, self.body_mm)


@dataclass(frozen=True)
class BodyWalls:
    """The thinnest wall round each void of a body's parts as it is glued up, and what the saw and
    the plane leave over each of its hollows."""

    least: Mapping[Key, Found]
    """Of a part's void, or of a gap that is filled."""
    outer: Sequence[ToOutside]

    @property
    def saw_mm(self) -> dict[Side, float]:
        """How much may be taken off each face of what was glued up."""
        found: dict[Side, float] = {}
        for wall in self.outer:
            if (side := wall.left.side) is not None:
                room = max(0.0, wall.left.mm + wall.off_mm - wall.asked_mm)
                found[side] = min(found.get(side, room), room)
        return found


class _Lying(NamedTuple):
    """A hollow where it lies in the body, the wall asked for round it, the face it opens on."""

    key: Key
    placed: Placed
    wall: str
    opens: Side | None


def walls_in(body: Assembled, parts: Mapping[str, Worked]) -> BodyWalls:
    """The walls of a body; voids whose shapes the reckoner has no answer for are left out.

    All is reckoned where the shaped body lies: half of what comes off, off each side.
    """
    plain = body.plain
    back, shaped = -ends_off_mm(plain), finished_form(plain)
    off = [(a - b) / 2.0 for a, b in zip(body.size_mm, extent_of(shaped), strict=True)]
    outside = {**json_of(shaped), "chamfer_mm": plain.chamfer}
    every = [h._replace(placed=moved(h.placed, back)) for h in _hollows(body, parts)]
    body_mm = wall_asked(body.spec.wall) or 0.0
    least: dict[Key, Found] = {}
    outer: list[ToOutside] = []
    for hollow in every:
        others = [(_called(h.key), h.placed) for h in every if h is not hollow]
        others += [(n, moved(cut, back)) for n, cut in _cuts(body, parts, hollow.key)]
        others += _recesses(plain, hollow)
        is_gap = hollow.opens is None
        is_void = not is_gap or hollow.key[1] in {gap.name for gap in body.filled}
        for wall in _round(outside, hollow.placed, others):
            is_outer = wall.side is not None or wall.where.endswith(CHAMFER)
            # A gap opens in front and at the back; the saw may come no nearer to it elsewhere.
            if is_outer and is_gap and wall.side in (*THROUGH, None):
                continue
            taken = off[AXIS[wall.side]] if wall.side is not None else 0.0
            if is_outer:
                own_mm = wall_asked(hollow.wall) or 0.0
                outer.append(ToOutside(wall, taken, is_void, own_mm, body_mm))
            if is_void and not wall.where.endswith(CHAMFER):
                glued_up = replace(wall, mm=max(0.0, wall.mm + taken))
                least[hollow.key] = min(least.get(hollow.key, glued_up), glued_up)
    return BodyWalls(least, outer)


def _hollows(body: Assembled, parts: Mapping[str, Worked]) -> Iterator[_Lying]:
    for name, layer, start in spots(body):
        spec = parts[name].spec
        for void, shape in voids_of(spec).items():
            pocket, side = in_body(pocket_of(spec, shape), start, layer), side_of(spec, shape)
            opens = _OVER.get(side, side) if layer.turned else side
            yield _Lying((name, void), pocket, shape.wall, opens)
    for gap in body.gaps:
        yield _Lying((body.name, gap.name), gap_json(gap), gap.spec.wall, None)


def _cuts(body: Assembled, parts: Mapping[str, Worked], key: Key) -> Iterator[tuple[str, Placed]]:
    """What is cut into the parts, but not where a part's own void opens on purpose."""
    for name, layer, start in spots(body):
        spec = parts[name].spec
        void = voids_of(spec)[key[1]] if name == key[0] else None
        for cut, hollow in cuts(spec, void):
            yield f"{cut} of the {name}", in_body(hollow, start, layer)


def _recesses(plain: Part, hollow: _Lying) -> Iterator[tuple[str, Placed]]:
    """What is cut into the body, but not over the hollow's own mouth."""
    form = finished_form(plain)
    for name, cut in plain.recesses.items():
        if side_of(plain, cut) != hollow.opens:
            yield name, placed(form, cut)


def _round(
    outside: dict[str, Any], pocket: Placed, others: Sequence[tuple[str, Placed]]
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
