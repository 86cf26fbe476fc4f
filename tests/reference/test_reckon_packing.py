"""Packing against fluids (Benyahia and O'Neill 2005), lattices, and Furnas' limit."""

import fluids
import pytest
from fluids.packed_bed import voidage_Benyahia_Oneil_spherical

from benchmate.reckon import answer
from benchmate.reckon.filling.packing import WIDE_TAPPED, furnas_limit, furnas_mix, walled_packing
from tests.reference.outside import check

FLUIDS = f"fluids {fluids.__version__} voidage_Benyahia_Oneil_spherical"
FURNAS = "Furnas' ideal limit for an infinite ratio of sizes, worked by hand"


@pytest.mark.parametrize("ratio", [1.6, 2, 3, 4, 5, 7.5, 10, 15, 20, 30, 50])
def test_walls_cost_what_the_library_says(ratio: float) -> None:
    want = 1.0 - voidage_Benyahia_Oneil_spherical(Dp=0.002, Dt=0.002 * ratio)
    got = answer("packing", {"shot_mm": 2, "gap_mm": 2 * ratio}).number("packing_fraction")
    check("packing", got, want, abs=1e-9, source=FLUIDS)


@pytest.mark.parametrize(
    ("ratio", "want"),
    [
        (2, 0.433522252),
        (4, 0.544139805),
        (5, 0.563845664),
        (10, 0.595979004),
        (20, 0.606106508),
        (50, 0.609334684),
    ],
)
def test_walls_cost_what_the_noted_values_say(ratio: float, want: float) -> None:
    check("packing", walled_packing(ratio), want, abs=1e-8, source="fluids 1.3.1, noted values")


@pytest.mark.parametrize(
    ("coarse", "fine", "highest", "share"),
    [(0.64, 0.64, 0.8704, 0.735294118), (0.60, 0.60, 0.84, 0.714285714)],
)
def test_two_sizes_have_furnas_ceiling(
    coarse: float, fine: float, highest: float, share: float
) -> None:
    check("packing", furnas_limit(coarse, fine), (highest, share), abs=1e-8, source=FURNAS)


@pytest.mark.parametrize(("share", "want"), [(0.5, 0.780487805), (0.9, 0.711111111)])
def test_off_the_best_share_the_lines_of_mixing_hold(share: float, want: float) -> None:
    check("packing", furnas_mix(0.64, 0.64, share), want, abs=1e-8, source=FURNAS)


def test_tapped_shot_in_a_wide_void_is_random_close_packing() -> None:
    found = answer("packing", {"shot_mm": 1, "gap_mm": 400, "settled": "tapped"})
    got = found.number("packing_fraction")
    check("packing", got, 0.635, abs=0.001, source="J. Materials Science 38 (2003) 2019: 0.635(2)")
    assert WIDE_TAPPED < 0.64048, "never the lattice's 0.74"


def test_poured_shot_lies_in_the_range_of_practice() -> None:
    for gap_mm in (25, 40, 80):
        got = answer("packing", {"shot_mm": 2, "gap_mm": gap_mm}).number("packing_fraction")
        assert 0.58 <= got <= 0.61, "poured shot in practice, from memory"
