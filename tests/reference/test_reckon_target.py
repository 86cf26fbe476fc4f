"""Voids and weight budgets against worked composite bodies, a root finder and an error library."""

import math
from itertools import pairwise
from typing import Any

import pytest
import scipy
import uncertainties
from scipy.integrate import quad
from scipy.optimize import brentq
from uncertainties import ufloat

from benchmate.reckon import Refused, answer
from benchmate.reckon.filling.fill import mixed_density_g_cm3
from tests.reference.outside import check

COMPOSITE = "a weighted cylinder worked as composite bodies, outside the project"
BALANCE = "mass balance of a 20 mm bore with lead, worked outside the project"
SCIPY = f"scipy {scipy.__version__} brentq over a mass written from scratch"
LIBRARY = f"uncertainties {uncertainties.__version__}"

BORED: dict[str, Any] = {
    "target_g": 281.210744,
    "body": {"volume_ml": math.pi * 15**2 * 300 / 1000, "density_g_cm3": 0.7056},
    "packing_fraction": 0.6,
    "shot_density_g_cm3": 11.35,
    "resin_density_g_cm3": 1.1,
    "outline": {"bore_mm": 16, "depth_mm": 250},
    "wall_mm": 50,
}


def test_a_weighted_cylinder_needs_the_bore_it_has() -> None:
    # 0.6 x 11.35 + 0.4 x 1.1 = 7.25 g/cm³, the fill of the worked case: 16 x 100 mm.
    found = answer("target-void", BORED)
    got = [found.number(key) for key in ("void_ml", "depth_mm", "wall_left_mm")]
    check("target-void", got, [20.106193, 100.0, 200.0], rel=1e-7, source=COMPOSITE)


def test_a_bore_that_is_full_reaches_the_most_and_no_more() -> None:
    # In a body of almost nothing the fill is all there is: 204.988921 g in 20 x 90 mm.
    wish: dict[str, Any] = {
        "target_g": 150.0,
        "volume_ml": 1000.0,
        "density_g_cm3": 0.05,
        "packing_fraction": 0.6,
        "shot_density_g_cm3": 11.35,
        "outline": {"bore_mm": 20, "depth_mm": 90},
    }
    void_ml = math.pi * 9.0
    full_g = 50.0 + 204.988921 - 0.05 * void_ml
    found = answer("target-void", wish | {"target_g": full_g})
    check("target-void", found.number("depth_mm"), 90.0, rel=1e-7, source=BALANCE)
    with pytest.raises(Refused, match="is the most it reaches"):
        answer("target-void", wish | {"target_g": full_g + 0.1})


@pytest.mark.parametrize("target_g", [520.0, 610.0, 740.0])
def test_a_tapered_pocket_agrees_with_a_root_finder(target_g: float) -> None:
    depth_of = {"outline": [[0, 24.0], [30, 12.0], [50, 12.0]], "thickness_mm": 62}
    packed = 0.58 * 7.8 + 0.42 * 1.15

    def area_cm2(depth_mm: float) -> float:
        return 24.0 - 0.4 * depth_mm if depth_mm < 30 else 12.0

    def void_ml(depth_mm: float) -> float:
        edges = (0.0, min(depth_mm, 30.0), depth_mm)
        return sum(quad(area_cm2, a, b)[0] / 10 for a, b in pairwise(edges))

    def over_g(depth_mm: float) -> float:
        wood = 648 * 0.62 - void_ml(depth_mm) * 0.62
        return wood + void_ml(depth_mm) * packed + 12.0 + 9.0 - 6.0 - target_g

    want = brentq(over_g, 0.0, 50.0, xtol=1e-11)
    found = answer(
        "target-void",
        {
            "target_g": target_g,
            "volume_ml": 648,
            "density_g_cm3": 0.62,
            "other_g": 12,
            "still_on_g": 9,
            "still_off_g": 6,
            "packing_fraction": 0.58,
            "shot_density_g_cm3": 7.8,
            "resin_density_g_cm3": 1.15,
            **depth_of,
        },
    )
    check("target-void", found.number("depth_mm"), want, rel=1e-7, source=SCIPY)
    check("target-void", found.number("wall_left_mm"), 62 - want, rel=1e-7, source=SCIPY)
    check("target-void", found.number("void_ml"), void_ml(want), rel=1e-7, source=SCIPY)


def test_denser_metals_reach_what_lighter_ones_cannot() -> None:
    found = answer("target-void", BORED | {"target_g": 440})
    rows: Any = found.results["metals"].value
    names = [row["metal"] for row in rows]
    # Steel at most: 250 mm of bore, 50.27 ml x (0.6 x 7.78 + 0.44 - 0.7056) + 149.63 g = 370.9 g;
    # bismuth-tin 424 g, chilled lead 469 g, tungsten 558 g.
    check("target-void", names, ["chilled lead shot", "tungsten shot"], source=COMPOSITE)
    lead = mixed_density_g_cm3(0.6, 11.05, 1.1)
    want = (440 - 149.626) / (lead - 0.7056)
    check("target-void", rows[0]["void_ml"], want, rel=1e-4, source=COMPOSITE)


def test_a_budget_adds_up_the_weighted_cylinder() -> None:
    wood_ml = math.pi * (15**2 * 300 - 8**2 * 100) / 1000
    parts = [
        {"volume_ml": wood_ml, "density_g_cm3": 0.7056},
        {"volume_ml": 20.106193, "density_g_cm3": 7.25},
    ]
    found = answer("budget", {"parts": parts})
    check("budget", found.number("total_g"), 281.210744, rel=1e-7, source=COMPOSITE)


def test_a_budgets_uncertainty_is_the_librarys_with_shared_densities() -> None:
    walnut, felt = ufloat(0.62, 0.05), ufloat(4, 0.5)
    block, cover, fill = ufloat(549, 3), ufloat(42, 0.4), ufloat(99, 1.5) * ufloat(5.1, 0.1)
    off, on = ufloat(6, 1.5), ufloat(9, 2)
    total = (block + cover) * walnut + fill + felt + on - off
    board = {"density_g_cm3": 0.62, "u_density_g_cm3": 0.05, "stock": "board"}
    found = answer(
        "budget",
        {
            "parts": [
                {"volume_ml": 549, "u_volume_ml": 3, **board},
                {"volume_ml": 42, "u_volume_ml": 0.4, **board},
                {"volume_ml": 99, "u_volume_ml": 1.5, "density_g_cm3": 5.1, "u_density_g_cm3": 0.1},
                {"weight_g": 4, "u_g": 0.5},
            ],
            "still_off_g": 6,
            "u_off_g": 1.5,
            "still_on_g": 9,
            "u_on_g": 2,
        },
    )
    got = found.results["total_g"]
    check("budget", [got.value, got.u], [total.n, total.s], rel=1e-12, source=LIBRARY)


def test_a_500_g_blank_at_12_pct_moves_4_46_g_for_each_per_cent() -> None:
    part = {"weight_g": 500, "moisture_pct": 12}
    found = answer("budget", {"parts": [part]})
    # Dried to 8 % it weighs 482.142857 g, four per cent less moisture.
    source = "moisture on the oven-dry mass: 500 g at 12 % is 482.142857 g at 8 %"
    check("budget", 4 * found.number("moisture_1pct_g"), 500 - 482.142857, rel=1e-7, source=source)
