"""Walls against worked cases and a general optimiser that looks for the nearest points."""

import math
from typing import Any

import numpy as np
import pytest
import scipy
from scipy.optimize import minimize

from benchmate.reckon import answer
from benchmate.reckon.solids import shape_from_json
from benchmate.reckon.solids.apart import gap
from benchmate.reckon.wall.wall_outside import read_outside
from benchmate.reckon.wall.wall_pocket import read_pocket
from benchmate.reckon.wall.wall_thickness import square_to_axis_mm
from tests.reference.outside import check

WORKED = "(D - d)/2 - e, worked outside the project"
SCIPY = f"scipy {scipy.__version__} optimize.minimize over both surfaces"
Shape = dict[str, Any]


def least(outside: Shape, pocket: Shape) -> float:
    return answer("wall", {"outside": outside, "pocket": pocket}).number("least_wall_mm")


def test_an_eccentric_bore_leaves_5_and_9_mm() -> None:
    outside = {"shape": "cylinder", "diameter_mm": 30, "length_mm": 200}
    bore = {"shape": "bore", "diameter_mm": 16, "depth_mm": 90, "at_mm": [0, 2, 0]}
    check("wall", least(outside, bore), 5.0, rel=1e-9, source=WORKED)


@pytest.mark.parametrize("end", ["first", "other"])
def test_a_stepped_bore_in_a_waisted_turning_is_thinnest_at_the_waist(end: str) -> None:
    """Of the wide bore's corner at 26 mm and radius 30 the flank is 7.13 mm away."""
    profile = [[0, 40], [30, 40], [40, 12], [100, 12]]
    bore = {"shape": "bore", "steps_mm": [[60, 26], [14, 70]], "tip_deg": 180}
    if end == "other":
        profile = [[100 - x, r] for x, r in reversed(profile)]
        bore |= {"at_mm": [100, 0, 0], "along": "-x"}
    check(
        "wall",
        least({"shape": "turned", "profile_mm": profile}, bore),
        5.0,
        rel=1e-9,
        source=WORKED,
    )


def test_a_bore_in_a_taper_is_thinnest_at_its_far_end() -> None:
    outside = {"shape": "frustum", "diameters_mm": [34, 22], "length_mm": 120}
    bore = {"shape": "bore", "diameter_mm": 14, "depth_mm": 90, "tip_deg": 180, "at_mm": [0, 1, 0]}
    square = square_to_axis_mm(read_outside(outside), read_pocket(bore))
    assert square is not None
    check("wall", list(square), [4.5, 90.0], rel=1e-9, source=f"{WORKED}; measured radially")
    # Along the shortest way the same wall is thinner by the cosine of the half taper.
    half_taper = math.atan(6 / 120)
    check("wall", least(outside, bore), 4.5 * math.cos(half_taper), rel=1e-9, source=WORKED)


def test_a_drills_tip_counts_at_the_bottom() -> None:
    outside = {"shape": "block", "size_mm": [40, 60, 60]}
    bore = {"shape": "bore", "diameter_mm": 10, "depth_mm": 30}
    source = "a drill of 10 mm and 118° has a tip of 3.0043031 mm"
    check("wall", least(outside, bore), 10 - 3.0043031, rel=1e-7, source=source)


def test_tolerances_combine_as_rectangular_bounds() -> None:
    found = answer(
        "wall",
        {
            "outside": {"shape": "block", "size_mm": [100, 60, 60]},
            "pocket": {"shape": "cylinder", "diameter_mm": 40, "length_mm": 60},
            "tolerances": {"outside_mm": 0.6, "pocket_mm": 0.4, "position_mm": 0.5},
        },
    )
    want = math.sqrt(0.3**2 + 0.2**2 + 0.5**2) / math.sqrt(3)
    check("wall", found.results["least_wall_mm"].u, want, rel=1e-12, source="GUM 4.3.7 and 5.1.2")


CROSS = {
    "head with a mortise": (
        {"shape": "block", "size_mm": [90, 30, 30]},
        {"shape": "bore", "diameter_mm": 16, "depth_mm": 30},
        {
            "shape": "cylinder",
            "diameter_mm": 14,
            "length_mm": 30,
            "at_mm": [46, -15, 2],
            "along": "y",
        },
    ),
    "slot and slanting places": (
        {"shape": "block", "size_mm": [120, 80, 80]},
        {"shape": "capsule", "diameter_mm": 20, "length_mm": 45, "at_mm": [0, -20, -15]},
        {
            "shape": "cylinder",
            "diameter_mm": 12,
            "length_mm": 80,
            "at_mm": [58, 15, -40],
            "along": "z",
        },
    ),
}


def distance_by_optimiser(pocket: Shape, hole: Shape) -> float:
    """The least distance between points of both, each kept inside by its support in 60 ways."""
    chance = np.random.default_rng(7)
    ways = chance.normal(size=(4000, 3))
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    bodies = [shape_from_json(pocket), shape_from_json(hole)]

    # The distance of two convex bodies is the widest slab that separates them.
    def slab(way: Any) -> float:
        n = way / np.linalg.norm(way)
        across: tuple[float, float, float] = tuple(map(float, n))  # type: ignore[assignment]
        back: tuple[float, float, float] = tuple(map(float, -n))  # type: ignore[assignment]
        return bodies[0].reach(across) + bodies[1].reach(back)

    start = min(ways, key=slab)
    found = minimize(slab, start, method="Nelder-Mead", options={"xatol": 1e-10, "fatol": 1e-12})
    return float(-found.fun)


@pytest.mark.parametrize("name", CROSS)
def test_a_cross_hole_is_as_far_as_an_optimiser_finds(name: str) -> None:
    outside, pocket, hole = CROSS[name]
    want = distance_by_optimiser(pocket, hole)
    assert want > 0.0
    got = gap(shape_from_json(pocket).pieces[0], shape_from_json(hole).pieces[0]).distance
    check("wall", got, want, rel=1e-6, source=SCIPY)
    found = answer(
        "wall", {"outside": outside | {"cross_holes": [hole]}, "pocket": pocket, "wall_mm": 0}
    )
    assert found.number("least_wall_mm") <= want * (1 + 1e-6)


def test_a_coved_column_is_as_thin_as_an_optimiser_finds() -> None:
    profile = [[0, 20], [20, 24], [40, 14], [60, 22], [100, 22]]
    outside = {"shape": "turned", "profile_mm": profile}
    pocket = {"shape": "frustum", "diameters_mm": [22, 12], "length_mm": 55, "at_mm": [0, 2, 0]}

    def apart(where: Any) -> float:
        x, u = where
        x, u = min(55.0, max(0.0, x)), min(100.0, max(0.0, u))
        radius = float(np.interp(u, [p[0] for p in profile], [p[1] for p in profile]))
        return math.hypot(x - u, radius - (11 - 5 * x / 55 + 2))

    starts = [(x, u) for x in range(0, 56, 5) for u in range(0, 100, 5)]
    found = minimize(
        apart,
        min(starts, key=apart),
        method="Nelder-Mead",
        options={"xatol": 1e-10, "fatol": 1e-12},
    )
    check("wall", least(outside, pocket), float(found.fun), rel=1e-6, source=SCIPY)


def test_a_tapered_and_chamfered_block_is_as_thin_as_an_optimiser_finds() -> None:
    outside = {"shape": "block", "size_mm": [60, 90, 90], "end_size_mm": [60, 60], "chamfer_mm": 12}
    pocket = {"shape": "slot", "length_mm": 54, "width_mm": 50, "depth_mm": 44, "corner_mm": 3}

    def inside(p: Any) -> float:
        """How deep a point lies in the block, written from its corners alone."""
        x, y, z = p
        half = 45 - 15 * x / 60
        cosine = 60 / math.hypot(60, 15)
        sides = [(half - abs(value)) * cosine for value in (y, z)]
        n1 = np.array([0.25, 1.0, 0.0]) / math.hypot(1, 0.25)
        n2 = np.array([0.25, 0.0, 1.0]) / math.hypot(1, 0.25)
        both = n1 + n2
        edge = (45 * cosine * 2) / np.linalg.norm(both)
        depth = 12 * math.sqrt((1 - n1 @ n2) / 2)
        corner = edge - depth - (both / np.linalg.norm(both)) @ np.array([x, abs(y), abs(z)])
        far = [60 - x]
        n3 = np.array([1.0, 0.0, 0.0])
        for n, value in ((n1, y), (n2, z)):
            rim = n + n3
            size = np.linalg.norm(rim)
            place = (45 * cosine + 60) / size - 12 * math.sqrt((1 - n @ n3) / 2)
            across = np.array([x, abs(value), 0.0]) if n is n1 else np.array([x, 0.0, abs(value)])
            far.append(place - float((rim / size) @ across))
        return float(min(*sides, corner, *far))

    rim = [
        (24 * sy + 3 * math.cos(a) * sy, 22 * sz + 3 * math.sin(a) * sz)
        for a in np.linspace(0, math.pi / 2, 2001)
        for sy in (1, -1)
        for sz in (1, -1)
    ]
    want = min(inside((44.0, y, z)) for y, z in rim)
    check("wall", least(outside, pocket), want, rel=1e-6, source="search over the rim, by hand")
