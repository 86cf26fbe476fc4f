"""The density of wood at a moisture content.

Specific gravity G is always oven-dry mass over the volume at a moisture content, so the density is
not 1000 G: the water is in it too. Above fibre saturation, taken as 30 %, the volume no longer
changes, but the weight goes on rising.

Source: Wood Handbook FPL-GTR-190 ch. 4, eq. 4-7 and 4-9. The rule S0 = 26.5 G_b for a wood of
unknown shrinkage is the handbook's older form, from memory.
"""

import msgspec

from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, WithU, Worked
from benchmate.reckon.wood.species import Species, find_species

FIBRE_SATURATION_PCT = 30.0
SPECIES_SPREAD = 0.10
SHRINKAGE_PER_SG = 26.5


class WoodDensity(msgspec.Struct, frozen=True):
    """Specific gravity on the volume at the moisture content, and density there."""

    sg: float
    density_g_cm3: float


def shrinkage_to_pct(shrinkage_pct: float, moisture_pct: float) -> float:
    """Return the shrinkage from green to a moisture content, from that to oven-dry (eq. 4-7)."""
    return shrinkage_pct * max(0.0, 1.0 - moisture_pct / FIBRE_SATURATION_PCT)


def wood_density(basic_sg: float, moisture_pct: float, shrinkage_pct: float) -> WoodDensity:
    """Return sg and density of a wood from its basic specific gravity (eq. 4-9)."""
    sg = basic_sg / (1.0 - shrinkage_to_pct(shrinkage_pct, moisture_pct) / 100.0)
    return WoodDensity(sg, density_at(sg, moisture_pct))


def density_through_12(sg_12: float, moisture_pct: float, shrinkage_pct: float) -> WoodDensity:
    """Return sg and density of a wood from a table's specific gravity at 12 % (eq. 4-7 and 4-9
    both ways): the curve has no step where the table's own value is used."""
    at_12, here = (1.0 - shrinkage_to_pct(shrinkage_pct, m) / 100.0 for m in (12.0, moisture_pct))
    sg = sg_12 * at_12 / here
    return WoodDensity(sg, density_at(sg, moisture_pct))


def density_at(sg: float, moisture_pct: float) -> float:
    """Return the density in g/cm³ from the specific gravity on the volume at that moisture."""
    return sg * (1.0 + moisture_pct / 100.0)


def mass_at_moisture_g(mass_g: float, from_pct: float, to_pct: float) -> float:
    """Return what a piece of wood weighs at another moisture content."""
    return mass_g * (1.0 + to_pct / 100.0) / (1.0 + from_pct / 100.0)


def size_change_mm(size_mm: float, shrinkage_pct: float, from_pct: float, to_pct: float) -> float:
    """Return how much a size across the grain changes between two moisture contents.

    `shrinkage_pct` is green to oven-dry in that direction; the linear model in its exact form.
    """
    start = min(from_pct, FIBRE_SATURATION_PCT)
    end = min(to_pct, FIBRE_SATURATION_PCT)
    if shrinkage_pct == 0.0:
        return 0.0
    return (
        size_mm
        * (end - start)
        / (100.0 * FIBRE_SATURATION_PCT / shrinkage_pct - FIBRE_SATURATION_PCT + start)
    )


def work(given: Given) -> Worked:
    """Answer `wood-density`."""
    moisture_pct = given.number("moisture_pct")
    notes: list[str] = []
    if given.word("species"):
        found = _of_species(given, moisture_pct, notes)
    else:
        found = _of_sg(given, moisture_pct, notes)
    if moisture_pct >= FIBRE_SATURATION_PCT:
        notes.append(
            "Above 30 % the wood no longer swells; only its water adds weight, and green "
            "moisture scatters widely."
        )
    notes.append("Density varies by about 10 % within a species: weigh your blank.")
    spread = SPECIES_SPREAD
    return Worked(
        {
            "density_g_cm3": WithU(found.density_g_cm3, spread * found.density_g_cm3),
            "sg": WithU(found.sg, spread * found.sg),
        },
        tuple(notes),
    )


def _of_species(given: Given, moisture_pct: float, notes: list[str]) -> WoodDensity:
    if given.has("basic_sg"):
        raise Refused("species and basic_sg are both given; give one of them")
    wood = find_species(given.word("species"), "for another wood give basic_sg")
    if wood.name.casefold() != given.word("species").casefold():
        notes.append(f"Taken as {wood.name} ({wood.botanical}).")
    notes.append(f"The curve goes through the table's own value at 12 %, {wood.sg_12:.3g}.")
    if wood.from_memory and not given.has("shrinkage_pct"):
        notes.append(f"The shrinkage of {wood.name}, {wood.shrinkage_pct:.1f} %, is from memory.")
    return density_through_12(wood.sg_12, moisture_pct, _shrinkage(given, wood))


def _shrinkage(given: Given, wood: Species) -> float:
    own = given.maybe("shrinkage_pct")
    return wood.shrinkage_pct if own is None else own


def _of_sg(given: Given, moisture_pct: float, notes: list[str]) -> WoodDensity:
    basic_sg = given.maybe("basic_sg")
    if basic_sg is None:
        raise Refused("neither species nor basic_sg is given; give one of them")
    shrinkage_pct = given.maybe("shrinkage_pct")
    if shrinkage_pct is None:
        shrinkage_pct = SHRINKAGE_PER_SG * basic_sg
        notes.append(f"Shrinkage is taken as 26.5 x basic_sg = {shrinkage_pct:.1f} %, a rule.")
    return wood_density(basic_sg, moisture_pct, shrinkage_pct)


RECKONER = Reckoner(
    name="wood-density",
    title="Density of a wood at a given moisture",
    inputs=(
        Input("species", "the wood's common name", takes="word", needed=False),
        Input(
            "basic_sg",
            "oven-dry mass over green volume, instead of the species",
            needed=False,
            low=0.08,
            high=1.3,
            source_low=0.3,
            source_high=0.8,
            beyond="the relations were drawn up on common North American woods",
        ),
        Input(
            "shrinkage_pct",
            "volumetric shrinkage from green to oven-dry",
            needed=False,
            low=0.0,
            high=30.0,
        ),
        Input("moisture_pct", "water in % of the oven-dry mass", default=12.0, low=0.0, high=200.0),
    ),
    results=(
        Result("density_g_cm3", "density, water included", has_u=True),
        Result(
            "sg", "oven-dry mass over volume at this moisture, against water", unit="", has_u=True
        ),
    ),
    formula="S_x = S0 (1 - x/30) below 30 %, else 0; sg = G_b/(1 - S_x/100); "
    "density = sg (1 + x/100)",
    sources=(
        "Wood Handbook FPL-GTR-190 ch. 4, eq. 4-7 and 4-9, Table 4-3",
        "USDA FIA reference species table (specific gravities)",
        "imported woods: Wood Handbook Tables 4-4 and 5-5b, FPL tropical timber sheets",
        "European woods: density at 12 % by EN 350-2 (from memory) or a supplier's page; "
        "shrinkage from a table for panel makers",
        "S0 = 26.5 G_b where none is given: from memory",
    ),
    limits=(
        "u is the spread within a species, about 10 % (Wood Handbook).",
        "At 12 % a species' tabulated value is preferred to the computed one; "
        "they differ by a few per cent.",
        "Fibre saturation is taken as 30 % for all woods.",
    ),
    example={"species": "black walnut", "moisture_pct": "8"},
    work=work,
    curve=("moisture_pct", "density_g_cm3"),
)
