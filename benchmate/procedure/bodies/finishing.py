"""What comes off a part from its blank to its finished sizes: shaping, chamfers, recesses, the
wood round a tenon, a sloped end. Its weight counts where a step says `to_size`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from math import hypot, pi, sqrt

from benchmate.plan.shapes import Tenon
from benchmate.procedure.bodies.gaps import Between
from benchmate.procedure.bodies.placing import (
    ROUND,
    Placed,
    extent_of,
    moved,
    placed,
    side_named,
)
from benchmate.procedure.bodies.shapes import ShapeError, json_of, sizes_of
from benchmate.procedure.file.part_schema import Cut, FileTenon, Form, Part
from benchmate.quantities import QuantityError, parse_size_mm, show_length
from benchmate.reckon.solids import shape_from_json


def finished_form(part: Part) -> Form:
    """The part's outside once it is shaped."""
    if part.finished_profile:
        return part.model_copy(update={"shape": "turned", "profile": part.finished_profile})
    if part.finished_size is not None:
        return part.model_copy(update={"size": part.finished_size})
    return part


def as_solid(part: Part) -> Part:
    """A ring as the round it is cut from, with its hole as a cut; other parts as they are."""
    if part.shape != "ring":
        return part
    outer, inner, long = sizes_of(part)
    hole = Cut(shape="bore", size=f"{inner} x {long} mm").model_copy(update={"name": "hole"})
    update = {"shape": "cylinder", "size": (outer, long), "minus": (hole, *part.minus)}
    return part.model_copy(update=update)


def ends_off_mm(part: Part) -> float:
    """How much comes off a part's first end: as much as off the other. A profile begins where its
    blank does."""
    if part.finished_size is None:
        return 0.0
    return (extent_of(part)[0] - extent_of(finished_form(part))[0]) / 2.0


def off_ml(part: Part, tenon: Tenon | None, slope_ml: float) -> float:
    """The wood that comes off, in ml. Raises ShapeError or Refused where more would come off than
    there is."""
    part = as_solid(part)
    form = finished_form(part)
    _check_fits_blank(part)
    off = _turned_off_ml(part, form) if form.shape in ROUND else _planed_off_ml(part, form)
    off += _chamfers_ml(part, form) + slope_ml
    return off + (_round_tenon_ml(form, tenon) if tenon is not None else 0.0)


def _planed_off_ml(part: Part, form: Form) -> float:
    return _ml(part) - _ml(form, [placed(form, cut) for cut in part.recesses.values()])


def _turned_off_ml(part: Part, form: Form) -> float:
    """Of a hole that was there already, only what is bored out beside it comes off."""
    holes = [placed(part, cut) for cut in part.minus]
    later = [moved(placed(form, cut), ends_off_mm(part)) for cut in part.recesses.values()]
    left = {**json_of(form), "at_mm": [ends_off_mm(part), 0.0, 0.0], "along": "x"}
    is_shaped = part.finished_profile or part.finished_size
    off = _ml(part, [*holes, left]) if is_shaped else 0.0
    return off + _ml(part, holes) - _ml(part, [*holes, *later])


def _check_fits_blank(part: Part) -> None:
    wrong = "its finished size is larger than its blank; shaping only takes off"
    sizes = zip(part.finished_size or (), part.size or (), strict=False)
    if any(left > blank + 1e-6 for left, blank in sizes):
        raise ShapeError(wrong, "finished_size")
    for x, diameter in ((p[0], p[-1]) for p in part.finished_profile):
        thickest = _thickest(part, x)
        if thickest is None:
            beyond = f"the profile goes on to {show_length(x)}, and its blank is shorter"
            raise ShapeError(f"{beyond}; make the blank longer", "finished_profile")
        if diameter > thickest + 1e-6:
            here = f"at {show_length(x)} its blank is only {show_length(thickest)} thick"
            raise ShapeError(f"{here}; turning only takes off", "finished_profile")


def _thickest(part: Part, x: float) -> float | None:
    """The largest round in a blank at a place, at a shoulder the larger; None beyond its ends."""
    found = [
        d0 + (d1 - d0) * (x - x0) / (x1 - x0) if x1 > x0 else max(d0, d1)
        for (x0, d0), (x1, d1) in pairwise((x, min(size)) for x, *size in _sections(part))
        if x0 - 1e-6 <= x <= x1 + 1e-6
    ]
    return max(found, default=None)


def _sections(form: Form) -> list[tuple[float, float, float]]:
    """Places along a part with its width and height there, straight in between."""
    if form.shape == "shaped":
        return [(s[0], s[1], s[2]) for s in form.stations]
    if form.shape == "turned":
        return [(p[0], p[1], p[1]) for p in form.profile]
    if form.shape == "frustum":
        one, other, long = sizes_of(form)
        return [(0.0, one, one), (long, other, other)]
    long, wide, high = extent_of(form)
    return [(0.0, wide, high), (long, wide, high)]


def _ml(form: Form, cuts: Sequence[Placed] = ()) -> float:
    return shape_from_json({**json_of(form), "minus": list(cuts)}, "part").volume_ml


def _chamfers_ml(part: Part, form: Form) -> float:
    """Of a block's twelve edges: a prism along each, less what three share at every corner.

    The prisms of legs c take 2 c² (l + w + h) together; where three meet, 3/4 c³ of the corner's
    c³ is gone and not 3/2 c³, and each edge is 2 c shorter between the corners: - 6 c³ in all.
    """
    c = part.chamfer
    if not c:
        return 0.0
    if form.shape != "block":
        raise ShapeError(
            "a chamfer is for a block's edges; give it in finished_profile of a turned part",
            "chamfer",
        )
    size = extent_of(form)
    if 2.0 * c >= min(size):
        raise ShapeError(f"a chamfer of {show_length(c)} leaves no face of it", "chamfer")
    return (2.0 * c * c * sum(size) - 6.0 * c**3) / 1000.0


def tenon_of(part: Part, spec: FileTenon, gap: Between | None, cut_mm: tuple[float, ...]) -> Tenon:
    """The tenon with all its sizes: as the file says, or as its mortise has them.

    `cut_mm` is the mortise's length, width and depth where it is a cut of one part. Raises
    ShapeError where the part's end can't hold it with full corners.
    """
    at = side_named(spec.at) or "first end"
    if at not in ("first end", "other end"):
        raise ShapeError('a tenon is at an end; write at = "first end"', "tenon", "at")
    size = spec.size or _as_mortise(spec, gap, cut_mm)
    if len(size) not in (2, 3):
        raise ShapeError(
            'a tenon is width x thickness x length, or diameter x length; write size = "22 x 28 x '
            '66 mm"',
            "tenon",
            "size",
        )
    _check_corners(part, size, at)
    wedge: tuple[float, ...] = ()
    if spec.kerfs and gap is not None and gap.wide_mm > gap.narrow_mm and len(size) == 3:
        head = (gap.wide_mm - gap.narrow_mm) / spec.kerfs + spec.kerf
        wedge = (head, 0.0, size[1], gap.deep_mm / 2.0)
    return Tenon(
        size_mm=size,
        at=at,
        fits=spec.fits,
        kerfs=spec.kerfs,
        kerf_mm=spec.kerf if spec.kerfs else 0.0,
        kerf_deep_mm=size[-1] * 2.0 / 3.0 if spec.kerfs else 0.0,
        relief_hole_mm=spec.relief_hole,
        wedge_mm=wedge,
    )


def _as_mortise(
    spec: FileTenon, gap: Between | None, cut_mm: tuple[float, ...]
) -> tuple[float, ...]:
    if gap is not None:
        return gap.narrow_mm, gap.layer.thick_mm, gap.deep_mm + spec.proud
    if cut_mm:
        return (*cut_mm[:-1], cut_mm[-1] + spec.proud)
    raise ShapeError(
        'a tenon needs its size or the mortise it fits; write fits = "mortise" or size = "22 x 28 '
        'x 66 mm"',
        "tenon",
    )


def _check_corners(part: Part, size: tuple[float, ...], at: str) -> None:
    """A flat tenon's corners lie inside the round end; what is the largest is said."""
    form = finished_form(part)
    if form.shape not in ROUND:
        _, wide, high = extent_of(form)
        least, most = min(size[:-1]), max(size[:-1])
        if least > min(wide, high) + 1e-6 or most > max(wide, high) + 1e-6:
            raise ShapeError("the tenon is thicker than the part it is cut on", "tenon", "size")
        return
    across = size[:-1] if len(size) == 3 else (size[0], 0.0)
    rooms = [room for _, *ends in _runs(form, size[-1], at) for room in ends]
    if all(hypot(across[0] / w, across[1] / h) <= 1.0 + 1e-6 for w, h in rooms):
        return
    # A corner lies on the ellipse of the section where (width/w)² + (thickness/h)² is 1.
    largest = min((w * sqrt(max(0.0, 1.0 - (across[1] / h) ** 2)) for w, h in rooms), default=0.0)
    wrong = "the tenon's corners stand out of the part"
    if largest > 0.0 and len(size) == 3:
        said = f"{show_length(largest)} x {show_length(across[1])}"
        wrong += f"; with full corners the largest is {said}"
    raise ShapeError(wrong, "tenon", "size")


Section = tuple[float, float]
"""Width and height of the ellipse there."""


def _runs(form: Form, long: float, at: str) -> list[tuple[float, Section, Section]]:
    """Length, first and last section of each run within the tenon's length."""
    stations = _sections(form)
    end = stations[-1][0]
    first, last = (0.0, long) if at == "first end" else (end - long, end)
    runs = []
    for (x0, *one), (x1, *two) in pairwise(stations):
        a, b = max(x0, first), min(x1, last)
        if b > a:
            near, far = (a - x0) / (x1 - x0), (b - x0) / (x1 - x0)
            runs.append((b - a, _between(one, two, near), _between(one, two, far)))
    return runs


def _between(one: list[float], two: list[float], share: float) -> Section:
    return one[0] + share * (two[0] - one[0]), one[1] + share * (two[1] - one[1])


def _round_tenon_ml(form: Form, tenon: Tenon) -> float:
    """The wood that stood round the tenon."""
    *across, long = tenon.size_mm
    own = across[0] * across[1] if len(across) == 2 else pi / 4.0 * across[0] ** 2
    if form.shape in ROUND:
        stood = sum(_run_mm3(*run) for run in _runs(form, long, tenon.at))
    else:
        _, wide, high = extent_of(form)
        stood = wide * high * long
    return max(0.0, stood - own * long) / 1000.0


def _run_mm3(long: float, one: Section, two: Section) -> float:
    """Between two ellipses whose axes change evenly: a frustum, where they are circles."""
    (w0, h0), (w1, h1) = one, two
    return pi / 24.0 * long * (2.0 * w0 * h0 + w0 * h1 + w1 * h0 + 2.0 * w1 * h1)


_OVER = re.compile(r"(.+?)\s+over(?:\s+all(?:\s+round)?)?")


def rough_mm(part: Part) -> tuple[float, ...]:
    """The size it is sawn to: as said, or so much over its own size each way."""
    if not part.rough:
        return ()
    over = _OVER.fullmatch(part.rough.strip())
    try:
        sizes = parse_size_mm(over[1] if over else part.rough, count=None)
    except QuantityError as error:
        raise ShapeError(str(error), "rough") from None
    if len(sizes) not in ((1, 3) if over else (3,)):
        raise ShapeError(
            'is no size to saw to; write rough = "15 x 6 x 3 mm over", or "135 x 96 x 63 mm"',
            "rough",
        )
    if not over:
        return sizes
    return tuple(s + o for s, o in zip(extent_of(part), sizes * (4 - len(sizes)), strict=False))
