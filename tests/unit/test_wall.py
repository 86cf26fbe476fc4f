"""Walls around a pocket: properties, what is refused, and the lines to draw."""

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmate.reckon import Refused, answer
from benchmate.reckon.solids import shape_from_json
from benchmate.reckon.solids.apart import gap
from benchmate.reckon.wall.wall_faces import facet
from benchmate.reckon.wall.wall_outside import read_outside
from benchmate.reckon.wall.wall_pocket import read_pocket
from benchmate.reckon.wall.wall_thickness import Tolerances, walls

Shape = dict[str, Any]
BLOCK: Shape = {"shape": "block", "size_mm": [120, 90, 60]}
SLOT: Shape = {
    "shape": "slot",
    "length_mm": 80,
    "width_mm": 30,
    "depth_mm": 45,
    "at_mm": [60, 10, 30],
    "along": "-z",
}
COLUMN: Shape = {"shape": "cylinder", "diameter_mm": 60, "length_mm": 150}
BORE: Shape = {"shape": "bore", "diameter_mm": 30, "depth_mm": 100}


def wall(outside: Shape, pocket: Shape, **more: Any) -> Any:
    return answer("wall", {"outside": outside, "pocket": pocket, **more})


def least(outside: Shape, pocket: Shape, **more: Any) -> float:
    return float(wall(outside, pocket, **more).number("least_wall_mm"))


def test_the_thinnest_of_all_walls_is_told_and_where() -> None:
    found = wall(BLOCK, SLOT)
    assert found.number("least_wall_mm") == pytest.approx(15.0)
    assert "the face at z = -30" in str(found.results["where"].value)
    shifted = wall(BLOCK, {**SLOT, "at_mm": [60, 22, 30]})
    assert shifted.number("least_wall_mm") == pytest.approx(8.0)
    assert "the face at y = 45" in str(shifted.results["where"].value)


@given(st.floats(0.0, 10.0), st.floats(0.0, 12.0))
def test_sanding_thins_the_wall_by_as_much_and_leaves_what_may_come_off(
    off: float, wanted: float
) -> None:
    found = wall(BLOCK, SLOT, still_off_mm=off, wall_mm=wanted)
    assert found.number("least_wall_mm") == pytest.approx(15.0 - off)
    assert found.number("may_sand_mm") == pytest.approx(15.0 - wanted, abs=1e-9)


@given(st.floats(-9.0, 9.0), st.floats(-9.0, 9.0))
def test_mirroring_the_pocket_leaves_the_wall(y: float, z: float) -> None:
    here = least(COLUMN, {**BORE, "at_mm": [0, y, z]})
    for mirrored in ([0, -y, z], [0, y, -z], [0, z, y]):
        assert least(COLUMN, {**BORE, "at_mm": mirrored}) == pytest.approx(here, abs=1e-9)
    # The bore is 100 deep and has a tip, so the end is never nearer than the side here.
    assert here == pytest.approx(30 - 15 - math.hypot(y, z), abs=1e-9)


@given(st.floats(0.2, 5.0))
@settings(max_examples=30)
def test_everything_larger_makes_the_wall_larger_alike(factor: float) -> None:
    outside = {**BLOCK, "size_mm": [factor * v for v in BLOCK["size_mm"]]}
    pocket = {
        **SLOT,
        **{key: factor * SLOT[key] for key in ("length_mm", "width_mm", "depth_mm")},
        "at_mm": [factor * v for v in SLOT["at_mm"]],
    }
    assert least(outside, pocket, wall_mm=0) == pytest.approx(15.0 * factor)


@given(st.floats(1.0, 15.0), st.floats(20.0, 60.0), st.floats(5.0, 44.0))
@settings(max_examples=40)
def test_a_larger_pocket_never_has_more_wall(grow: float, length: float, depth: float) -> None:
    small = {**SLOT, "length_mm": length, "depth_mm": depth, "width_mm": 20}
    for key in ("length_mm", "depth_mm", "width_mm"):
        larger = {**small, key: small[key] + grow}
        assert least(BLOCK, larger) <= least(BLOCK, small) + 1e-9


CASES: list[tuple[str, Shape, Shape, float]] = [
    ("a bore with its tip", {**COLUMN, "length_mm": 120}, {**BORE, "tip_deg": 90}, 5.0),
    ("a flat-bottomed bore", {**COLUMN, "length_mm": 120}, {**BORE, "tip_deg": 180}, 15.0),
    (
        "a recess wider than the bore",
        COLUMN,
        {**BORE, "recess": {"diameter_mm": 50, "depth_mm": 5}},
        5.0,
    ),
    ("a chamfered mouth", COLUMN, {**BORE, "chamfer_mm": 4}, 11.0),
    (
        "a slot's recess",
        BLOCK,
        {**SLOT, "recess": {"length_mm": 90, "width_mm": 56, "depth_mm": 3}},
        7.0,
    ),
    ("a slot that widens downwards", BLOCK, {**SLOT, "end_size_mm": [80, 60]}, 5.0),
    (
        "a hexagon about a ball-ended pocket",
        {"shape": "prism", "sides": 6, "across_flats_mm": 40, "length_mm": 60},
        {"shape": "capsule", "diameter_mm": 22, "length_mm": 40},
        9.0,
    ),
    (
        "a rounded block",
        {"shape": "slot", "length_mm": 90, "width_mm": 60, "depth_mm": 50},
        {"shape": "cylinder", "diameter_mm": 40, "length_mm": 35},
        10.0,
    ),
    (
        "closed in all round",
        BLOCK,
        {"shape": "block", "size_mm": [100, 50, 30], "at_mm": [8, 0, 0]},
        8.0,
    ),
    (
        "a pocket from the side of a column",
        COLUMN,
        {
            "shape": "cylinder",
            "diameter_mm": 20,
            "length_mm": 40,
            "along": "-z",
            "at_mm": [75, 0, 30],
        },
        30 - math.hypot(10, 10),
    ),
    (
        "a column's rim chamfer",
        {**COLUMN, "chamfer_mm": 10},
        {"shape": "cylinder", "diameter_mm": 30, "length_mm": 100},
        5.0,
    ),
    (
        "a dome over a bore",
        {"shape": "dome", "diameter_mm": 80},
        {"shape": "cylinder", "diameter_mm": 30, "length_mm": 20},
        15.0,
    ),
]


@pytest.mark.parametrize(
    ("outside", "pocket", "thickness"),
    [case[1:] for case in CASES],
    ids=[case[0] for case in CASES],
)
def test_walls_worked_by_hand(outside: Shape, pocket: Shape, thickness: float) -> None:
    assert least(outside, pocket) == pytest.approx(thickness, rel=2e-4)


BROKEN: list[tuple[str, Shape, Shape, dict[str, Any], str]] = [
    ("too wide", BLOCK, {**SLOT, "length_mm": 125}, {}, "breaks out by 2.50 mm"),
    ("too deep", BLOCK, {**SLOT, "depth_mm": 61}, {}, "breaks out by 1.00 mm"),
    ("right through", BLOCK, {**SLOT, "depth_mm": 60}, {}, "breaks out by 0.00 mm"),
    ("off to a side", COLUMN, {**BORE, "at_mm": [0, 20, 0]}, {}, "breaks out by 5.00 mm"),
    ("past the end", COLUMN, {**BORE, "depth_mm": 149}, {}, "breaks out"),
    (
        "through a chamfer",
        {**BLOCK, "chamfer_mm": 20},
        {"shape": "block", "size_mm": [55, 100, 86], "at_mm": [60, 0, 30], "along": "-z"},
        {},
        "the chamfer between",
    ),
    ("sanded open", BLOCK, SLOT, {"still_off_mm": 15}, "opens the pocket"),
    (
        "into a cross-hole",
        {
            **COLUMN,
            "cross_holes": [
                {
                    "shape": "cylinder",
                    "diameter_mm": 10,
                    "length_mm": 60,
                    "along": "y",
                    "at_mm": [80, -30, 0],
                }
            ],
        },
        BORE,
        {},
        "cross-hole 1",
    ),
    (
        "no outside",
        {"shape": "ring", "outer_mm": 60, "inner_mm": 20, "length_mm": 90},
        BORE,
        {},
        "outside must be a solid",
    ),
    ("outside moved", {**BLOCK, "at_mm": [1, 0, 0]}, SLOT, {}, "place the pocket"),
    ("outside with holes", {**BLOCK, "minus": [SLOT]}, SLOT, {}, "cross_holes"),
    (
        "hollow corner",
        {"shape": "prism", "length_mm": 9, "outline_mm": [[0, 0], [40, 0], [9, 9], [0, 40]]},
        BORE,
        {},
        "convex",
    ),
    ("round taper", {**COLUMN, "end_size_mm": [9, 9]}, BORE, {}, "a frustum"),
    ("tapered bore", COLUMN, {**BORE, "end_size_mm": [9, 9]}, {}, "for a slot or block"),
    (
        "a ring as pocket",
        COLUMN,
        {"shape": "ring", "middle_mm": 30, "section_mm": 9},
        {},
        "can't be a ring",
    ),
    ("too large a rim chamfer", {**COLUMN, "chamfer_mm": 31}, BORE, {}, "no end face"),
    ("a wrong tolerance", BLOCK, SLOT, {"tolerances": {"size_mm": 1}}, "no field"),
    ("a negative tolerance", BLOCK, SLOT, {"tolerances": -1}, "at least"),
]


@pytest.mark.parametrize(
    ("outside", "pocket", "more", "said"),
    [case[1:] for case in BROKEN],
    ids=[case[0] for case in BROKEN],
)
def test_a_wall_that_cannot_be_is_refused(
    outside: Shape, pocket: Shape, more: dict[str, Any], said: str
) -> None:
    with pytest.raises(Refused, match=said):
        wall(outside, pocket, **more)


def test_a_wall_under_the_wanted_is_noted_and_not_hidden() -> None:
    found = wall(BLOCK, SLOT, still_off_mm=4, wall_mm=16)
    assert found.number("may_sand_mm") == pytest.approx(-1.0)
    assert any("less than the 16 mm wanted" in note for note in found.notes)
    assert any("below zero" in note for note in found.notes)


def test_a_wall_within_its_uncertainty_of_the_wanted_is_noted() -> None:
    found = wall(BLOCK, SLOT, wall_mm=14.5, tolerances=0.5)
    assert found.results["least_wall_mm"].u == pytest.approx(math.hypot(0.5, 0.5) / math.sqrt(3))
    assert any("measure before sanding" in note for note in found.notes)


def test_a_bores_wall_in_a_taper_is_also_told_as_callipers_find_it() -> None:
    found = wall(
        {"shape": "frustum", "diameters_mm": [34, 22], "length_mm": 120},
        {"shape": "cylinder", "diameter_mm": 14, "length_mm": 90, "at_mm": [0, 1, 0]},
    )
    assert any("4.5 mm at x 90" in note for note in found.notes)


def test_sanding_does_not_thin_the_wall_to_a_cross_hole() -> None:
    hole = {
        "shape": "cylinder",
        "diameter_mm": 10,
        "length_mm": 60,
        "along": "y",
        "at_mm": [120, -30, 0],
    }
    bore = {"shape": "cylinder", "diameter_mm": 30, "length_mm": 112}
    outside = {**COLUMN, "cross_holes": [hole]}
    assert least(outside, bore, still_off_mm=5) == pytest.approx(3.0)
    found = wall(outside, bore, still_off_mm=5, wall_mm=4)
    assert found.number("may_sand_mm") == pytest.approx(11.0)
    assert any("sanding doesn't change it" in note for note in found.notes)


@given(st.floats(0.0, 1.0), st.floats(0.0, 2.0))
def test_tolerances_count_where_they_bear(endwise: float, bound: float) -> None:
    assert Tolerances().u_mm(endwise) == 0.0
    assert Tolerances(depth_mm=bound).u_mm(0.0) == 0.0
    assert Tolerances(position_mm=bound).u_mm(1.0) == 0.0
    u = Tolerances(bound, bound, bound, bound).u_mm(endwise)
    assert bound * 0.7 <= u * math.sqrt(3) + 1e-12
    assert u <= bound


def rows_of(found: Any) -> dict[str, Any]:
    return {row["face"]: row for row in found.results["no_go"].value}


def test_the_outline_to_draw_is_the_pocket_grown_by_the_wall_and_kept_on_the_face() -> None:
    rows = rows_of(wall(BLOCK, SLOT, wall_mm=4))
    assert "face at z = 30" not in rows, "the mouth's own face is no place for a no-go line"
    side = rows["face at y = 45"]
    assert (side["axes"], side["wall_mm"]) == ("x, z", pytest.approx(20.0))
    xs, zs = zip(*side["outline_mm"], strict=True)
    assert (min(xs), max(xs)) == (16.0, 104.0)
    assert (min(zs), max(zs)) == (-19.0, 30.0)
    bottom = rows["face at z = -30"]
    assert bottom["axes"] == "x, y"
    corner = max(x + y for x, y in bottom["outline_mm"])
    assert corner < 104 + 29, "the slot's round ends are rounded on the face too"


@given(st.floats(0.0, 20.0), st.floats(0.0, 2.0 * math.pi))
def test_nothing_of_the_grown_pocket_lies_outside_the_line(wanted: float, way: float) -> None:
    rows = rows_of(wall(BLOCK, SLOT, wall_mm=wanted))
    outline = rows["face at z = -30"]["outline_mm"]
    n = (math.cos(way), math.sin(way))
    # Furthest of the slot seen from below: its two round ends.
    reach = max(n[0] * x + n[1] * 10 for x in (35, 85)) + 15 + wanted
    inside_block = [p for p in outline if 0 < p[0] < 120 and -45 < p[1] < 45]
    if len(inside_block) == len(outline):
        assert max(n[0] * x + n[1] * y for x, y in outline) >= reach - 0.02


def test_on_a_column_the_line_runs_all_round() -> None:
    rows = rows_of(wall(COLUMN, {**BORE, "tip_deg": 180}, wall_mm=5))
    band = rows["turned surface, all round"]
    assert (band["from_x_mm"], band["to_x_mm"], band["wall_mm"]) == (0.0, 105.0, 15.0)


@given(st.floats(0.5, 20.0), st.floats(-10.0, 10.0), st.floats(-10.0, 10.0))
@settings(max_examples=60)
def test_two_balls_are_their_centres_less_their_radii_apart(x: float, y: float, z: float) -> None:
    ball = {"shape": "capsule", "diameter_mm": 10, "length_mm": 10}
    one = shape_from_json(ball).pieces[0]
    two = shape_from_json({**ball, "at_mm": [10 + x, y, z]}).pieces[0]
    want = math.hypot(10 + x, y, z) - 10
    assert gap(one, two).distance == pytest.approx(want, rel=1e-5, abs=1e-6)
    assert gap(two, one).distance == pytest.approx(want, rel=1e-5, abs=1e-6)


def test_a_chamfer_leaves_less_of_its_faces() -> None:
    plain, cut = read_outside(BLOCK), read_outside({**BLOCK, "chamfer_mm": 5})
    whole = facet(plain.faces[0], plain.faces)
    less = facet(cut.faces[0], cut.faces)
    assert whole is not None
    assert less is not None
    assert max(p[1] for p in whole.corners) == pytest.approx(45.0)
    assert max(p[1] for p in less.corners) == pytest.approx(40.0)


def test_walls_come_sorted_from_the_thinnest() -> None:
    found = walls(read_outside(BLOCK), read_pocket(SLOT))
    assert [w.thickness_mm for w in found] == sorted(w.thickness_mm for w in found)
    assert len(found) == 5
