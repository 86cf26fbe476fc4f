"""Shapes: properties that hold for any of them, and sentences for what can't be cut."""

import copy
import math
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmate.reckon import Refused, answer
from benchmate.reckon.solids import Body, shape_from_json
from benchmate.reckon.solids.levels import areas_by_depth

Shape = dict[str, Any]
sizes = st.floats(1.0, 200.0)


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    """Any one of the shapes, with sizes that make sense."""
    a, b, c = draw(sizes), draw(sizes), draw(sizes)
    return draw(
        st.sampled_from(
            [
                {"shape": "block", "size_mm": [a, b, c]},
                {"shape": "cylinder", "diameter_mm": a, "length_mm": b},
                {"shape": "frustum", "diameters_mm": [a, c], "length_mm": b},
                {"shape": "frustum", "diameters_mm": [0, c], "length_mm": b},
                {"shape": "capsule", "diameter_mm": a, "length_mm": a + b},
                {"shape": "slot", "length_mm": a, "width_mm": b, "depth_mm": c},
                {
                    "shape": "slot",
                    "length_mm": a,
                    "width_mm": b,
                    "depth_mm": c,
                    "corner_mm": min(a, b) / 3,
                },
                {"shape": "prism", "sides": 7, "across_flats_mm": a, "length_mm": b},
                {
                    "shape": "prism",
                    "outline_mm": [[0, 0], [a, 0], [a, b], [a / 2, b / 3]],
                    "length_mm": c,
                },
                {"shape": "ring", "outer_mm": a + b, "inner_mm": a, "length_mm": c},
                {"shape": "ring", "middle_mm": a + b, "section_mm": a},
                {"shape": "dome", "diameter_mm": a, "height_mm": b},
                {"shape": "bore", "diameter_mm": a, "depth_mm": b},
                {"shape": "bore", "steps_mm": [[a + b, c], [a, c + b]]},
                {"shape": "turned", "profile_mm": [[0, a], [b, c], [b, a / 2], [b + c, 0]]},
            ]
        )
    )


def scaled(shape: Any, factor: float) -> Any:
    """The same shape, every length times a factor."""
    if isinstance(shape, dict):
        keep = ("shape", "sides", "tip_deg", "along")
        return {k: v if k in keep else scaled(v, factor) for k, v in shape.items()}
    if isinstance(shape, list):
        return [scaled(item, factor) for item in shape]
    return shape * factor


def volume_of(shape: Shape) -> float:
    return shape_from_json(shape).volume


@given(shapes(), st.floats(0.2, 5.0))
def test_twice_the_size_is_eight_times_the_volume_and_four_the_surface(
    shape: Shape, factor: float
) -> None:
    small, large = shape_from_json(shape), shape_from_json(scaled(shape, factor))
    assert large.volume == pytest.approx(small.volume * factor**3, rel=1e-6)
    assert large.surface == pytest.approx(small.surface * factor**2, rel=1e-6)  # type: ignore[operator]
    assert large.centre == pytest.approx([c * factor for c in small.centre], rel=1e-6, abs=1e-6)


@given(shapes())
def test_taking_nothing_away_changes_nothing(shape: Shape) -> None:
    whole, same = shape_from_json(shape), shape_from_json({**shape, "minus": [], "plus": []})
    assert (same.volume, same.surface, same.centre) == (whole.volume, whole.surface, whole.centre)


@given(shapes(), st.sampled_from(["x", "y", "z", "-x", "-y", "-z"]), sizes, sizes, sizes)
def test_moving_and_turning_changes_neither_volume_nor_surface(
    shape: Shape, along: str, x: float, y: float, z: float
) -> None:
    here = shape_from_json(shape)
    there = shape_from_json({**shape, "along": along, "at_mm": [x, y, z]})
    assert there.volume == pytest.approx(here.volume)
    assert there.surface == pytest.approx(here.surface)
    axis = "xyz".index(along[-1])
    sign = -1 if along.startswith("-") else 1
    assert there.centre[axis] == pytest.approx([x, y, z][axis] + sign * here.centre[0], abs=1e-6)


@given(shapes())
@settings(max_examples=50)
def test_the_centre_lies_in_the_shapes_box(shape: Shape) -> None:
    body = shape_from_json(shape)
    for i, axis in enumerate("xyz"):
        assert -body.box[f"-{axis}"] - 1e-9 <= body.centre[i] <= body.box[f"+{axis}"] + 1e-9


@given(shapes(), sizes)
@settings(max_examples=50)
def test_parts_apart_add_up(shape: Shape, gap: float) -> None:
    one = shape_from_json(shape)
    place = [one.box["+x"] + gap, 0, 0]
    both = shape_from_json({**shape, "plus": [{**shape, "at_mm": place}]})
    assert both.volume == pytest.approx(2 * one.volume)
    assert both.surface == pytest.approx(2 * one.surface)  # type: ignore[operator]


@given(shapes(), st.floats(1.5, 3.0))
@settings(max_examples=50)
def test_what_is_cut_and_what_is_left_make_the_whole(shape: Shape, room: float) -> None:
    core = shape_from_json(shape)
    sides = [core.box[f"+{axis}"] + core.box[f"-{axis}"] for axis in "xyz"]
    block: Shape = {"shape": "block", "size_mm": [room * side for side in sides]}
    middle = [(core.box[f"+{axis}"] - core.box[f"-{axis}"]) / 2 for axis in "xyz"]
    at = [room * sides[0] / 2 - middle[0], -middle[1], -middle[2]]
    hollow = shape_from_json({**block, "minus": [{**shape, "at_mm": at}]})
    whole = shape_from_json(block)
    assert hollow.volume + core.volume == pytest.approx(whole.volume)
    # Closed in: nothing of the void's surface is a mouth.
    assert hollow.surface == pytest.approx(whole.surface + core.surface)  # type: ignore[operator]
    moment = hollow.volume * hollow.centre[0] + core.volume * (at[0] + core.centre[0])
    assert moment == pytest.approx(whole.volume * whole.centre[0])


@given(sizes, sizes, st.floats(0.2, 0.9), st.floats(0.1, 0.9))
def test_a_bored_cylinder_is_a_tube_and_a_shorter_cylinder(
    diameter: float, long: float, thin: float, deep: float
) -> None:
    bore: Shape = {"shape": "cylinder", "diameter_mm": thin * diameter, "length_mm": deep * long}
    outer: Shape = {"shape": "cylinder", "diameter_mm": diameter, "length_mm": long}
    bored = shape_from_json({**outer, "minus": [bore]})
    tube: Shape = {
        "shape": "ring",
        "outer_mm": diameter,
        "inner_mm": thin * diameter,
        "length_mm": deep * long,
    }
    rest: Shape = {
        "shape": "cylinder",
        "diameter_mm": diameter,
        "length_mm": long - deep * long,
        "at_mm": [deep * long, 0, 0],
    }
    joined = shape_from_json({"plus": [tube, rest]})
    assert joined.volume == pytest.approx(bored.volume)
    assert joined.centre == pytest.approx(bored.centre)
    assert joined.surface == pytest.approx(bored.surface)


@given(sizes, sizes, sizes)
def test_two_halves_glued_are_the_whole(x: float, y: float, z: float) -> None:
    half: Shape = {"shape": "block", "size_mm": [x, y, z]}
    both = shape_from_json({**half, "plus": [{**half, "at_mm": [x, 0, 0]}]})
    whole = shape_from_json({"shape": "block", "size_mm": [2 * x, y, z]})
    assert both.volume == pytest.approx(whole.volume)
    assert both.surface == pytest.approx(whole.surface)
    assert both.centre == pytest.approx(whole.centre, abs=1e-9)


@given(shapes())
@settings(max_examples=60)
def test_areas_by_depth_hold_the_volume(shape: Shape) -> None:
    body = shape_from_json(shape)
    if body.piece is None or shape.get("middle_mm"):
        with pytest.raises(Refused, match="must be one"):
            areas_by_depth(body)
        return
    points = areas_by_depth(body)
    volume = sum((b[0] - a[0]) * (a[1] + b[1]) / 2 for a, b in pairwise(points))
    assert volume == pytest.approx(body.volume, rel=1e-9)


def test_a_quantity_with_a_unit_is_read() -> None:
    inches = {"shape": "bore", "diameter_mm": "3/4 in", "depth_mm": "1 1/2 in", "tip_deg": 180}
    assert volume_of(inches) == pytest.approx(math.pi * 9.525**2 * 38.1)
    assert volume_of({"shape": "block", "size_mm": "12 x 9 x 6 cm"}) == pytest.approx(648_000)


def test_a_hole_in_the_hollow_of_a_ring_meets_no_wood() -> None:
    ring: Shape = {"shape": "ring", "outer_mm": 60, "inner_mm": 40, "length_mm": 20}
    plug: Shape = {"shape": "cylinder", "diameter_mm": 40, "length_mm": 20}
    hole: Shape = {"shape": "cylinder", "diameter_mm": 10, "length_mm": 20}
    with pytest.raises(Refused, match="takes nothing"):
        shape_from_json({**ring, "minus": [hole]})
    whole = shape_from_json({**ring, "plus": [plug]})
    assert whole.volume == pytest.approx(math.pi * 900 * 20)
    drilled = shape_from_json({**ring, "plus": [plug], "minus": [hole]})
    assert drilled.volume == pytest.approx(math.pi * (900 - 25) * 20)


def test_a_recess_and_a_bore_below_it_leave_one_surface() -> None:
    block: Shape = {"shape": "block", "size_mm": [50, 60, 60]}
    recess: Shape = {"shape": "slot", "length_mm": 40, "width_mm": 30, "depth_mm": 5}
    bore: Shape = {"shape": "cylinder", "diameter_mm": 20, "length_mm": 25, "at_mm": [5, 0, 0]}
    whole = shape_from_json(block).surface
    cut = shape_from_json({**block, "minus": [recess, bore]}).surface
    added = (2 * 10 + math.pi * 30) * 5 + math.pi * 20 * 25
    assert cut == pytest.approx(whole + added)  # type: ignore[operator]


def test_a_part_that_overhangs_its_joint_is_noted() -> None:
    base: Shape = {"shape": "block", "size_mm": [10, 40, 40]}
    leg: Shape = {"shape": "block", "size_mm": [30, 20, 20], "at_mm": [10, 20, 0]}
    found = answer("solid", {"shape": {**base, "plus": [leg]}})
    assert any("counts too large" in note for note in found.notes)


def test_crossing_holes_have_an_uncertainty_and_no_surface() -> None:
    bore: Shape = {"shape": "cylinder", "diameter_mm": 20, "length_mm": 100}
    across: Shape = {**bore, "length_mm": 50, "along": "y", "at_mm": [50, -25, 0]}
    block: Shape = {"shape": "block", "size_mm": [100, 50, 50], "minus": [bore, across]}
    found = answer("solid", {"shape": block})
    assert found.results["volume_ml"].u is not None
    assert found.results["surface_cm2"].value is None
    assert found.results["centroid_mm"].value == pytest.approx([50, 0, 0], abs=0.05)


GOOD: Shape = {
    "shape": "block",
    "size_mm": [120, 90, 60],
    "minus": [{"shape": "bore", "diameter_mm": 30, "depth_mm": 60}],
}


def with_(path: list[Any], value: object) -> Shape:
    """The good shape with one thing changed."""
    shape = copy.deepcopy(GOOD)
    place: Any = shape
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = value
    return shape


@pytest.mark.parametrize(
    ("shape", "said"),
    [
        (with_(["shape"], "blok"), "did you mean block"),
        (with_(["size"], [1, 2, 3]), "no field “size”"),
        (with_(["size_mm"], [120, 90]), "list of 3 lengths"),
        (with_(["size_mm"], [120, 90, 0]), "at least"),
        (with_(["size_mm"], [120, 90, -60]), "at least"),
        (with_(["size_mm"], [120, 90, 1e9]), "at most"),
        (with_(["size_mm"], [120, 90, "60 g"]), "weight"),
        (with_(["size_mm"], "120 x 90 mm"), "2 of the 3"),
        (
            with_(["minus"], [{"shape": "bore", "diameter_mm": 30, "depth_mm": 119}]),
            r"minus\[1\] \(bore\) sticks out of the body by 8.013 mm along \+x",
        ),
        (with_(["minus", 0, "diameter_mm"], 61), r"sticks out .* along \+z"),
        (with_(["minus", 0, "at_mm"], [-1, 0, 0]), "sticks out"),
        (with_(["minus", 0, "along"], "up"), "can't be"),
        (with_(["minus", 0, "tip_deg"], 30), "at least 60"),
        (with_(["minus", 0], 5), "must be an object"),
        (with_(["minus"], GOOD), "must be a list"),
        ({"shape": "capsule", "diameter_mm": 20, "length_mm": 19}, "over the round ends"),
        ({"shape": "ring", "outer_mm": 20, "inner_mm": 20, "length_mm": 5}, "must be less"),
        ({"shape": "ring", "middle_mm": 20, "section_mm": 21}, "closes a ring"),
        (
            {"shape": "slot", "length_mm": 9, "width_mm": 8, "depth_mm": 1, "corner_mm": 5},
            "more than half",
        ),
        ({"shape": "frustum", "diameters_mm": [0, 0], "length_mm": 5}, "both zero"),
        ({"shape": "prism", "sides": 2, "across_flats_mm": 5, "length_mm": 5}, "at least 3"),
        ({"shape": "prism", "sides": 5.5, "across_flats_mm": 5, "length_mm": 5}, "whole number"),
        (
            {"shape": "prism", "outline_mm": [[0, 0], [9, 9], [9, 0], [0, 9]], "length_mm": 5},
            "crosses",
        ),
        ({"shape": "prism", "outline_mm": [[0, 0], [9, 9]], "length_mm": 5}, "three corners"),
        ({"shape": "turned", "profile_mm": [[0, 5], [9, 5], [8, 5]]}, "goes back"),
        ({"shape": "turned", "profile_mm": [[0, 5], [9, -5]]}, "below zero"),
        ({"shape": "turned", "profile_mm": [[0, 0], [9, 0]]}, "encloses nothing"),
        ({"shape": "turned", "profile_mm": [[0, 5]]}, "at least two"),
        ({"shape": "turned", "profile_mm": [5, 6]}, "pair of lengths"),
        ({"shape": "bore", "steps_mm": [[9, 9]], "depth_mm": 5}, "there alone"),
        ({"shape": "bore", "steps_mm": []}, "at least one pair"),
        ({}, "lacks shape"),
        ([], "must be an object"),
        ({"plus": [{"shape": "dome", "diameter_mm": 5}] * 61}, "at most 60"),
    ],
)
def test_what_cannot_be_cut_is_refused_in_one_sentence(shape: Any, said: str) -> None:
    with pytest.raises(Refused, match=said) as refusal:
        answer("solid", {"shape": shape})
    assert "\n" not in str(refusal.value)


def test_voids_that_take_everything_are_refused() -> None:
    block: Shape = {"shape": "block", "size_mm": [10, 10, 10]}
    with pytest.raises(Refused, match="no volume is left"):
        shape_from_json({**block, "minus": [block]})


def test_shapes_nested_too_deeply_are_refused() -> None:
    shape: Shape = {"shape": "block", "size_mm": [9, 9, 9]}
    for _ in range(8):
        shape = {"plus": [shape]}
    with pytest.raises(Refused, match="deep"):
        shape_from_json(shape)


def test_a_body_knows_its_pieces() -> None:
    body: Body = shape_from_json(GOOD)
    assert len(body.pieces) == 1
    assert body.contains((100.0, 0.0, 0.0))
    assert not body.contains((30.0, 0.0, 0.0))
    assert not body.contains((-1.0, 0.0, 0.0))
