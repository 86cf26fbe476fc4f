"""How much wood is left between a pocket and the outside, and where it is thinnest.

A flat face and a pocket: the face's distance less how far the pocket reaches towards it, exact for
any convex pocket. A turned surface: the distance between outlines in the half-plane of x and the
distance from the axis. A cross-hole: the distance between two convex solids.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import msgspec

from benchmate.quantities.worded import Worded, millimetres
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.solids.apart import gap
from benchmate.reckon.solids.placing import NEAR_MM, Vec, dot, less
from benchmate.reckon.wall.wall_faces import Face, clipped
from benchmate.reckon.wall.wall_outside import Outside
from benchmate.reckon.wall.wall_pocket import Hollow

Flat2 = tuple[float, float]
TURNED = "the turned surface"


class Wall(msgspec.Struct, frozen=True):
    """A wall's thickness, between which surfaces, and where the pocket comes nearest.

    `endwise` is how far the wall lies along the pocket's depth (1: behind its bottom, 0: beside
    it), which says how the tolerances count. Sanding the outside leaves a wall to a cross-hole.
    """

    thickness_mm: float
    hollow: str
    surface: str
    at: tuple[float, ...]
    endwise: float
    is_sanded: bool = True

    def after_mm(self, still_off_mm: float) -> float:
        """What is left of it when so much has come off the outside."""
        return self.thickness_mm - still_off_mm if self.is_sanded else self.thickness_mm

    @property
    def where(self) -> str:
        """The place in words."""
        names = ("x", "y", "z") if len(self.at) == 3 else ("x", "radius")
        place = {n: millimetres(v) for n, v in zip(names, self.at, strict=True)}
        template = ", ".join(f"{name} {{{name}}}" for name in names)
        return Worded(
            "between the {hollow} and {surface}, nearest at " + template,
            hollow=self.hollow,
            surface=self.surface,
            **place,
        )


class Tolerances(msgspec.Struct, frozen=True):
    """Bounds, plus or minus, in mm, each spread evenly."""

    outside_mm: float = 0.0
    pocket_mm: float = 0.0
    position_mm: float = 0.0
    depth_mm: float = 0.0

    def u_mm(self, endwise: float) -> float:
        """The standard uncertainty of a wall.

        A size's tolerance is shared by two sides, since the pocket is laid out from the middle;
        behind the bottom the outside's counts whole, and the depth's with it.
        """
        beside = math.sqrt(max(0.0, 1.0 - endwise * endwise))
        outside = self.outside_mm * max(endwise, beside / 2.0)
        return math.hypot(
            outside,
            self.pocket_mm / 2.0 * beside,
            self.position_mm * beside,
            self.depth_mm * endwise,
        ) / math.sqrt(3.0)


def walls(outside: Outside, pocket: Sequence[Hollow]) -> list[Wall]:
    """Every wall, from the thinnest on; one that isn't there is below zero."""
    found: list[Wall] = []
    mouth = mouth_face(outside, pocket[0])
    for hollow in pocket:
        found.extend(
            _to_face(face, hollow, outside, mouth) for face in outside.faces if face is not mouth
        )
        if outside.profile:
            found.append(_to_turned(outside, hollow))
        found.extend(_to_holes(outside, hollow))
    return sorted(found, key=lambda wall: wall.thickness_mm)


def mouth_face(outside: Outside, main: Hollow) -> Face | None:
    """The flat face that the pocket is cut from; None when it is closed in or cut from a side."""
    for face in outside.faces:
        faces_it = dot(face.normal, main.axis) < -0.5 and face.is_drawn
        if faces_it and dot(face.normal, main.mouth_at) >= face.offset - NEAR_MM:
            return face
    return None


def _to_face(face: Face, hollow: Hollow, outside: Outside, mouth: Face | None) -> Wall:
    """The wall to a face's plane; where it leans over the mouth, to what there is of the face."""
    nearest = hollow.support(face.normal)
    thickness = face.offset - dot(face.normal, nearest)
    leans = mouth is not None and dot(face.normal, mouth.normal) > NEAR_MM
    bounded = outside.facets[face.name] if leans and thickness > 0.0 else None
    if bounded is not None:
        found = gap(hollow, bounded)
        thickness, nearest = max(thickness, found.distance), found.on_first
    endwise = abs(dot(face.normal, hollow.axis))
    return Wall(thickness, hollow.name, face.name, nearest, endwise)


def _to_turned(outside: Outside, hollow: Hollow) -> Wall:
    lines = list(hollow.silhouettes())
    from_side = abs(hollow.axis[0]) < 0.5
    thickness, at = _breaking_out(lines, outside) or _between(lines, outside)
    return Wall(thickness, hollow.name, TURNED, at, float(from_side))


def _between(lines: Sequence[Sequence[Flat2]], outside: Outside) -> tuple[float, Flat2]:
    """The least distance of silhouettes from the profile, and where."""
    best = math.inf, lines[0][0]
    for line in lines:
        for a, b in list(pairwise(line)) or [(line[0], line[0])]:
            best = min(best, _from_profile(a, b, outside, best[0]))
    return best


def _breaking_out(lines: Sequence[Sequence[Flat2]], outside: Outside) -> tuple[float, Flat2] | None:
    """How far, as below zero, the point lies outside that is furthest above the profile."""
    out = [(p[1] - outside.radius(p[0]), p) for line in lines for p in line if _is_out(p, outside)]
    if not out:
        return None
    _, beyond = max(out)
    return -_from_profile(beyond, beyond, outside)[0], beyond


def _from_profile(
    a: Flat2, b: Flat2, outside: Outside, enough: float = math.inf
) -> tuple[float, Flat2]:
    """A straight run's distance from the profile, sought no further than `enough` away."""
    best = enough, a
    if enough == math.inf:
        best = _apart(a, b, *outside.run_at(a[0]))
    low, high = min(a[0], b[0]) - best[0], max(a[0], b[0]) + best[0]
    for c, d in outside.runs_near(low, high):
        best = min(best, _apart(a, b, c, d))
    return best


def _is_out(p: tuple[float, float], outside: Outside) -> bool:
    low, high = outside.profile[0][0], outside.profile[-1][0]
    return low <= p[0] <= high and p[1] > outside.radius(p[0]) + NEAR_MM


def _from_run(p: Flat2, a: Flat2, b: Flat2) -> float:
    run = (b[0] - a[0], b[1] - a[1])
    square = run[0] * run[0] + run[1] * run[1]
    share = ((p[0] - a[0]) * run[0] + (p[1] - a[1]) * run[1]) / square if square else 0.0
    share = min(1.0, max(0.0, share))
    return math.hypot(p[0] - a[0] - share * run[0], p[1] - a[1] - share * run[1])


def _apart(a: Flat2, b: Flat2, c: Flat2, d: Flat2) -> tuple[float, Flat2]:
    """The distance between two straight runs that don't cross, and the nearest end of the first.

    It is always at an end of one of them.
    """
    at_first = min(((_from_run(p, c, d), p) for p in (a, b)), key=lambda found: found[0])
    at_second = min(_from_run(p, a, b) for p in (c, d))
    return at_first if at_first[0] <= at_second else (at_second, at_first[1])


def _to_holes(outside: Outside, hollow: Hollow) -> Iterator[Wall]:
    for number, hole in enumerate(outside.holes, start=1):
        for piece in hole.pieces:
            found = gap(hollow, piece)
            way = less(found.on_second, found.on_first)
            endwise = abs(dot(way, hollow.axis)) / found.distance if found.distance else 0.0
            yield Wall(
                found.distance,
                hollow.name,
                f"cross-hole {number}",
                found.on_first,
                min(1.0, endwise),
                is_sanded=False,
            )


def thinnest(found: Sequence[Wall], still_off_mm: float) -> Wall:
    """The wall that will be thinnest; raises Refused when it isn't there, or won't be."""
    now = min(found, key=lambda wall: wall.thickness_mm)
    if now.thickness_mm <= NEAR_MM:
        raise Refused(
            f"There is no wall {now.where}: the pocket breaks out by "
            f"{max(0.0, -now.thickness_mm):.2f} mm; make it smaller or move it"
        )
    least = min(found, key=lambda wall: wall.after_mm(still_off_mm))
    if least.after_mm(still_off_mm) <= NEAR_MM:
        raise Refused(
            f"Only {least.thickness_mm:.2f} mm of wood is {least.where}; taking {still_off_mm:g} "
            "mm off the outside opens the pocket"
        )
    return least


def square_to_axis_mm(outside: Outside, pocket: Sequence[Hollow]) -> tuple[float, float] | None:
    """The thinnest wall of a turned piece as callipers find it, square to the axis, and its x.

    Least is at a corner of either outline, since both run straight in between. None for flat
    outsides and for pockets from the side.
    """
    if not outside.profile or any(abs(hollow.axis[0]) < 0.5 for hollow in pocket):
        return None
    found = [
        (outside.radius(x) - r, x)
        for hollow in pocket
        for line in hollow.silhouettes()
        for x, r in _with_corners(line, outside.profile)
    ]
    return min(found)


def _with_corners(
    line: Sequence[tuple[float, float]], profile: Sequence[tuple[float, float]]
) -> Iterator[tuple[float, float]]:
    yield from line
    for (x0, r0), (x1, r1) in pairwise(line):
        for x, _ in profile:
            if x0 < x < x1:
                yield (x, r0 + (r1 - r0) * (x - x0) / (x1 - x0))


def grown_outline(
    pocket: Sequence[Hollow], face: Face, faces: Sequence[Face], margin_mm: float
) -> tuple[str, list[list[float]]] | None:
    """The pocket seen through a face and grown by a margin, and the axes its points are on.

    Its sides touch the grown pocket in sixteen directions, so that it is never too small; what
    lies beyond the face is left out. None when nothing of it lies on the face.
    """
    drop = max(range(3), key=lambda i: abs(face.normal[i]))
    first, second = (i for i in range(3) if i != drop)
    count = 16
    angles = [2.0 * math.pi * i / count for i in range(count)]
    reaches = [_reach(pocket, first, second, angle) + margin_mm for angle in angles]
    corners = []
    for i in range(count):
        a, b = _crossing(angles[i - 1], reaches[i - 1], angles[i], reaches[i])
        corners.append(_on_face(face, drop, first, a, second, b))
    left = clipped(corners, face, faces)
    if left is None:
        return None
    points = [[p[first], p[second]] for p in left.corners]
    return f"{'xyz'[first]}, {'xyz'[second]}", _distinct(points)


def _on_face(face: Face, drop: int, first: int, a: float, second: int, b: float) -> Vec:
    p = [0.0, 0.0, 0.0]
    p[first], p[second] = a, b
    rest = face.normal[first] * a + face.normal[second] * b
    p[drop] = (face.offset - rest) / face.normal[drop]
    return (p[0], p[1], p[2])


def _reach(pocket: Sequence[Hollow], first: int, second: int, angle: float) -> float:
    n = [0.0, 0.0, 0.0]
    n[first], n[second] = math.cos(angle), math.sin(angle)
    direction: Vec = (n[0], n[1], n[2])
    return max(dot(direction, hollow.support(direction)) for hollow in pocket)


def _crossing(a: float, reach_a: float, b: float, reach_b: float) -> list[float]:
    turn = math.sin(b - a)
    return [
        (reach_a * math.sin(b) - reach_b * math.sin(a)) / turn,
        (reach_b * math.cos(a) - reach_a * math.cos(b)) / turn,
    ]


def _distinct(points: list[list[float]]) -> list[list[float]]:
    rounded = [[round(value, 2) + 0.0 for value in point] for point in points]
    return [point for index, point in enumerate(rounded) if point != rounded[index - 1]]
