"""Shapes against closed forms worked elsewhere and against numerical integration."""

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
import scipy
from scipy.integrate import dblquad, quad

from benchmate.reckon import answer
from benchmate.reckon.solids import Body, shape_from_json
from benchmate.reckon.solids.grammar import drilled
from tests.reference.outside import check

FORMS = "geometry tables (frusta, Pappus, n-gons), worked outside the project"
SCIPY = f"scipy {scipy.__version__} integrate"
Shape = dict[str, Any]

TABLED: list[tuple[str, Shape, float]] = [
    ("cylinder", {"shape": "cylinder", "diameter_mm": 16, "length_mm": 100}, 20.106193),
    ("frustum", {"shape": "frustum", "diameters_mm": [30, 20], "length_mm": 50}, 24.8709418),
    ("slim frustum", {"shape": "frustum", "diameters_mm": [26, 14], "length_mm": 72}, 23.2980511),
    ("capsule", {"shape": "capsule", "diameter_mm": 12, "length_mm": 60}, 6.33345079),
    (
        "slot with corners",
        {"shape": "slot", "length_mm": 60, "width_mm": 25, "corner_mm": 6, "depth_mm": 15},
        22.03646,
    ),
    (
        "hexagon",
        {"shape": "prism", "sides": 6, "across_flats_mm": 24, "length_mm": 40},
        19.9532253,
    ),
    ("round ring", {"shape": "ring", "middle_mm": 80, "section_mm": 10}, 19.7392088),
    (
        "turned",
        {"shape": "turned", "profile_mm": [[0, 10], [20, 14], [60, 9], [100, 12]]},
        39.9610586,
    ),
    (
        "stepped bore",
        {"shape": "bore", "steps_mm": [[20, 40], [12, 70]], "tip_deg": 180},
        15.9592907,
    ),
    (
        "two bores on one axis",
        {
            "plus": [
                {"shape": "cylinder", "diameter_mm": 20, "length_mm": 40},
                {"shape": "cylinder", "diameter_mm": 12, "length_mm": 70},
            ]
        },
        15.9592907,
    ),
]


@pytest.mark.parametrize(
    ("shape", "volume_ml"), [case[1:] for case in TABLED], ids=[case[0] for case in TABLED]
)
def test_volumes_are_those_worked_elsewhere(shape: Shape, volume_ml: float) -> None:
    found = answer("solid", {"shape": shape})
    check("solid", found.number("volume_ml"), volume_ml, rel=1e-6, source=FORMS)


@pytest.mark.parametrize(
    ("diameters", "length", "from_start"),
    [([30, 20], 50, 21.7105263), ([20, 30], 50, 50 - 21.7105263), ([26, 14], 72, 29.0097087)],
)
def test_a_frustums_centre_is_told_from_its_start(
    diameters: list[float], length: float, from_start: float
) -> None:
    shape = {"shape": "frustum", "diameters_mm": diameters, "length_mm": length}
    got = answer("solid", {"shape": shape}).results["centroid_mm"].value
    check("solid", got, [from_start, 0.0, 0.0], rel=1e-6, source=FORMS)


def test_centres_of_standard_solids() -> None:
    cone = shape_from_json({"shape": "frustum", "diameters_mm": [4, 0], "length_mm": 4})
    half_ball = shape_from_json({"shape": "dome", "diameter_mm": 2})
    check("solid", cone.centre[0], 1.0, rel=1e-9, source="public tables: a cone's at h/4")
    check("solid", half_ball.centre[0], 0.375, rel=1e-9, source="public tables: 3r/8")


def test_surfaces_by_pappus_and_frusta() -> None:
    ring = shape_from_json({"shape": "ring", "middle_mm": 80, "section_mm": 10})
    check("solid", ring.surface, 7895.68352, rel=1e-6, source=FORMS)
    profile = [[0, 10], [20, 14], [60, 9], [100, 12]]
    turned = shape_from_json({"shape": "turned", "profile_mm": profile})
    ends = math.pi * (10**2 + 12**2)
    check("solid", turned.surface, 7096.93541 + ends, rel=1e-6, source=FORMS)


def test_a_drills_tip_is_a_cone() -> None:
    full, tip = drilled(10.0, 30.0, 118.0)
    check("solid", [tip.x1 - tip.x0, tip.volume], [3.0043031, 78.6524711], rel=1e-6, source=FORMS)
    flat = shape_from_json({"shape": "bore", "diameter_mm": 10, "depth_mm": 30, "tip_deg": 180})
    tipped = shape_from_json({"shape": "bore", "diameter_mm": 10, "depth_mm": 30})
    check("solid", tipped.volume - flat.volume, 78.6524711, rel=1e-6, source=FORMS)
    assert full.x1 == 30.0


def test_a_weighted_cylinder_balances_where_composite_bodies_say() -> None:
    # Wood of 0.7056 g/cm³, 30 x 300 mm, its first 100 mm bored 16 mm and filled at 7.25 g/cm³.
    bored = shape_from_json(
        {
            "shape": "cylinder",
            "diameter_mm": 30,
            "length_mm": 300,
            "minus": [{"shape": "cylinder", "diameter_mm": 16, "length_mm": 100}],
        }
    )
    fill = shape_from_json({"shape": "cylinder", "diameter_mm": 16, "length_mm": 100})
    wood_g, fill_g = bored.volume_ml * 0.7056, fill.volume_ml * 7.25
    middle = (wood_g * bored.centre[0] + fill_g * fill.centre[0]) / (wood_g + fill_g)
    source = "composite bodies worked outside the project"
    check("solid", [wood_g + fill_g, middle], [281.210744, 103.208413], rel=1e-6, source=source)


ROUND: list[tuple[str, Shape, Callable[[float], float], float, float]] = [
    (
        "capsule",
        {"shape": "capsule", "diameter_mm": 18, "length_mm": 50},
        lambda x: math.sqrt(max(0.0, 81 - (x - min(max(x, 9), 41)) ** 2)),
        0,
        50,
    ),
    (
        "flat dome",
        {"shape": "dome", "diameter_mm": 40, "height_mm": 7},
        lambda x: math.sqrt(max(0.0, 32.071428571428571**2 - (x + 25.071428571428571) ** 2)),
        0,
        7,
    ),
    (
        "high dome",
        {"shape": "dome", "diameter_mm": 20, "height_mm": 16},
        lambda x: math.sqrt(max(0.0, 11.125**2 - (x - 4.875) ** 2)),
        0,
        16,
    ),
    (
        "cone",
        {"shape": "frustum", "diameters_mm": [0, 22], "length_mm": 31},
        lambda x: 11 * x / 31,
        0,
        31,
    ),
    (
        "bore",
        {"shape": "bore", "diameter_mm": 20, "depth_mm": 40, "tip_deg": 90},
        lambda x: min(10.0, 50.0 - x),
        0,
        50,
    ),
]


@pytest.mark.parametrize(
    ("shape", "radius", "low", "high"),
    [case[1:] for case in ROUND],
    ids=[case[0] for case in ROUND],
)
def test_round_shapes_agree_with_integration(
    shape: Shape, radius: Callable[[float], float], low: float, high: float
) -> None:
    body = shape_from_json(shape)
    edges = [low, *(x for x in (9, 40, 41) if low < x < high), high]
    parts = list(pairwise(edges))
    volume = math.fsum(quad(lambda x: math.pi * radius(x) ** 2, a, b)[0] for a, b in parts)
    moment = math.fsum(quad(lambda x: x * math.pi * radius(x) ** 2, a, b)[0] for a, b in parts)
    check("solid", body.volume, volume, rel=1e-9, source=SCIPY)
    check("solid", body.centre[0], moment / volume, rel=1e-9, source=SCIPY)
    turned = math.fsum(_lateral(radius, a, b) for a, b in parts)
    ends = math.pi * (radius(low) ** 2 + radius(high) ** 2)
    check("solid", body.surface, turned + ends, rel=2e-4, source=f"{SCIPY} over the arc")


def _lateral(radius: Callable[[float], float], low: float, high: float) -> float:
    """The turned surface by chords at even angles about the middle, since slopes end upright."""
    n = 4000
    xs = [low + (high - low) * (1 - math.cos(math.pi * i / n)) / 2 for i in range(n + 1)]
    return math.fsum(
        math.pi * (radius(a) + radius(b)) * math.hypot(b - a, radius(b) - radius(a))
        for a, b in pairwise(xs)
    )


def test_an_odd_prism_agrees_with_integration() -> None:
    corners = [[-10, -5], [25, -5], [15, 12], [0, 4], [-10, 15]]
    body = shape_from_json({"shape": "prism", "outline_mm": corners, "length_mm": 7})

    def top(y: float) -> float:
        line = [(-10.0, 15.0), (0.0, 4.0), (15.0, 12.0), (25.0, -5.0)]
        (a, za), (b, zb) = next(run for run in pairwise(line) if run[0][0] <= y <= run[1][0])
        return za + (zb - za) * (y - a) / (b - a)

    spans = [(-10.0, 0.0), (0.0, 15.0), (15.0, 25.0)]
    sums = [
        math.fsum(dblquad(f, a, b, -5.0, top)[0] for a, b in spans)
        for f in (lambda z, y: 1.0, lambda z, y: y, lambda z, y: z)
    ]
    check("solid", body.volume, 7 * sums[0], rel=1e-9, source=SCIPY)
    want = [3.5, sums[1] / sums[0], sums[2] / sums[0]]
    check("solid", list(body.centre), want, rel=1e-9, source=SCIPY)


CROSSED: list[tuple[str, Shape, float]] = [
    (
        "a hole across a cylinder",
        {
            "shape": "cylinder",
            "diameter_mm": 30,
            "length_mm": 300,
            "minus": [
                {
                    "shape": "cylinder",
                    "diameter_mm": 16,
                    "length_mm": 30,
                    "along": "y",
                    "at_mm": [100, -15, 0],
                }
            ],
        },
        math.pi * 225 * 300
        - quad(lambda z: 4 * math.sqrt(64 - z * z) * math.sqrt(225 - z * z), -8, 8)[0],
    ),
    (
        "two bores that cross in a block",
        {
            "shape": "block",
            "size_mm": [100, 50, 50],
            "minus": [
                {"shape": "cylinder", "diameter_mm": 20, "length_mm": 100},
                {
                    "shape": "cylinder",
                    "diameter_mm": 20,
                    "length_mm": 50,
                    "along": "y",
                    "at_mm": [50, -25, 0],
                },
            ],
        },
        100 * 50 * 50 - math.pi * 100 * 150 + 16 / 3 * 1000,
    ),
    (
        "a dowel let into a block",
        {
            "shape": "block",
            "size_mm": [40, 40, 40],
            "plus": [
                {"shape": "cylinder", "diameter_mm": 10, "length_mm": 60, "at_mm": [-10, 0, 0]}
            ],
        },
        40**3 + math.pi * 25 * 20,
    ),
]


@pytest.mark.parametrize(
    ("shape", "volume"), [case[1:] for case in CROSSED], ids=[case[0] for case in CROSSED]
)
def test_crossing_shapes_agree_with_integration_within_their_uncertainty(
    shape: Shape, volume: float
) -> None:
    body = shape_from_json(shape)
    assert body.surface is None
    assert 0.0 < body.u_volume < 0.01 * volume
    assert abs(body.volume - volume) < 4.0 * body.u_volume
    source = f"{SCIPY}; two equal crossing cylinders share 16 r³/3"
    check("solid", body.volume, volume, rel=2e-3, source=source)


def test_a_slotted_blocks_surface_is_worked_by_hand() -> None:
    # 120 x 90 x 60 mm; a slot 80 x 30 with round ends, 45 deep: its mouth comes off the top, its
    # bottom replaces it, and its side (50 mm straight twice, one circle of 30) goes on.
    block: Shape = {
        "shape": "block",
        "size_mm": [120, 90, 60],
        "minus": [
            {
                "shape": "slot",
                "length_mm": 80,
                "width_mm": 30,
                "depth_mm": 45,
                "at_mm": [60, 0, 30],
                "along": "-z",
            }
        ],
    }
    outside = 2 * (120 * 90 + 120 * 60 + 90 * 60)
    side = (2 * 50 + math.pi * 30) * 45
    check("solid", _body(block).surface, outside + side, rel=1e-9, source="worked by hand")
    block["minus"][0]["depth_mm"] = 60
    mouths = 2 * (50 * 30 + math.pi * 15**2)
    through = outside - mouths + (2 * 50 + math.pi * 30) * 60
    check("solid", _body(block).surface, through, rel=1e-9, source="worked by hand")


def _body(shape: Shape) -> Body:
    return shape_from_json(shape)
