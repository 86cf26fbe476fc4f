"""Where in a part a hollow lies, in a maker's words and in the solids'.

A part lies with its length along x from its first end, its width along y and its height along z.
A hollow goes in from one of six faces, and stands off the middle of that face. People call the
faces and edges by many names; those that mean the same are one here.
"""

from __future__ import annotations

import re
from typing import Any

from benchmate.nearest import advice
from benchmate.plan.shapes import Side
from benchmate.procedure.bodies.shapes import ShapeError, json_of, sizes_of
from benchmate.procedure.file.part_schema import Form, Shape
from benchmate.quantities import QuantityError, parse_length_mm

ROUND = ("cylinder", "frustum", "capsule", "dome", "turned", "ring", "bore", "shaped")
NAMES: dict[Side, tuple[str, ...]] = {
    "top": ("top", "top face", "upper face", "top edge"),
    "underside": ("underside", "bottom", "bottom face", "lower face", "bottom edge", "base"),
    "front": ("front", "front face", "front edge", "near side", "near edge"),
    "back": ("back", "back face", "back edge", "far side", "far edge"),
    "first end": ("first end", "front end", "left end", "bottom end"),
    "other end": ("other end", "back end", "right end", "top end", "second end"),
}
_SIDE_OF = {name: side for side, names in NAMES.items() for name in names}
_ENDS: dict[Side, Side] = {"top": "other end", "underside": "first end"}
"""What top and underside are of a round part, which stands on its first end."""
AXIS: dict[Side, int] = dict(zip(NAMES, (2, 2, 1, 1, 0, 0), strict=True))
"""Which of length, width and height a hollow goes down along from a face."""
PLUS = ("other end", "back", "top")
_INTO: dict[str, tuple[Side, Side]] = {
    "length": ("first end", "other end"),
    "width": ("back", "front"),
    "height": ("top", "underside"),
}
_TOWARDS = re.compile(r"(.+?) from the middle towards the (.+)")
_BESIDE = re.compile(r"(.+?) (left of|right of|above|below|in front of|behind) the middle")
_FROM = re.compile(r"(.+?) from the (.+)")
_WAYS: dict[str, tuple[Side, ...]] = {
    "left of": ("first end", "front"),
    "right of": ("other end", "back"),
    "above": ("top", "back"),
    "below": ("underside", "front"),
    "in front of": ("front",),
    "behind": ("back",),
}
"""Which way a word points: of several sides, the one that lies across the face."""
LIKE = 'write at = "8 mm from the front end", or "12 mm left of the middle"'


def extent_of(form: Form) -> tuple[float, float, float]:
    """Length, width and height of the box around a part."""
    if form.shape == "turned":
        wide = max(d for _, d in form.profile)
        return form.profile[-1][0], wide, wide
    if form.shape == "shaped":
        sizes_of(form)
        return (
            form.stations[-1][0],
            max(s[1] for s in form.stations),
            max(s[2] for s in form.stations),
        )
    size = sizes_of(form)
    if form.shape == "block":
        return size[0], size[1], size[2]
    if form.shape == "slot":
        return size[2], size[0], size[1]
    wide = max(size[:-1]) if form.shape in ("frustum", "ring") else size[0]
    return size[-1], wide, wide


def side_of(part: Form, hollow: Shape) -> Side:
    """The face of the part that a hollow goes in from."""
    is_round = part.shape in ROUND
    named = side_named(hollow.from_)
    if named is not None and is_round:
        named = _ENDS.get(named, named)
    if hollow.into:
        usual, other = _INTO[hollow.into]
        return other if named == other else usual
    if named is not None:
        return named
    return "first end" if is_round or part.shape == "prism" else "top"


def side_named(text: str) -> Side | None:
    """The face that a name means."""
    return _SIDE_OF.get(text.casefold().removeprefix("the ").strip())


def _mouth(hollow: Shape) -> tuple[float, float]:
    """How long and how wide a hollow's mouth is."""
    if hollow.shape in ("turned", "shaped"):
        _, wide, high = extent_of(hollow)
        return wide, high
    size = sizes_of(hollow)
    match hollow.shape:
        case "block" | "slot":
            return size[0], size[1]
        case "taper":
            return size[0], size[2]
    wide = max(size[:-1])
    return wide, wide


def offset_of(part: Form, hollow: Shape) -> tuple[float, float]:
    """How far the middle of its mouth stands off the middle of the face, along and across it.

    Raises ShapeError where its place in words means none.
    """
    side = side_of(part, hollow)
    off = [*(hollow.offset or ()), 0.0, 0.0][:2]
    axes = [a for a in (0, 1, 2) if a != AXIS[side]]
    extent, mouth = extent_of(part), _mouth(hollow)
    for said in hollow.at:
        for place in re.split(r"\s*,\s*|\s+and\s+", said.strip()):
            along, value = _placed(place.casefold(), side, axes, extent, mouth)
            off[along] = value
    return off[0], off[1]


def _placed(
    place: str,
    side: Side,
    axes: list[int],
    extent: tuple[float, float, float],
    mouth: tuple[float, float],
) -> tuple[int, float]:
    """Which of the face's two ways a place in words goes, and how far off the middle."""
    if place.removeprefix("in ").removeprefix("the ") == "middle":
        return 0, 0.0
    for pattern in (_TOWARDS, _BESIDE, _FROM):
        found = pattern.fullmatch(place)
        if found is None:
            continue
        toward = _toward(found[2], side, axes)
        along = axes.index(AXIS[toward])
        sign = 1.0 if toward in PLUS else -1.0
        distance = _length(found[1])
        if pattern is not _FROM:
            return along, sign * distance
        return along, sign * (extent[AXIS[toward]] / 2.0 - distance - mouth[along] / 2.0)
    raise ShapeError(f"“{place[:60]}” is no place on a face; {LIKE}", "at")


def _toward(word: str, side: Side, axes: list[int]) -> Side:
    ways = _WAYS.get(word) or ((_SIDE_OF[word],) if word in _SIDE_OF else ())
    lying = next((w for w in ways if AXIS[w] in axes), None)
    if lying is None:
        known = [n for s, names in NAMES.items() if AXIS[s] in axes for n in names[:2]]
        raise ShapeError(f"“{word[:40]}” is no edge of the {side}; {advice(word, known)}", "at")
    return lying


def _length(text: str) -> float:
    try:
        return parse_length_mm(text)
    except QuantityError as error:
        raise ShapeError(str(error), "at") from None


def whole_json(hollow: Shape, *, swapped: bool = False) -> dict[str, Any]:
    """A hollow with its `plus` beside it, lying along x from its mouth."""
    data = json_of(hollow, hollow=True, swapped=swapped)
    if hollow.plus:
        data["plus"] = [beside(more, swapped=swapped) for more in hollow.plus]
    return data


def beside(more: Shape, *, swapped: bool = False) -> dict[str, Any]:
    """What stands in a hollow or opens beside it: along its depth, from its mouth."""
    off = [*(more.offset or ()), 0.0, 0.0][:2]
    across, up = reversed(off) if swapped else off
    data = json_of(more, hollow=True, swapped=swapped)
    return {**data, "at_mm": [more.down, across, up]}


Placed = dict[str, Any]
"""A hollow in its place, in the grammar of the solids."""


def moved(hollow: Placed, by_mm: float) -> Placed:
    """Further along the part."""
    x, y, z = hollow["at_mm"]
    return {**hollow, "at_mm": [x + by_mm, y, z]}


def placed(part: Form, hollow: Shape) -> Placed:
    """A hollow in its place in the part, whole: with no core left standing in it."""
    length, width, height = extent_of(part)
    side, down = side_of(part, hollow), hollow.down
    across, up = offset_of(part, hollow)
    data = whole_json(hollow, swapped=side in ("front", "back"))
    middle = length / 2.0 + across
    match side:
        case "first end":
            return {**data, "at_mm": [down, across, up], "along": "x"}
        case "other end":
            return {**data, "at_mm": [length - down, across, up], "along": "-x"}
        case "back":
            return {**data, "at_mm": [middle, width / 2.0 - down, up], "along": "-y"}
        case "front":
            return {**data, "at_mm": [middle, down - width / 2.0, up], "along": "y"}
        case "top":
            return {**data, "at_mm": [middle, up, height / 2.0 - down], "along": "-z"}
    return {**data, "at_mm": [middle, up, down - height / 2.0], "along": "z"}
