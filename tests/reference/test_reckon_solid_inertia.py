"""Grooves and inertia against Pappus, tables of standard solids and numerical integration."""

import math
from typing import Any

import pytest
import scipy
from scipy.integrate import quad

from benchmate.reckon import Answer, Refused, answer
from benchmate.reckon.wall.wall_outside import read_outside
from tests.reference.outside import check

SOLIDS = "tables of standard solids: mr²/2, m(3r² + h²)/12, 2mr²/5, 3mr²/10, m(a² + b²)/12"
PAPPUS = "Pappus: half-disc centroid 4r/3π below the surface"
SCIPY = f"scipy {scipy.__version__} integrate"


def _axial(found: Answer) -> float:
    values: Any = found.results["inertia_g_mm2"].value
    return float(values[0])


GROOVED = {"shape": "cylinder", "diameter_mm": 40, "length_mm": 60}


def test_a_half_round_groove_takes_what_pappus_says() -> None:
    whole = answer("solid", {"shape": GROOVED})
    less = answer("solid", {"shape": {**GROOVED, "grooves": [{"at_mm": 25, "radius_mm": 3}]}})
    taken = 1000 * (whole.number("volume_ml") - less.number("volume_ml"))
    check("solid", taken, 1663.43146, rel=1e-8, source=PAPPUS)
    # The arc's centroid lies 2r/π below the surface; the straight strip it replaces is gone.
    grown = 100 * (less.number("surface_cm2") - whole.number("surface_cm2"))
    arc = 2 * math.pi * (20 - 2 * 3 / math.pi) * math.pi * 3
    check("solid", grown, arc - 2 * math.pi * 20 * 6, rel=1e-9, source=PAPPUS)


def test_square_and_v_grooves() -> None:
    grooves = [
        {"at_mm": 20, "width_mm": 4, "depth_mm": 2},
        {"at_mm": 40, "width_mm": 4, "depth_mm": 3, "vee": True},
    ]
    whole, less = (
        answer("solid", {"shape": shape}).number("volume_ml")
        for shape in (GROOVED, {**GROOVED, "grooves": grooves})
    )
    # A square's middle lies at 19 mm; a triangle's centroid a third of its depth below the surface.
    taken = 2 * math.pi * 19 * 8 + 2 * math.pi * 19 * 6
    check("solid", 1000 * (whole - less), taken, rel=1e-9, source="Pappus, by hand")


@pytest.mark.parametrize(
    ("groove", "says"),
    [
        ({"at_mm": 1, "radius_mm": 3}, "straight part"),
        ({"at_mm": 30, "radius_mm": 21}, "cuts through"),
        ({"at_mm": 30, "radius_mm": 2, "depth_mm": 1}, "radius_mm"),
    ],
)
def test_a_groove_that_cannot_be_cut_is_refused(groove: dict[str, Any], says: str) -> None:
    with pytest.raises(Refused, match=says):
        answer("solid", {"shape": {**GROOVED, "grooves": [groove]}})


def test_the_wall_is_measured_from_the_grooves_floor() -> None:
    outside = read_outside({**GROOVED, "grooves": [{"at_mm": 25, "radius_mm": 3}]})
    assert outside.radius(25.0) == pytest.approx(17.0, abs=0.02)
    assert outside.radius(25.0) <= 17.0


@pytest.mark.parametrize(
    ("shape", "weight", "wanted"),
    [
        (
            {"shape": "cylinder", "diameter_mm": 30, "length_mm": 300},
            200,
            [22500, 1_511_250, 1_511_250],
        ),
        ({"shape": "block", "size_mm": [120, 60, 30]}, 12, [4500, 15_300, 18_000]),
        ({"shape": "capsule", "diameter_mm": 40, "length_mm": 40}, 1, [160, 160, 160]),
        # A cone 3mr²/10 about its axis, 3m(4r² + h²)/80 across its own centre.
        ({"shape": "frustum", "diameters_mm": [40, 0], "length_mm": 60}, 1, [120, 195, 195]),
        # A ring m(R² + 3s²/4) about its axis.
        (
            {"shape": "ring", "middle_mm": 80, "section_mm": 10},
            1,
            [1618.75, 815.625, 815.625],
        ),
        (
            {"shape": "ring", "outer_mm": 40, "inner_mm": 20, "length_mm": 30},
            1,
            [250, 200, 200],
        ),
        # A block laid along z has its length there.
        ({"shape": "block", "size_mm": [120, 60, 30], "along": "z"}, 12, [15_300, 18_000, 4500]),
    ],
)
def test_standard_solids(shape: dict[str, Any], weight: float, wanted: list[float]) -> None:
    found = answer("solid", {"shape": shape, "weight_g": weight})
    check("solid", found.results["inertia_g_mm2"].value, wanted, rel=1e-9, source=SOLIDS)


def test_a_weighted_round_has_the_inertia_of_its_parts() -> None:
    # Wood less the bore, and the filling beside it: about the axis the tables add up.
    wood = {"shape": "cylinder", "diameter_mm": 30, "length_mm": 300}
    bore = {"shape": "cylinder", "diameter_mm": 16, "length_mm": 100}
    one = answer("solid", {"shape": {**wood, "minus": [bore]}, "density_g_cm3": 0.7056})
    two = answer("solid", {"shape": bore, "density_g_cm3": 7.25})
    source = "composite bodies, worked outside the project"
    check("solid", _axial(one) + _axial(two), 21_043.7797, rel=1e-8, source=source)
    total = one.number("weight_g") + two.number("weight_g")
    check("solid", total, 281.210744, rel=1e-8, source=source)


def test_a_slot_a_prism_and_a_groove_against_integration() -> None:
    slot = {"shape": "slot", "length_mm": 60, "width_mm": 24, "depth_mm": 10}
    found = answer("solid", {"shape": slot, "density_g_cm3": 1})

    # Along y the slot is 36 mm straight between half rounds of 12 mm.
    def height(y: float) -> float:
        return 2 * math.sqrt(144 - max(0.0, abs(y) - 18) ** 2)

    across = 2 * quad(lambda y: height(y) * y * y, 0, 30, points=[18])[0]
    up = 2 * quad(lambda y: height(y) ** 3 / 12, 0, 30, points=[18])[0]
    check("solid", _axial(found), (across + up) * 10 / 1000, rel=1e-9, source=SCIPY)
    dip = {**GROOVED, "grooves": [{"at_mm": 25, "radius_mm": 3}]}
    found = answer("solid", {"shape": dip, "density_g_cm3": 1})

    def r(x: float) -> float:
        return 20 - (math.sqrt(9 - (x - 25) ** 2) if 22 < x < 28 else 0.0)

    axial = quad(lambda x: math.pi * r(x) ** 4 / 2, 0, 60, points=[22, 25, 28], limit=200)[0]
    check("solid", _axial(found), axial / 1000, rel=1e-6, source=SCIPY)


def test_a_hexagon() -> None:
    # Polar second moment of a regular n-gon of inradius r: A r²/2 (1 + tan²(π/n)/3).
    prism = {"shape": "prism", "sides": 6, "across_flats_mm": 24, "length_mm": 40}
    found = answer("solid", {"shape": prism, "density_g_cm3": 1})
    area = 6 * 144 * math.tan(math.pi / 6)
    polar = area * 144 / 2 * (1 + math.tan(math.pi / 6) ** 2 / 3)
    check(
        "solid",
        _axial(found),
        polar * 40 / 1000,
        rel=1e-9,
        source="regular polygons, geometry tables",
    )
