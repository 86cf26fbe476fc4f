"""Sizes as a maker writes them, as the solids of the ready reckoners.

| shape | what `size` lists |
|---|---|
| block | length x width x height |
| slot | length x width x depth, with round ends (or `corner`) |
| cylinder, capsule, dome | diameter x length (height) |
| bore | diameter x depth, flat-bottomed |
| frustum | diameter at its start x diameter at its end x length |
| ring | outer x inner diameter x length |
| prism | across flats x length, with `sides` |
| taper | wide end x narrow end x thickness x length: a tapered mortise or its core |
| turned | nothing; its `profile` lists distance x diameter |

A part lies with its length along x and stands with its height along z. A hollow goes in from the
middle of the length x width face (from the first end of a round part), unless `into` names
another of the part's sizes; `offset` moves it, `down` sets it deeper.
"""

from __future__ import annotations

from typing import Any

from benchmate.procedure.file.schema import Shape

_COUNT = {
    "block": 3,
    "slot": 3,
    "cylinder": 2,
    "capsule": 2,
    "dome": 2,
    "bore": 2,
    "frustum": 3,
    "ring": 3,
    "prism": 2,
    "taper": 4,
}
_LISTS = {
    "block": "length x width x height",
    "slot": "length x width x depth",
    "cylinder": "diameter x length",
    "capsule": "diameter x length",
    "dome": "diameter x height",
    "bore": "diameter x depth",
    "frustum": "first diameter x second diameter x length",
    "ring": "outer x inner diameter x length",
    "prism": "across flats x length",
    "taper": "wide end x narrow end x thickness x length",
}
ROUND = ("cylinder", "frustum", "capsule", "dome", "turned", "ring", "bore")


class ShapeError(ValueError):
    """A shape whose sizes don't make one; a sentence with what to write instead."""

    def __init__(self, said: str, *key: str) -> None:
        super().__init__(said)
        self.key = key
        """The key of the part that is at fault."""


def sizes_of(shape: Shape) -> tuple[float, ...]:
    """The shape's sizes; raises ShapeError where there are too few or too many."""
    if shape.shape == "turned":
        if len(shape.profile) < 2 or any(len(p) != 2 for p in shape.profile):
            raise ShapeError(
                'a turned shape needs its profile; write profile = ["0 x 40 mm", …]', "profile"
            )
        return ()
    wanted = _COUNT[shape.shape]
    if shape.size is None or len(shape.size) != wanted:
        given = 0 if shape.size is None else len(shape.size)
        lists = _LISTS[shape.shape]
        raise ShapeError(
            f'a {shape.shape} has {wanted} sizes, not {given}; write size = "{lists}", in mm',
            "size",
        )
    return shape.size


def json_of(shape: Shape, *, hollow: bool = False) -> dict[str, Any]:
    """The shape alone, lying along x from 0, in the grammar of the solids.

    A hollow's depth lies along x, so that a block's height does.
    """
    size = sizes_of(shape)
    match shape.shape:
        case "block" if hollow:
            return {"shape": "block", "size_mm": [size[2], size[0], size[1]]}
        case "block":
            return {"shape": "block", "size_mm": list(size)}
        case "slot":
            data = {"shape": "slot", "length_mm": size[0], "width_mm": size[1], "depth_mm": size[2]}
            return data if shape.corner is None else {**data, "corner_mm": shape.corner}
        case "cylinder" | "capsule":
            return {"shape": shape.shape, "diameter_mm": size[0], "length_mm": size[1]}
        case "bore":
            return {"shape": "bore", "diameter_mm": size[0], "depth_mm": size[1], "tip_deg": 180}
        case "dome":
            return {"shape": "dome", "diameter_mm": size[0], "height_mm": size[1]}
        case "frustum":
            return {"shape": "frustum", "diameters_mm": list(size[:2]), "length_mm": size[2]}
        case "ring":
            return {"shape": "ring", "outer_mm": size[0], "inner_mm": size[1], "length_mm": size[2]}
        case "prism":
            sides = shape.sides or 6
            return {
                "shape": "prism",
                "sides": sides,
                "across_flats_mm": size[0],
                "length_mm": size[1],
            }
        case "taper":
            return _taper(*size)
    pairs = [[x, diameter / 2.0] for x, diameter in shape.profile]
    return {"shape": "turned", "profile_mm": pairs}


def _taper(wide: float, narrow: float, thick: float, long: float) -> dict[str, Any]:
    """Its axis along x too: a flat trapezoid, carried through the thickness, turned over."""
    a, b = wide / 2.0, narrow / 2.0
    outline = [[0.0, -a], [0.0, a], [long, b], [long, -b]]
    flat = {"shape": "prism", "outline_mm": outline, "length_mm": thick}
    return {"plus": [{**flat, "along": "z", "at_mm": [0, 0, -thick / 2.0]}]}


def body_json(part: Shape, hollows: list[Shape]) -> dict[str, Any]:
    """A part with its additions, less its own cuts and these hollows, each in its place."""
    cuts = [placed(part, h) for h in (*part.minus, *hollows)]
    data = json_of(part)
    if part.plus:
        data["plus"] = [_on_end(part, p) for p in part.plus]
    return {**data, "minus": cuts} if cuts else data


def hollow_json(hollow: Shape) -> dict[str, Any]:
    """What is to be filled of a hollow: less the cores and spacers that stand in it (its `minus`).

    They are no wood: the part loses the whole hollow.
    """
    data = json_of(hollow, hollow=True)
    if hollow.minus:
        data["minus"] = [_inside(core) for core in hollow.minus]
    return data


def _inside(core: Shape) -> dict[str, Any]:
    """A core in a hollow: it stands along the hollow's depth, from its mouth."""
    across, up = (*(core.offset or (0.0, 0.0)), 0.0)[:2]
    return {**json_of(core, hollow=True), "at_mm": [core.down, across, up]}


def _on_end(part: Shape, more: Shape) -> dict[str, Any]:
    """An addition: it goes on where the part ends."""
    length = part.profile[-1][0] if part.shape == "turned" else _extent(part)[0]
    return {**json_of(more), "at_mm": [length + more.down, 0, 0]}


def _extent(part: Shape) -> tuple[float, float, float]:
    """Length, width and height of the box around a part."""
    if part.shape == "turned":
        wide = max(d for _, d in part.profile)
        return part.profile[-1][0], wide, wide
    size = sizes_of(part)
    if part.shape == "block":
        return size[0], size[1], size[2]
    if part.shape == "slot":
        return size[2], size[0], size[1]
    wide = max(size[:-1]) if part.shape in ("frustum", "ring") else size[0]
    return size[-1], wide, wide


def into_of(part: Shape, hollow: Shape) -> str:
    """Which of the part's sizes the hollow goes down along."""
    return hollow.into or ("length" if part.shape in ROUND or part.shape == "prism" else "height")


def placed(part: Shape, hollow: Shape) -> dict[str, Any]:
    """A hollow in its place in the part, whole: with no core left standing in it."""
    length, width, height = _extent(part)
    across, up = (*(hollow.offset or (0.0, 0.0)), 0.0)[:2]
    data = json_of(hollow, hollow=True)
    match into_of(part, hollow):
        case "length":
            return {**data, "at_mm": [hollow.down, across, up], "along": "x"}
        case "width":
            at = [length / 2.0 + across, width / 2.0 - hollow.down, up]
            return {**data, "at_mm": at, "along": "-y"}
    at = [length / 2.0 + across, up, height / 2.0 - hollow.down]
    return {**data, "at_mm": at, "along": "-z"}


def gap_of(hollow: Shape) -> float:
    """The smallest free width that shot meets, in mm."""
    size = sizes_of(hollow)
    match hollow.shape:
        case "block" | "slot":
            return min(size[:2])
        case "ring":
            return (size[0] - size[1]) / 2.0
        case "frustum":
            return min(size[:2])
        case "taper":
            return min(size[:3])
        case "turned":
            return max(d for _, d in hollow.profile)
    return size[0]


def deep_of(hollow: Shape) -> float:
    """How deep the hollow is, in mm."""
    size = sizes_of(hollow)
    if hollow.shape == "turned":
        return hollow.profile[-1][0] - hollow.profile[0][0]
    return size[-1]
