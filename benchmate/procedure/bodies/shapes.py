"""Sizes as a maker writes them, as the solids of the ready reckoners.

| shape | what `size` lists |
|---|---|
| block | length x width x height |
| slot | length x width x depth, with round ends (or `corner`) |
| cylinder, capsule, dome | diameter x length (height) |
| bore | diameter x depth; or its `steps`; flat-bottomed, or with the drill's `tip` |
| frustum | diameter at its start x diameter at its end x length |
| ring | outer x inner diameter x length |
| prism | across flats x length, with `sides` |
| taper | wide end x narrow end x thickness x length: a tapered mortise or its core |
| turned | nothing; its `profile` lists distance x diameter |
| shaped | nothing; its `stations` list distance x width x height of an ellipse |

A part lies with its length along x and stands with its height along z. Where in it a hollow
lies is in `placing`.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from benchmate.procedure.file.part_schema import Form

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


class ShapeError(ValueError):
    """A shape whose sizes don't make one; a sentence with what to write instead."""

    def __init__(self, said: str, *key: str) -> None:
        super().__init__(said)
        self.key = key
        """The key of the part that is at fault."""


def sizes_of(shape: Form) -> tuple[float, ...]:
    """The shape's sizes; raises ShapeError where there are too few or too many."""
    if shape.shape == "turned":
        if len(shape.profile) < 2 or any(len(p) != 2 for p in shape.profile):
            raise ShapeError(
                'a turned shape needs its profile; write profile = ["0 x 40 mm", …]', "profile"
            )
        return ()
    if shape.shape == "shaped":
        return _stations(shape)
    if shape.shape == "bore" and shape.steps:
        return _steps(shape)
    wanted = _LISTS[shape.shape].count(" x ") + 1
    if shape.size is None or len(shape.size) != wanted:
        given = 0 if shape.size is None else len(shape.size)
        lists = _LISTS[shape.shape]
        raise ShapeError(
            f'a {shape.shape} has {wanted} sizes, not {given}; write size = "{lists}", in mm',
            "size",
        )
    return shape.size


def _stations(shape: Form) -> tuple[float, ...]:
    rising = all(a[0] < b[0] for a, b in pairwise(shape.stations))
    if len(shape.stations) < 2 or any(len(s) != 3 for s in shape.stations) or not rising:
        raise ShapeError(
            "a shaped part needs two stations or more, each further on; "
            'write stations = ["0 x 26 x 18 mm", "90 x 32 x 24 mm"]',
            "stations",
        )
    return ()


def _steps(shape: Form) -> tuple[float, ...]:
    """The largest diameter and the whole depth."""
    if any(len(step) != 2 for step in shape.steps):
        raise ShapeError(
            "a step of a bore is its diameter and its depth from the mouth; "
            'write steps = ["20 x 10 mm", "12 x 40 mm"]',
            "steps",
        )
    return max(s[0] for s in shape.steps), max(s[1] for s in shape.steps)


def json_of(shape: Form, *, hollow: bool = False, swapped: bool = False) -> dict[str, Any]:
    """The shape alone, lying along x from 0, in the grammar of the solids.

    A hollow's depth lies along x, so that a block's height does; `swapped` where its length is to
    lie along the third axis and not the second.
    """
    size = sizes_of(shape)
    if swapped and shape.shape in ("block", "slot"):
        size = (size[1], size[0], size[2])
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
        case "bore" if shape.steps:
            steps = [list(step) for step in shape.steps]
            return {"shape": "bore", "steps_mm": steps, "tip_deg": shape.tip}
        case "bore":
            bored = {"diameter_mm": size[0], "depth_mm": size[1], "tip_deg": shape.tip}
            return {"shape": "bore", **bored}
        case "shaped":
            return {"shape": "turned", "profile_mm": round_like(shape)}
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


RUNS = 24
"""Into how many a run between two stations is cut: its volume then is right to 0.01 %."""


def round_like(shape: Form) -> list[list[float]]:
    """A round body whose section at every distance has the area of the shaped one's ellipse.

    Bending it shifts its sections sideways and leaves its volume as it is (Cavalieri).
    """
    profile = []
    for (x0, w0, h0), (x1, w1, h1) in pairwise(shape.stations):
        for step in range(RUNS + 1):
            t = step / RUNS
            wide, high = w0 + t * (w1 - w0), h0 + t * (h1 - h0)
            profile.append([x0 + t * (x1 - x0), (wide * high) ** 0.5 / 2.0])
    return profile


def _taper(wide: float, narrow: float, thick: float, long: float) -> dict[str, Any]:
    """Its axis along x too: a flat trapezoid, carried through the thickness, turned over."""
    a, b = wide / 2.0, narrow / 2.0
    outline = [[0.0, -a], [0.0, a], [long, b], [long, -b]]
    flat = {"shape": "prism", "outline_mm": outline, "length_mm": thick}
    return {"plus": [{**flat, "along": "z", "at_mm": [0, 0, -thick / 2.0]}]}


def gap_of(hollow: Form) -> float:
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
        case "shaped":
            return min(min(s[1:]) for s in hollow.stations)
    return size[0]


def deep_of(hollow: Form) -> float:
    """How deep the hollow is, in mm."""
    size = sizes_of(hollow)
    if hollow.shape == "turned":
        return hollow.profile[-1][0] - hollow.profile[0][0]
    if hollow.shape == "shaped":
        return hollow.stations[-1][0] - hollow.stations[0][0]
    return size[-1]
