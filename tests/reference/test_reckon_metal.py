"""Metals against periodictable and the CRC tables that chemicals carries."""

import chemicals
import periodictable
import pytest
from chemicals.heat_capacity import CRC_standard_data

from benchmate.reckon import answer
from benchmate.reckon.filling.metal import ELEMENTS, TRADE, alloy
from benchmate.shelf.families import FAMILIES
from tests.reference.outside import check

TABLE = f"periodictable {periodictable.__version__}"
CRC = f"CRC Handbook table in chemicals {chemicals.__version__}"
SYMBOLS = {
    "lead": "Pb",
    "iron": "Fe",
    "tungsten": "W",
    "bismuth": "Bi",
    "tin": "Sn",
    "copper": "Cu",
    "zinc": "Zn",
    "antimony": "Sb",
    "nickel": "Ni",
}


def test_every_metal_of_ours_is_checked() -> None:
    assert set(SYMBOLS) == set(ELEMENTS)


@pytest.mark.parametrize("name", SYMBOLS)
def test_an_element_is_as_dense_as_the_table_says(name: str) -> None:
    want = getattr(periodictable, SYMBOLS[name]).density
    got = answer("metal", {"name": name}).number("density_g_cm3")
    check("metal", got, want, rel=1e-6, source=TABLE)


@pytest.mark.parametrize("name", SYMBOLS)
def test_an_element_takes_up_the_heat_of_the_crc_table(name: str) -> None:
    cas = chemicals.CAS_from_any(name)
    want = CRC_standard_data.loc[cas, "Cps"] / chemicals.MW(cas)
    got = answer("metal", {"name": name}).number("specific_heat_j_gk")
    check("metal", got, want, rel=5e-4, source=CRC)


@pytest.mark.parametrize("name", ["lead", "iron", "tungsten", "bismuth", "copper", "zinc"])
def test_handbooks_agree_within_half_a_per_cent(name: str) -> None:
    cas = chemicals.CAS_from_any(name)
    volume_m3_mol = chemicals.volume.rho_data_CRC_inorg_s_const.loc[cas, "Vm"]
    want = chemicals.MW(cas) / volume_m3_mol / 1e6
    got = answer("metal", {"name": name}).number("density_g_cm3")
    check("metal, between handbooks", got, want, rel=0.005, source=CRC)


@pytest.mark.parametrize(
    ("alloy", "want"),
    [
        ({"lead": 0.96, "antimony": 0.04}, 11.042),
        ({"copper": 0.70, "zinc": 0.30}, 8.321),
        ({"Cu": 70, "Zn": 30}, 8.321),
    ],
)
def test_an_ideal_alloy_adds_volumes(alloy: dict[str, float], want: float) -> None:
    got = answer("metal", {"alloy": alloy}).number("density_g_cm3")
    check("metal", got, want, abs=5e-4, source="1/density = sum of share/density, by hand")


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("steel shot", 7.74, 7.86),
        ("lead shot", 10.9, 11.3),
        ("chilled lead shot", 10.9, 11.2),
        ("brass", 8.4, 8.7),
    ],
)
def test_a_trade_name_stands_for_its_range(name: str, low: float, high: float) -> None:
    found = answer("metal", {"name": name}).results["density_g_cm3"]
    source = "common practice, no source: the range's middle and width/√12"
    check("metal", found.value, (low + high) / 2, rel=1e-12, source=source)
    check("metal", found.u, (high - low) / 12**0.5, rel=1e-12, source=source)


def test_the_wood_handbooks_own_figures_are_met() -> None:
    got = [answer("metal", {"name": name}).number("density_g_cm3") for name in ("steel", "lead")]
    check("metal, between handbooks", got, [7.8, 11.3], rel=0.005, source="Wood Handbook ch. 4")


# Alloys of handbook elements by the rule of mixtures, worked by hand: 1 / (share/density + ...).
HARDENED = {
    "1 % antimony": (0.01, 11.272),
    "3 % antimony": (0.03, 11.118),
    "5 % antimony": (0.05, 10.968),
}


@pytest.mark.parametrize("share", HARDENED, ids=list(HARDENED))
def test_hardened_lead_lies_in_the_range_of_lead_shot(share: str) -> None:
    antimony, density = HARDENED[share]
    source = "CRC Handbook densities of lead 11.35 and antimony 6.69, mixed by volume by hand"
    found = alloy({"lead": 1.0 - antimony, "antimony": antimony}).density_g_cm3
    check("metal", found, density, rel=2e-4, source=source)
    assert 10.9 <= found <= 11.3


def test_the_shelf_and_the_reckoners_have_one_table_of_shot() -> None:
    shots = {n: f.density_g_cm3 for n, f in FAMILIES.items() if f.kind == "shot" and n in TRADE}
    assert set(shots) >= {"steel shot", "lead shot", "tungsten shot", "bismuth-tin shot"}
    assert {n: round(TRADE[n].density_g_cm3, 3) for n in shots} == shots
