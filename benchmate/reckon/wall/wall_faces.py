"""The flat faces that bound a block or prism, its tapers and chamfers among them."""

import math
from collections.abc import Sequence
from itertools import product

import msgspec

from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.solids.grammar import LONGEST_MM, numbers_of
from benchmate.reckon.solids.leaves import Prism
from benchmate.reckon.solids.outlines import Outline, Polygon
from benchmate.reckon.solids.placing import Vec, dot, moved

_ROUND_STEPS = 360


class Face(msgspec.Struct, frozen=True):
    """A flat face: its outward normal of length one, and how far it lies along that.

    Chamfers, and the flats that stand for a rounded side, aren't drawn on.
    """

    name: str
    normal: Vec
    offset: float
    is_drawn: bool = True


def faces_of(fields: Fields, leaf: Prism, chamfer: float) -> tuple[Face, ...]:
    """Ends, sides and chamfers of a block (which may taper), prism or slot, along x from 0.

    Raises Refused for a hollow outline, a taper or chamfer where there can't be one.
    """
    ends = (
        Face("the face at x = 0", (-1.0, 0.0, 0.0), 0.0),
        Face(f"the face at x = {leaf.length:g}", (1.0, 0.0, 0.0), leaf.length),
    )
    is_block = fields.word("shape", ("block", "slot", "prism")) == "block"
    if "end_size_mm" in fields.data and not is_block:
        raise Refused("outside.end_size_mm is for a block that tapers")
    if is_block:
        return _chamfered(ends, _block_sides(fields, leaf.length), chamfer)
    if isinstance(leaf.outline, Polygon):
        return _chamfered(ends, _polygon_sides(leaf.outline), chamfer)
    if chamfer > 0.0:
        raise Refused("outside.chamfer_mm is for a block, prism or turned piece")
    return ends + _rounded_sides(leaf.outline)


def _block_sides(fields: Fields, long: float) -> tuple[Face, ...]:
    """The four sides, in order around the piece."""
    size = numbers_of(fields, "size_mm", 3)[1:]
    end = numbers_of(fields, "end_size_mm", 2) if "end_size_mm" in fields.data else size
    sides = []
    for sign in (1.0, -1.0):
        for axis, start, last in zip("yz", size, end, strict=True):
            lean = (last - start) / 2.0
            slope = math.hypot(lean, long)
            across = sign * long / slope
            normal = (-lean / slope, across, 0.0) if axis == "y" else (-lean / slope, 0.0, across)
            name = f"the face at {axis} = {sign * start / 2.0:g}"
            if last != start:
                name += f" to {sign * last / 2.0:g}"
            sides.append(Face(name, normal, start / 2.0 * long / slope))
    return tuple(sides)


def _polygon_sides(outline: Polygon) -> tuple[Face, ...]:
    sides = []
    for number, (a, b) in enumerate(outline.straight_edges, start=1):
        wide = math.dist(a, b)
        n = ((b[1] - a[1]) / wide, -(b[0] - a[0]) / wide)
        offset = n[0] * a[0] + n[1] * a[1]
        if any(n[0] * y + n[1] * z > offset + 1e-9 * wide for y, z in outline.points):
            raise Refused("outside.outline_mm has a hollow corner; the wall needs a convex outline")
        sides.append(Face(f"side {number}", (0.0, *n), offset))
    return tuple(sides)


def _rounded_sides(outline: Outline) -> tuple[Face, ...]:
    sides = []
    for step in range(_ROUND_STEPS):
        angle = 2.0 * math.pi * step / _ROUND_STEPS
        n = (math.cos(angle), math.sin(angle))
        point = outline.support(*n)
        sides.append(
            Face("the rounded side", (0.0, *n), n[0] * point[0] + n[1] * point[1], is_drawn=False)
        )
    return tuple(sides)


def _chamfered(ends: tuple[Face, ...], sides: tuple[Face, ...], leg: float) -> tuple[Face, ...]:
    """The faces, and one at each edge that takes `leg` off both faces there."""
    faces = (*ends, *sides)
    if leg <= 0.0:
        return faces
    around = [(side, sides[index - 1]) for index, side in enumerate(sides)]
    edges = [*around, *product(ends, sides)]
    all_faces = (*faces, *(_at_edge(one, two, leg) for one, two in edges))
    if any(facet(face, all_faces) is None for face in faces):
        raise Refused(f"outside.chamfer_mm of {leg:g} mm leaves nothing of a face")
    return all_faces


def _at_edge(one: Face, two: Face, leg: float) -> Face:
    between = dot(one.normal, two.normal)
    both = moved(one.normal, two.normal)
    size = math.sqrt(2.0 + 2.0 * between)
    normal = (both[0] / size, both[1] / size, both[2] / size)
    depth = leg * math.sqrt(max(0.0, 1.0 - between) / 2.0)
    name = f"the chamfer between {one.name} and {two.name}"
    return Face(name, normal, (one.offset + two.offset) / size - depth, is_drawn=False)


class Facet(msgspec.Struct, frozen=True):
    """A convex flat figure, by its corners."""

    corners: tuple[Vec, ...]

    def support(self, n: Vec) -> Vec:
        """The corner that lies furthest."""
        return max(self.corners, key=lambda p: dot(n, p))


def facet(face: Face, faces: Sequence[Face]) -> Facet | None:
    """The part of a face's plane that bounds the piece; None when other faces leave none of it."""
    across = min(
        ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
        key=lambda axis: abs(dot(axis, face.normal)),
    )
    one = _cross(face.normal, across)
    two = _cross(face.normal, one)
    middle = (
        face.normal[0] * face.offset,
        face.normal[1] * face.offset,
        face.normal[2] * face.offset,
    )
    size = 4.0 * LONGEST_MM
    square = [
        moved(moved(middle, one, a * size), two, b * size)
        for a, b in ((1, 1), (-1, 1), (-1, -1), (1, -1))
    ]
    return clipped(square, face, faces)


def clipped(corners: Sequence[Vec], face: Face, faces: Sequence[Face]) -> Facet | None:
    """What the other faces leave of a convex figure in a face's plane; None for nothing."""
    left = list(corners)
    for other in faces:
        if other is not face and left:
            left = _cut(left, other)
    return Facet(tuple(left)) if len(left) > 2 else None


def _cut(corners: list[Vec], face: Face) -> list[Vec]:
    kept: list[Vec] = []
    for index, point in enumerate(corners):
        before = corners[index - 1]
        here, there = (dot(face.normal, p) - face.offset for p in (point, before))
        if (here > 0.0) != (there > 0.0):
            share = there / (there - here)
            kept.append(moved(before, moved(point, before, -1.0), share))
        if here <= 0.0:
            kept.append(point)
    return kept


def _cross(a: Vec, b: Vec) -> Vec:
    n = (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
    size = math.hypot(*n)
    return (n[0] / size, n[1] / size, n[2] / size)
