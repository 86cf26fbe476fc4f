"""Fill and fill height against worked mass balances and a general library's integration."""

from itertools import pairwise

import pytest
import scipy
from scipy.integrate import quad
from scipy.optimize import brentq

from benchmate.reckon import Refused, answer
from tests.reference.outside import check

BALANCE = "mass balance worked by hand, densities of periodictable 2.1.0"
SCIPY = f"scipy {scipy.__version__} quad and brentq over the outline"


@pytest.mark.parametrize(
    ("void_ml", "packing", "shot", "resin", "shot_g", "resin_g", "total_g", "density"),
    [
        (100, 0.60, 11.35, 1.1, 681.0, 44.0, 725.0, 7.25),
        (100, 0.60, 7.874, 1.1, 472.44, 44.0, 516.44, 5.1644),
        (42.5, 0.62, 19.3, 1.12, 508.555, 18.088, 526.643, 12.3916),
    ],
    ids=["lead", "iron", "tungsten"],
)
@pytest.mark.parametrize("layers", [1, 4])
def test_a_void_takes_what_the_balance_says(
    void_ml: float,
    packing: float,
    shot: float,
    resin: float,
    shot_g: float,
    resin_g: float,
    total_g: float,
    density: float,
    layers: int,
) -> None:
    found = answer(
        "fill",
        {
            "void_ml": void_ml,
            "packing_fraction": packing,
            "shot_density_g_cm3": shot,
            "resin_density_g_cm3": resin,
            "layers": layers,
        },
    )
    keys = ("shot_g", "resin_g", "total_g", "effective_density_g_cm3")
    got = [found.number(key) for key in keys]
    check("fill", got, [shot_g, resin_g, total_g, density], rel=1e-5, source=BALANCE)


def test_a_clear_cap_is_plain_resin_in_the_top_of_the_void() -> None:
    # 80 x 30 x 45 mm = 108 ml; a cap of 1.5 mm over 24 cm² = 3.6 ml of resin, 104.4 ml packed.
    found = answer(
        "fill",
        {
            "void_ml": 108,
            "packing_fraction": 0.6,
            "shot_density_g_cm3": 7.8,
            "resin_density_g_cm3": 1.1,
            "cap_mm": 1.5,
            "cap_area_cm2": 24,
        },
    )
    got = [found.number(key) for key in ("shot_g", "resin_g", "resin_ml")]
    check("fill", got, [488.592, 49.896, 45.36], rel=1e-9, source=BALANCE)


LEAD = {"packing_fraction": 0.6, "shot_density_g_cm3": 11.35, "resin_density_g_cm3": 1.1}
BORE = {"bore_mm": 20, "depth_mm": 90}


def test_a_bore_filled_for_150_g_has_its_shot_at_61_5_mm() -> None:
    found = answer("fill-height", {"outline": BORE, "target_g": 150, **LEAD})
    check("fill-height", found.number("height_mm"), 61.5389966, rel=1e-7, source=BALANCE)


def test_a_weight_beyond_the_void_is_refused_and_the_most_is_named() -> None:
    with pytest.raises(Refused, match=r"205\.0 g"):
        answer("fill-height", {"outline": BORE, "target_g": 250, **LEAD})
    found = answer("fill-height", {"outline": BORE, "target_g": 204.98892, **LEAD})
    check("fill-height", found.number("height_mm"), 90.0, rel=1e-7, source=BALANCE)


TAPERED = [[0, 24.0], [10, 22.0], [10, 18.0], [45, 6.0]]


def area_cm2(depth_mm: float) -> float:
    """Return the same outline as a plain function of depth, for the library to integrate."""
    if depth_mm <= 10:
        return 24.0 - 0.2 * depth_mm
    return 18.0 - 12.0 / 35.0 * (depth_mm - 10)


@pytest.mark.parametrize("target_g", [40.0, 120.0, 333.0, 460.0])
@pytest.mark.parametrize("rest", ["empty", "resin"])
def test_a_stepped_and_tapered_void_agrees_with_numerical_integration(
    target_g: float, rest: str
) -> None:
    packed, above = 0.6 * 11.35 + 0.4 * 1.1, (1.1 if rest == "resin" else 0.0)

    def litres(upper_mm: float, lower_mm: float) -> float:
        edges = [upper_mm, *([10.0] if upper_mm < 10.0 < lower_mm else []), lower_mm]
        parts = pairwise(edges)
        return sum(quad(area_cm2, a, b)[0] for a, b in parts) / 10.0

    def weight_off(height_mm: float) -> float:
        top = 45.0 - height_mm
        return packed * litres(top, 45.0) + above * litres(0.0, top) - target_g

    typed = {"outline": TAPERED, "target_g": target_g, "rest": rest, **LEAD}
    if weight_off(0.0) > 0.0:
        with pytest.raises(Refused, match="less than"):
            answer("fill-height", typed)
        return
    want = brentq(weight_off, 0.0, 45.0, xtol=1e-10)
    got = answer("fill-height", typed)
    check("fill-height", got.number("height_mm"), want, rel=1e-6, source=SCIPY)
    check("fill-height", got.number("void_ml"), litres(45.0 - want, 45.0), rel=1e-6, source=SCIPY)
