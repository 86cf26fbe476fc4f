"""Wood density against the Wood Handbook's relations and the USDA species table."""

import pytest

from benchmate.reckon import answer
from benchmate.reckon.wood.species import SPECIES
from benchmate.reckon.wood.wood import (
    SHRINKAGE_PER_SG,
    mass_at_moisture_g,
    size_change_mm,
    wood_density,
)
from tests.reference.outside import check

HANDBOOK = "Wood Handbook ch. 4, eq. 4-7 and 4-9, worked by hand"
FIA = "USDA FIA reference species table: specific gravity at 12 % x 1.12"

# Density in kg/m³ at 12 % from the table's specific gravity, species by species.
DENSITY_12 = {
    "black walnut": 616,
    "black cherry": 560,
    "white oak": 762,
    "northern red oak": 706,
    "sugar maple": 706,
    "red maple": 605,
    "yellow birch": 694,
    "American beech": 717,
    "white ash": 672,
    "yellow-poplar": 470,
    "American basswood": 414,
    "red alder": 459,
    "sweetgum": 582,
    "American sycamore": 549,
    "blackgum": 560,
    "American elm": 560,
    "butternut": 426,
    "black locust": 773,
    "eastern redcedar": 526,
    "eastern white pine": 392,
    "Douglas-fir": 538,
}
FPL = "Forest Products Laboratory's tropical timber sheets: 40 and 63 lb/ft³ air-dry"
PAGE = "a timber supplier's data page: 712, 702, 441 kg/m³ at 12 %"
EN_350 = "EN 350-2:1994 Table 2 and 3, mean density at 12 %, from memory"
MAHOGANIES = "EN 350-2:1994, from memory: Swietenia 510 to 580, Khaya 490 to 530 kg/m³"
ELSEWHERE = {
    "teak": (640.7, 1.0, FPL),
    "ebony": (1009.2, 1.0, FPL),
    "true mahogany": (545, 35, MAHOGANIES),
    "African mahogany": (510, 20, MAHOGANIES),
    "European beech": (712, 0.5, PAGE),
    "European oak": (702, 0.5, PAGE),
    "Norway spruce": (441, 0.5, PAGE),
    "European ash": (700, 0.5, EN_350),
    "sycamore maple": (640, 0.5, EN_350),
    "European walnut": (670, 0.5, EN_350),
    "wild cherry": (630, 0.5, EN_350),
    "sweet chestnut": (590, 0.5, EN_350),
    "lime": (540, 0.5, EN_350),
    "European larch": (600, 0.5, EN_350),
    "Scots pine": (520, 0.5, EN_350),
    "hornbeam": (800, 0.5, EN_350),
    "pear": (700, 0.5, EN_350),
    "silver birch": (660, 0.5, EN_350),
}


@pytest.mark.parametrize(
    ("basic_sg", "moisture_pct", "shrinkage_pct", "sg", "kg_m3"),
    [
        (0.51, 0, None, 0.589697635, 589.697635),
        (0.51, 12, None, 0.555005387, 621.606033),
        (0.51, 30, None, 0.51, 663.0),
        (0.51, 60, None, 0.51, 816.0),
        (0.51, 12, 12.8, 0.552426343, 618.717504),
        (0.47, 8, 11.5, 0.513287222, 554.3502),
        (0.40, 15, 12.7, 0.427122264, 491.190603),
    ],
)
def test_density_follows_the_handbook(
    basic_sg: float, moisture_pct: float, shrinkage_pct: float | None, sg: float, kg_m3: float
) -> None:
    typed = {"basic_sg": basic_sg, "moisture_pct": moisture_pct, "shrinkage_pct": shrinkage_pct}
    found = answer("wood-density", typed)
    check("wood-density", found.number("sg"), sg, rel=1e-8, source=HANDBOOK)
    check("wood-density", 1000 * found.number("density_g_cm3"), kg_m3, rel=1e-8, source=HANDBOOK)


@pytest.mark.parametrize("name", DENSITY_12)
def test_at_12_per_cent_a_species_weighs_what_the_table_says(name: str) -> None:
    found = answer("wood-density", {"species": name, "moisture_pct": "12"})
    got = 1000 * found.number("density_g_cm3")
    check("wood-density", got, DENSITY_12[name], abs=0.5, source=FIA)


@pytest.mark.parametrize("name", ELSEWHERE)
def test_woods_from_elsewhere_weigh_what_their_tables_say(name: str) -> None:
    kg_m3, spread, source = ELSEWHERE[name]
    found = answer("wood-density", {"species": name, "moisture_pct": "12"})
    got = 1000 * found.number("density_g_cm3")
    check("wood-density", got, kg_m3, abs=spread, source=source)


@pytest.mark.parametrize(
    ("name", "basic_sg", "kg_m3"), [("teak", 0.55, 640.7), ("ebony", 0.82, 1009.2)]
)
def test_green_gravity_and_shrinkage_agree_with_the_air_dry_weight(
    name: str, basic_sg: float, kg_m3: float
) -> None:
    wood = SPECIES[name]
    got = 1000 * wood_density(basic_sg, 12.0, wood.shrinkage_pct).density_g_cm3
    check("wood-density", got, kg_m3, rel=0.03, source=FPL)


def test_every_wood_is_held_to_an_outside_value() -> None:
    assert set(SPECIES) == set(DENSITY_12) | set(ELSEWHERE)


@pytest.mark.parametrize("name", DENSITY_12)
def test_the_26_5_rule_meets_the_table_as_well_as_it_is_known_to(name: str) -> None:
    # The rule's error over these species runs from -8.9 % (basswood) to +6.9 % (black locust).
    wood = SPECIES[name]
    got = wood_density(wood.basic_sg, 12.0, SHRINKAGE_PER_SG * wood.basic_sg).sg
    check("wood-density, rule of 26.5", got, wood.sg_12, rel=0.09, source=FIA)


def test_a_blank_dried_from_12_to_8_per_cent_loses_water_only() -> None:
    got = mass_at_moisture_g(500.0, 12.0, 8.0)
    check("wood-density", got, 482.142857, rel=1e-8, source="moisture on the oven-dry basis")


@pytest.mark.parametrize(
    ("size_mm", "shrinkage_pct", "from_pct", "to_pct", "change_mm"),
    [
        (100, 10.5, 12, 8, -1.4941302),
        (100, 5.6, 12, 8, -0.772626932),
        (80, 7.1, 40, 10, -3.78666667),
    ],
)
def test_sizes_change_by_the_linear_model(
    size_mm: float, shrinkage_pct: float, from_pct: float, to_pct: float, change_mm: float
) -> None:
    got = size_change_mm(size_mm, shrinkage_pct, from_pct, to_pct)
    check("wood-density", got, change_mm, abs=1e-6, source="linear shrinkage below 30 %, by hand")


@pytest.mark.parametrize("name", sorted(DENSITY_12))
def test_the_curve_goes_through_the_tables_value_at_12_and_has_no_step_there(name: str) -> None:
    def density(moisture_pct: float) -> float:
        typed = {"species": name, "moisture_pct": f"{moisture_pct} %"}
        return answer("wood-density", typed).number("density_g_cm3")

    check("wood-density", 1000.0 * density(12.0), DENSITY_12[name], abs=0.6, source=FIA)
    below, at, above = density(11.999), density(12.0), density(12.001)
    assert below < at < above
    assert above - below < 2e-4
