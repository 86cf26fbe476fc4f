"""The reckoner `wall`: is there wood enough around a pocket, and how much may still come off?"""

from collections.abc import Sequence

from benchmate.quantities import show_number
from benchmate.quantities.worded import Worded, millimetres
from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import Given, Input, Plain, Reckoner, Result, WithU, Worked
from benchmate.reckon.wall.wall_outside import Outside, read_outside
from benchmate.reckon.wall.wall_pocket import Hollow, read_pocket
from benchmate.reckon.wall.wall_thickness import (
    TURNED,
    Tolerances,
    Wall,
    grown_outline,
    mouth_face,
    square_to_axis_mm,
    thinnest,
    walls,
)

_WANTED_MM = 3.0
_BOUNDS = ("outside_mm", "pocket_mm", "position_mm", "depth_mm")


def _tolerances(data: object) -> Tolerances:
    if data is None:
        return Tolerances()
    if isinstance(data, int | float | str) and not isinstance(data, bool):
        data = dict.fromkeys(_BOUNDS, data)
    fields = Fields(data, "tolerances")
    fields.only(*_BOUNDS)
    bounds = (fields.maybe(key, low=0.0, high=100.0) or 0.0 for key in _BOUNDS)
    return Tolerances(*bounds)


def _no_go(
    outside: Outside, pocket: Sequence[Hollow], found: Sequence[Wall], margin_mm: float
) -> list[Plain]:
    """For each face but the mouth's: the pocket behind it, grown by the wall to be kept."""
    rows: list[Plain] = []
    mouth = mouth_face(outside, pocket[0])
    for face in outside.faces:
        if face is mouth or not face.is_drawn:
            continue
        grown = grown_outline(pocket, face, outside.faces, margin_mm)
        if grown is None:
            continue
        points: list[Plain] = [list(point) for point in grown[1]]
        rows.append(
            {
                "face": face.name.removeprefix("the "),
                "wall_mm": _wall_to(found, face.name),
                "axes": grown[0],
                "outline_mm": points,
            }
        )
    if outside.profile:
        rows.append(_band(outside, pocket, found, margin_mm))
    return rows


def _wall_to(found: Sequence[Wall], surface: str) -> float:
    return min(wall.thickness_mm for wall in found if wall.surface == surface)


def _band(
    outside: Outside, pocket: Sequence[Hollow], found: Sequence[Wall], margin_mm: float
) -> Plain:
    low = min(hollow.support((-1.0, 0.0, 0.0))[0] for hollow in pocket) - margin_mm
    high = max(hollow.support((1.0, 0.0, 0.0))[0] for hollow in pocket) + margin_mm
    return {
        "face": "turned surface, all round",
        "wall_mm": _wall_to(found, TURNED),
        "from_x_mm": round(max(low, outside.profile[0][0]), 2),
        "to_x_mm": round(min(high, outside.profile[-1][0]), 2),
    }


def _notes(
    found: Sequence[Wall], least: Wall, wanted_mm: float, off_mm: float, may_mm: float, u_mm: float
) -> list[str]:
    notes: list[str] = []
    after_mm = least.after_mm(off_mm)
    if after_mm < wanted_mm:
        notes.append(
            Worded(
                "The thinnest wall ends at {after}, less than the {wanted} wanted.",
                after=millimetres(after_mm),
                wanted=millimetres(wanted_mm),
            )
        )
    elif u_mm > 0.0 and after_mm - 2.0 * u_mm < wanted_mm:
        notes.append(
            Worded(
                "With its uncertainty (2u = {twice}) the wall may be less than wanted; measure"
                " before sanding on.",
                twice=millimetres(2.0 * u_mm),
            )
        )
    if may_mm < 0.0:
        notes.append("The outside can lose nothing more: may_sand_mm is below zero.")
    hole = [wall for wall in found if not wall.is_sanded and wall.thickness_mm < wanted_mm]
    if hole:
        notes.append(f"The wall {hole[0].where} is thin too, and sanding doesn't change it.")
    return notes


def _calliper_note(outside: Outside, pocket: Sequence[Hollow], found: Sequence[Wall]) -> list[str]:
    square = square_to_axis_mm(outside, pocket)
    if square is None or square[0] - _wall_to(found, TURNED) < 0.001:
        return []
    return [
        f"Measured square to the axis, as with callipers, the turned wall is now "
        f"{show_number(square[0], 3)} mm at x {show_number(square[1], 1)}; the shortest way "
        "through is less."
    ]


def _work(given: Given) -> Worked:
    outside, pocket = read_outside(given.data("outside")), read_pocket(given.data("pocket"))
    off_mm, wanted_mm = given.number("still_off_mm"), given.number("wall_mm")
    bounds = _tolerances(given.data("tolerances"))
    found = walls(outside, pocket)
    least = thinnest(found, off_mm)
    sanded = min((wall for wall in found if wall.is_sanded), key=lambda wall: wall.thickness_mm)
    may_mm = sanded.thickness_mm - wanted_mm
    u_mm = bounds.u_mm(least.endwise)
    notes = _notes(found, least, wanted_mm, off_mm, may_mm, u_mm)
    notes.extend(_calliper_note(outside, pocket, found))
    return Worked(
        {
            "least_wall_mm": WithU(least.after_mm(off_mm), u_mm),
            "where": least.where,
            "may_sand_mm": WithU(may_mm, bounds.u_mm(sanded.endwise)),
            "no_go": _no_go(outside, pocket, found, wanted_mm),
        },
        tuple(notes),
    )


RECKONER = Reckoner(
    name="wall",
    title="How much wood is left around a pocket",
    inputs=(
        Input(
            "outside",
            "the piece, one shape as in solid, along x from 0; also end_size_mm [y, z] "
            "of a block that tapers, chamfer_mm of its edges or rims, and cross_holes, a "
            "list of shapes",
            takes="data",
        ),
        Input(
            "pocket",
            "the void, a shape as in solid with at_mm (its mouth's middle) and along (the "
            "way in); also end_size_mm [length, width] at the bottom, a recess {length_mm, "
            "width_mm or diameter_mm, depth_mm} and chamfer_mm at the mouth",
            takes="data",
        ),
        Input(
            "still_off_mm",
            "wood still to come off every outer face",
            default=0.0,
            low=0.0,
            high=1000.0,
        ),
        Input("wall_mm", "the least wall to be kept", default=_WANTED_MM, low=0.0, high=1000.0),
        Input(
            "tolerances",
            "bounds, plus or minus, as {outside_mm, pocket_mm, position_mm, depth_mm}, "
            "or one number for all",
            takes="data",
            needed=False,
        ),
    ),
    results=(
        Result("least_wall_mm", "the thinnest wall, after what is still to come off", has_u=True),
        Result("where", "between what, and where the pocket comes nearest"),
        Result(
            "may_sand_mm",
            "what may come off the outside from now on, the planned included, until "
            "the thinnest wall is wall_mm",
            has_u=True,
        ),
        Result(
            "no_go",
            "to draw on each face: the pocket behind it grown by wall_mm, in the two "
            "axes named, or on a turned piece from x to x; and the wall behind that face now",
            unit="",
        ),
    ),
    formula=(
        "flat face n·p = c: wall = c − max over the pocket of n·p; turned: least distance "
        "between the outlines in (x, radius); cross-hole: distance of two convex solids; "
        "u from each bound a as a/√3, half of a size's bound on either side"
    ),
    sources=(
        "geometry: support functions of convex solids",
        "Gilbert, Johnson and Keerthi 1988 for two convex solids",
        "GUM (JCGM 100) 4.3.7 for a bound as a/√3",
        "3 mm as the least wall: common practice, no source",
    ),
    limits=(
        "A pocket that isn't convex counts as filled to its hull.",
        "Cut from the side of a turned piece, only what lies behind the mouth counts.",
        "A hole that goes right through isn't a pocket; give it under cross_holes.",
    ),
    example={
        "outside": '{"shape": "block", "size_mm": [120, 90, 60], "chamfer_mm": 4}',
        "pocket": '{"shape": "slot", "length_mm": 80, "width_mm": 30, "depth_mm": 45, '
        '"at_mm": [60, 10, 30], "along": "-z"}',
        "still_off_mm": "1.5",
        "wall_mm": "4",
        "tolerances": '{"outside_mm": 0.5, "pocket_mm": 0.3, "position_mm": 0.5, "depth_mm": 0.5}',
    },
    work=_work,
)
