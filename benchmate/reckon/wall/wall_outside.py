"""The outside of a piece, as the flat faces and the turned surface that bound it.

A block may taper (`end_size_mm`, its size across at the far end) and have its edges chamfered; a
turned piece may have its end rims chamfered. `cross_holes` are shapes cut through elsewhere.
"""

from bisect import bisect_left, bisect_right
from functools import cached_property
from itertools import pairwise

import msgspec

from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.solids import Body, shape_from_json
from benchmate.reckon.solids.leaves import Prism, Turned
from benchmate.reckon.solids.profiles import Line, Profile
from benchmate.reckon.wall.wall_faces import Face, Facet, faces_of, facet

Run2 = tuple[tuple[float, float], tuple[float, float]]
_EXTRAS = ("end_size_mm", "chamfer_mm", "cross_holes")
_ZONE_STEPS = 96


class Outside(msgspec.Struct, frozen=True, dict=True):
    """What bounds the piece: flat faces, a turned profile (x, radius) if any, and cross-holes."""

    faces: tuple[Face, ...]
    profile: tuple[tuple[float, float], ...]
    holes: tuple[Body, ...]

    @cached_property
    def _runs(self) -> tuple[tuple[float, ...], tuple[Run2, ...]]:
        """The profile's straight runs in order of x, and where each ends."""
        runs = tuple(pairwise(self.profile))
        return tuple(run[1][0] for run in runs), runs

    def runs_near(self, low: float, high: float) -> tuple[Run2, ...]:
        """The runs that come between two x."""
        ends, runs = self._runs
        first = bisect_left(ends, low)
        last = bisect_right(ends, high) + 1
        return runs[first:last]

    @cached_property
    def facets(self) -> dict[str, Facet | None]:
        """What bounds the piece of each flat face, by the face's name."""
        return {face.name: facet(face, self.faces) for face in self.faces}

    def run_at(self, x: float) -> Run2:
        """One run at or next to an x."""
        ends, runs = self._runs
        return runs[min(bisect_left(ends, x), len(runs) - 1)]

    def radius(self, x: float) -> float:
        """The turned radius at x, the narrower side at a step."""
        found = [
            a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0])
            for a, b in self.runs_near(x, x)
            if a[0] <= x <= b[0] and b[0] > a[0]
        ]
        return min(found, default=0.0)


def read_outside(data: object) -> Outside:
    """The outside from JSON; raises Refused with one sentence."""
    fields = Fields(data, "outside")
    if "minus" in fields.data or "plus" in fields.data:
        raise Refused("outside must be one shape; give holes through it as cross_holes")
    plain = {key: value for key, value in fields.data.items() if key not in _EXTRAS}
    body = shape_from_json(plain, "outside")
    if body.piece is None or "at_mm" in plain or plain.get("along", "x") != "x":
        raise Refused(
            "outside must be a solid that lies along x from 0 (no ring, at_mm or along); place the "
            "pocket instead"
        )
    chamfer = fields.maybe("chamfer_mm", low=0.0, high=1000.0) or 0.0
    holes = tuple(
        shape_from_json(item, f"outside.cross_holes[{n}]")
        for n, item in enumerate(fields.items("cross_holes", at_most=20), start=1)
    )
    leaf = body.piece.leaf
    if isinstance(leaf, Turned):
        if "end_size_mm" in fields.data:
            raise Refused("outside.end_size_mm is for a block; a round taper is a frustum")
        return _turned(leaf.profile, chamfer, holes)
    if isinstance(leaf, Prism):
        return Outside(faces_of(fields, leaf, chamfer), (), holes)
    raise Refused("outside can't be a ring here; take the piece it is cut from")


def _turned(profile: Profile, chamfer: float, holes: tuple[Body, ...]) -> Outside:
    points: list[tuple[float, float]] = []
    for run in profile:
        corners = [(run.x0, run.r0), (run.x1, run.r1)]
        for point in run.stations(_ZONE_STEPS) if not isinstance(run, Line) else corners:
            if not points or points[-1] != point:
                points.append(point)
    first, last = points[0], points[-1]
    ends = (
        Face(f"the end at x = {first[0]:g}", (-1.0, 0.0, 0.0), -first[0], is_drawn=first[1] > 0.0),
        Face(f"the end at x = {last[0]:g}", (1.0, 0.0, 0.0), last[0], is_drawn=last[1] > 0.0),
    )
    return Outside(ends, _rims_off(points, chamfer), holes)


def _rims_off(points: list[tuple[float, float]], chamfer: float) -> tuple[tuple[float, float], ...]:
    if chamfer <= 0.0:
        return tuple(points)
    (x0, r0), (x1, r1) = points[0], points[-1]
    inner = [p for p in points if x0 + chamfer < p[0] < x1 - chamfer]
    whole = Outside((), tuple(points), ())
    near, far = x0 + chamfer, x1 - chamfer
    if near >= far or chamfer >= min(r0, r1):
        raise Refused(f"outside.chamfer_mm of {chamfer:g} mm leaves no end face or no length")
    return (
        (x0, r0 - chamfer),
        (near, whole.radius(near)),
        *inner,
        (far, whole.radius(far)),
        (x1, r1 - chamfer),
    )
