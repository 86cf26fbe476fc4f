"""Shapes as a maker writes them, in plain JSON.

Every shape is an object with `shape` and its sizes; lengths are numbers in mm or texts with a
unit ("3/4 in"). It lies along x from x = 0, its middle on the axis:

| shape | fields |
|---|---|
| block | size_mm [along x, across y, across z] |
| cylinder | diameter_mm, length_mm |
| frustum | diameters_mm [at its start, at its end], length_mm; a 0 makes a cone |
| capsule | diameter_mm, length_mm over the round ends |
| slot | length_mm (along y), width_mm (along z), depth_mm (along x); corner_mm, else round ends |
| prism | sides and across_flats_mm, or outline_mm [[y, z], …]; length_mm |
| ring | outer_mm, inner_mm, length_mm; or round: middle_mm (diameter), section_mm (diameter) |
| dome | diameter_mm of its flat, height_mm; else half a ball |
| bore | diameter_mm, depth_mm at full diameter; or steps_mm [[diameter, depth], …], each depth |
|      | from the mouth; tip_deg, the drill's point, 118 unless given, 180 for a flat bottom |
| turned | profile_mm [[x, radius], …] |

A cylinder and a turned shape take `grooves`, a list of objects with at_mm (the middle) and
radius_mm (half-round), or width_mm and depth_mm (square, or a V with `vee`), each on a part that
keeps its diameter.

`at_mm` [x, y, z] moves a shape, `along` ("x", "y", "z", "-x", "-y", "-z") turns it. `plus` and
`minus` are lists of shapes added and cut; an object with `plus` alone is the sum of its parts.
"""

import math
from collections.abc import Callable, Sequence
from typing import Any

from benchmate.nearest import or_nearest
from benchmate.quantities import parse_size_mm
from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import Refused, refusing
from benchmate.reckon.solids.assembly import assembled
from benchmate.reckon.solids.body import Body, single
from benchmate.reckon.solids.coaxial import merged
from benchmate.reckon.solids.grooves import grooved
from benchmate.reckon.solids.leaves import Leaf, Prism, RoundRing, Turned
from benchmate.reckon.solids.outlines import Point, Polygon, RoundedRectangle, regular_polygon
from benchmate.reckon.solids.placing import DIRECTIONS, HOME, Placing, Vec, placing
from benchmate.reckon.solids.profiles import Line, Profile, Zone, joined, polyline

LONGEST_MM = 10_000.0
SHORTEST_MM = 0.001
MOST_SHAPES = 60
DEEPEST = 6
_PLACED = ("shape", "at_mm", "along", "plus", "minus")
_DRILL_POINT_DEG = 118.0


def shape_from_json(data: object, where: str = "shape") -> Body:
    """The body that the data describes; raises Refused with one sentence that names the place."""
    return _Reader().body(data, where, HOME, 0)


class _Reader:
    """Counts shapes while it reads, so that no file can keep the program busy for long."""

    def __init__(self) -> None:
        self.count = 0

    def body(self, data: object, where: str, outer: Placing, depth: int) -> Body:
        """A shape with all that is added to it and taken out of it; raises Refused."""
        fields = Fields(data, where)
        self.count += 1
        if self.count > MOST_SHAPES or depth > DEEPEST:
            raise Refused(
                f"{where} is more than can be worked out: at most {MOST_SHAPES} shapes, "
                f"{DEEPEST} deep"
            )
        placed = _placing(fields).within(outer)
        plus = self.bodies(fields, "plus", placed, depth)
        minus = self.bodies(fields, "minus", placed, depth)
        parts = [*self.own(fields, placed), *plus]
        if not parts:
            raise Refused(f"{where} lacks shape (or plus, a list of shapes){_shapes()}")
        parts, voids = merged(parts), merged(minus)
        return parts[0] if len(parts) == 1 and not voids else assembled(where, parts, voids)

    def bodies(self, fields: Fields, key: str, placed: Placing, depth: int) -> list[Body]:
        """The shapes of a list, [] where there is none."""
        return [
            self.body(item, f"{fields.where}.{key}[{index}]", placed, depth + 1)
            for index, item in enumerate(fields.items(key, at_most=MOST_SHAPES), start=1)
        ]

    def own(self, fields: Fields, placed: Placing) -> list[Body]:
        """The plain solid that a shape names, [] where it is only a list of others."""
        if "shape" not in fields.data:
            fields.only(*_PLACED)
            return []
        shape = fields.word("shape", tuple(SHAPES))
        name = f"{fields.where} ({shape})"
        made = SHAPES[shape](fields)
        if isinstance(made, tuple):
            outside, hole = (single(name, leaf, placed) for leaf in made)
            return [assembled(name, [outside], [hole])]
        return [single(name, made, placed)]


def _placing(fields: Fields) -> Placing:
    along = fields.word("along", DIRECTIONS, "x")
    at = numbers_of(fields, "at_mm", 3, low=-LONGEST_MM) if "at_mm" in fields.data else (0, 0, 0)
    return placing(along, (float(at[0]), float(at[1]), float(at[2])))


def numbers_of(
    fields: Fields, key: str, count: int, *, low: float = SHORTEST_MM
) -> tuple[float, ...]:
    """Return so many lengths, from a list or a text like "120 x 90 x 60 mm"; raises Refused."""
    raw = fields.data.get(key)
    if isinstance(raw, str):
        with refusing(f"{fields.where}.{key}"):
            return lengths(parse_size_mm(raw, count, "mm"), f"{fields.where}.{key}", low=low)
    items = fields.items(key)
    if len(items) != count:
        raise Refused(f"{fields.where}.{key} must be a list of {count} lengths")
    return lengths(items, f"{fields.where}.{key}", low=low)


def lengths(items: Sequence[Any], where: str, *, low: float = SHORTEST_MM) -> tuple[float, ...]:
    """Return the items as lengths in mm; raises Refused with the place of the wrong one."""
    one_by_one = Fields({f"{i}_mm": item for i, item in enumerate(items, start=1)}, where)
    return tuple(
        one_by_one.number(f"{i}_mm", low=low, high=LONGEST_MM) for i in range(1, len(items) + 1)
    )


def length_of(fields: Fields, key: str) -> float:
    """Return a length that must be there and be above zero."""
    return fields.number(key, low=SHORTEST_MM, high=LONGEST_MM)


def _maybe_length(fields: Fields, key: str, low: float = SHORTEST_MM) -> float | None:
    return fields.maybe(key, low=low, high=LONGEST_MM)


def _pairs(fields: Fields, key: str, *, low: float) -> list[Point]:
    pairs = []
    for index, item in enumerate(fields.items(key, at_most=400), start=1):
        where = f"{fields.where}.{key}[{index}]"
        if not isinstance(item, list | tuple) or len(item) != 2:
            raise Refused(f"{where} must be a pair of lengths")
        a, b = lengths(item, where, low=low)
        pairs.append((a, b))
    return pairs


def _block(fields: Fields) -> Leaf:
    fields.only(*_PLACED, "size_mm")
    x, y, z = numbers_of(fields, "size_mm", 3)
    return Prism(RoundedRectangle(y, z), x)


def _cylinder(fields: Fields) -> Leaf:
    fields.only(*_PLACED, "diameter_mm", "length_mm", "grooves")
    radius = length_of(fields, "diameter_mm") / 2.0
    straight = (Line(0.0, radius, length_of(fields, "length_mm"), radius),)
    return Turned(grooved(fields, straight))


def _frustum(fields: Fields) -> Leaf:
    fields.only(*_PLACED, "diameters_mm", "length_mm")
    start, end = numbers_of(fields, "diameters_mm", 2, low=0.0)
    if max(start, end) < SHORTEST_MM:
        raise Refused(f"{fields.where}.diameters_mm are both zero; one end must be wider")
    return Turned((Line(0.0, start / 2.0, length_of(fields, "length_mm"), end / 2.0),))


def _capsule(fields: Fields) -> Leaf:
    fields.only(*_PLACED, "diameter_mm", "length_mm")
    diameter, whole = length_of(fields, "diameter_mm"), length_of(fields, "length_mm")
    radius = diameter / 2.0
    if whole < diameter:
        raise Refused(
            f"{fields.where}: length_mm counts over the round ends, so it can't be less than the "
            f"diameter, {diameter:g} mm"
        )
    middle = (Line(radius, radius, whole - radius, radius),) if whole > diameter else ()
    return Turned(
        (
            Zone(0.0, radius, radius, radius),
            *middle,
            Zone(whole - radius, whole, whole - radius, radius),
        )
    )


def _slot(fields: Fields) -> Leaf:
    fields.only(*_PLACED, "length_mm", "width_mm", "depth_mm", "corner_mm")
    long, wide = length_of(fields, "length_mm"), length_of(fields, "width_mm")
    corner = _maybe_length(fields, "corner_mm", low=0.0)
    outline = RoundedRectangle(long, wide, min(long, wide) / 2.0 if corner is None else corner)
    return Prism(outline, length_of(fields, "depth_mm"))


def _prism(fields: Fields) -> Leaf:
    fields.only(*_PLACED, "sides", "across_flats_mm", "outline_mm", "length_mm")
    long = length_of(fields, "length_mm")
    if "outline_mm" in fields.data:
        pairs = _pairs(fields, "outline_mm", low=-LONGEST_MM)
        if len(pairs) > MOST_SHAPES:
            raise Refused(f"{fields.where}.outline_mm has more than {MOST_SHAPES} corners")
        return Prism(Polygon(tuple(pairs)), long)
    sides = fields.number("sides", low=3, high=60)
    if sides != int(sides):
        raise Refused(f"{fields.where}.sides must be a whole number; {sides:g} is not")
    return Prism(regular_polygon(int(sides), length_of(fields, "across_flats_mm")), long)


def _ring(fields: Fields) -> Leaf | tuple[Leaf, Leaf]:
    if "section_mm" in fields.data or "middle_mm" in fields.data:
        return _round_ring(fields)
    fields.only(*_PLACED, "outer_mm", "inner_mm", "length_mm")
    outer, inner = length_of(fields, "outer_mm"), length_of(fields, "inner_mm")
    if inner >= outer:
        raise Refused(f"{fields.where}: the hole, {inner:g} mm, must be less than {outer:g} mm")
    long = length_of(fields, "length_mm")
    return _plain_cylinder(outer, long), _plain_cylinder(inner, long)


def _plain_cylinder(diameter: float, long: float) -> Leaf:
    return Turned((Line(0.0, diameter / 2.0, long, diameter / 2.0),))


def _round_ring(fields: Fields) -> Leaf:
    fields.only(*_PLACED, "middle_mm", "section_mm")
    middle, section = length_of(fields, "middle_mm"), length_of(fields, "section_mm")
    if section > middle:
        raise Refused(
            f"{fields.where}: a section of {section:g} mm closes a ring of {middle:g} mm; "
            "middle_mm is the diameter of the circle through the section's centre"
        )
    return RoundRing(middle / 2.0, section / 2.0)


def _dome(fields: Fields) -> Leaf:
    fields.only(*_PLACED, "diameter_mm", "height_mm")
    radius = length_of(fields, "diameter_mm") / 2.0
    height = _maybe_length(fields, "height_mm")
    height = radius if height is None else height
    ball = (radius * radius + height * height) / (2.0 * height)
    return Turned((Zone(0.0, height, height - ball, ball),))


def _bore(fields: Fields) -> Leaf:
    fields.only(*_PLACED, "diameter_mm", "depth_mm", "steps_mm", "tip_deg")
    tip = fields.maybe("tip_deg", low=60.0, high=180.0)
    tip = _DRILL_POINT_DEG if tip is None else tip
    if "steps_mm" not in fields.data:
        steps = [(length_of(fields, "diameter_mm"), length_of(fields, "depth_mm"))]
    elif "diameter_mm" in fields.data or "depth_mm" in fields.data:
        raise Refused(f"{fields.where} has steps_mm, so give diameter and depth there alone")
    else:
        steps = _pairs(fields, "steps_mm", low=SHORTEST_MM)
    return Turned(_bored(fields.where, steps, tip))


def _bored(where: str, steps: list[Point], tip_deg: float) -> Profile:
    if not steps:
        raise Refused(f"{where}.steps_mm must hold at least one pair of diameter and depth")
    diameter, deepest = max(steps, key=lambda step: step[1])
    profile = drilled(diameter, deepest, tip_deg)
    for diameter, depth in steps:
        wider = joined(profile, (Line(0.0, diameter / 2.0, depth, diameter / 2.0),))
        profile = profile if wider is None else wider
    return profile


def drilled(diameter: float, depth: float, tip_deg: float) -> Profile:
    """A bore's profile: `depth` at full diameter, then the cone of the drill's point."""
    radius = diameter / 2.0
    full = Line(0.0, radius, depth, radius)
    tip = radius / math.tan(math.radians(tip_deg) / 2.0)
    return (full,) if tip < SHORTEST_MM else (full, Line(depth, radius, depth + tip, 0.0))


def _turned(fields: Fields) -> Leaf:
    fields.only(*_PLACED, "profile_mm", "grooves")
    pairs = _pairs(fields, "profile_mm", low=-LONGEST_MM)
    where = f"{fields.where}.profile_mm"
    if len(pairs) < 2:
        raise Refused(f"{where} needs at least two pairs [x, radius]")
    for (x0, _), (x1, r1) in zip(pairs, [*pairs[1:], pairs[-1]], strict=True):
        if r1 < 0.0 or pairs[0][1] < 0.0:
            raise Refused(f"{where} has a radius below zero at x {x1:g}")
        if x1 < x0:
            raise Refused(f"{where} goes back from x {x0:g} to {x1:g}; give x in rising order")
    leaf = Turned(grooved(fields, polyline(pairs)))
    if pairs[-1][0] - pairs[0][0] < SHORTEST_MM or leaf.volume <= 0.0:
        raise Refused(f"{where} encloses nothing; it needs a length and a radius above zero")
    return leaf


SHAPES: dict[str, Callable[[Fields], Leaf | tuple[Leaf, Leaf]]] = {
    "block": _block,
    "cylinder": _cylinder,
    "frustum": _frustum,
    "capsule": _capsule,
    "slot": _slot,
    "prism": _prism,
    "ring": _ring,
    "dome": _dome,
    "bore": _bore,
    "turned": _turned,
}


def _shapes() -> str:
    return or_nearest("", SHAPES)


__all__ = [
    "LONGEST_MM",
    "SHAPES",
    "Vec",
    "drilled",
    "length_of",
    "lengths",
    "numbers_of",
    "shape_from_json",
]
