"""What a board weighs and measures, now and after it has dried or taken up water.

Source: density as in `wood`, mass by the water on the oven-dry mass, sizes by the linear model of
the Wood Handbook. Along the grain nothing changes.
"""

from math import prod

from benchmate.quantities.worded import Worded
from benchmate.reckon.asking.frame import (
    Given,
    Input,
    Plain,
    Reckoner,
    Refused,
    Result,
    WithU,
    Worked,
)
from benchmate.reckon.wood.species import Species, find_species
from benchmate.reckon.wood.wood import (
    SPECIES_SPREAD,
    density_through_12,
    mass_at_moisture_g,
    size_change_mm,
)

_MM3_PER_CM3 = 1000.0
Sizes = tuple[float, float, float]
"""Along the grain, across it (the face), and the thickness, mm."""


def species_density_g_cm3(wood: Species, moisture_pct: float) -> float:
    """Return a wood's density: by its table at 12 %, elsewhere by the curve through it."""
    return density_through_12(wood.sg_12, moisture_pct, wood.shrinkage_pct).density_g_cm3


def board_g(sizes_mm: Sizes, wood: Species, moisture_pct: float) -> float:
    """Return what a board weighs."""
    return prod(sizes_mm) / _MM3_PER_CM3 * species_density_g_cm3(wood, moisture_pct)


def sizes_at(
    sizes_mm: Sizes, wood: Species, cut: str, moisture_pct: float, to_moisture_pct: float
) -> Sizes:
    """Return a board's sizes at another moisture; a flat-sawn one moves most across."""
    shrinkages = (wood.tangential_pct, wood.radial_pct)
    across_pct, thick_pct = shrinkages if cut == "flat" else shrinkages[::-1]
    along, across, thick = sizes_mm
    return (
        along,
        across + size_change_mm(across, across_pct, moisture_pct, to_moisture_pct),
        thick + size_change_mm(thick, thick_pct, moisture_pct, to_moisture_pct),
    )


def _sizes(given: Given) -> Sizes:
    sizes = given.numbers("sizes_mm")
    if len(sizes) != 3:
        raise Refused(f"sizes_mm must be [along, across, thick]; {len(sizes)} sizes are given")
    return sizes[0], sizes[1], sizes[2]


def _work(given: Given) -> Worked:
    wood, sizes_mm = find_species(given.word("species")), _sizes(given)
    moisture_pct, to_pct = given.number("moisture_pct"), given.maybe("to_moisture_pct")
    mass_g = board_g(sizes_mm, wood, moisture_pct)
    notes = [f"Taken as {wood.name} ({wood.botanical})."]
    if wood.from_memory:
        notes.append("A figure of this wood is from memory.")
    notes.append(Worded("Wood of one species spreads by about 10 %: weigh the board to know it."))
    to_g = None if to_pct is None else mass_at_moisture_g(mass_g, moisture_pct, to_pct)
    to_sizes: list[Plain] | None = (
        None
        if to_pct is None
        else list(sizes_at(sizes_mm, wood, given.word("cut"), moisture_pct, to_pct))
    )
    return Worked(
        {
            "mass_g": WithU(mass_g, SPECIES_SPREAD * mass_g),
            "to_mass_g": None if to_g is None else WithU(to_g, SPECIES_SPREAD * to_g),
            "to_sizes_mm": to_sizes,
        },
        tuple(notes),
    )


RECKONER = Reckoner(
    name="board",
    title="What a board weighs, and what moisture does to it",
    inputs=(
        Input(
            "sizes_mm",
            "[along the grain, across it, thick]",
            takes="numbers",
            above=0.0,
            high=10_000.0,
        ),
        Input("species", "the wood's common name", takes="word"),
        Input(
            "cut",
            "flat-sawn (rings along the face) or quarter-sawn",
            takes="choice",
            choices=("flat", "quarter"),
            default="flat",
        ),
        Input(
            "moisture_pct",
            "water now, in % of the oven-dry mass",
            default=12.0,
            low=0.0,
            high=200.0,
        ),
        Input("to_moisture_pct", "water it comes to", needed=False, low=0.0, high=200.0),
    ),
    results=(
        Result("mass_g", "as it is", has_u=True),
        Result("to_mass_g", "at the other moisture", has_u=True, if_none="needs to_moisture_pct"),
        Result(
            "to_sizes_mm",
            "[along, across, thick] at the other moisture",
            if_none="needs to_moisture_pct",
        ),
    ),
    formula="mass = volume x density; m2 = m1 (1 + M2/100)/(1 + M1/100); "
    "ΔD = D (M2 − M1)/(3000/S − 30 + M1), M above 30 counting as 30",
    sources=(
        "Wood Handbook FPL-GTR-190 ch. 4; USDA FIA reference species table",
        "other woods' sources: see wood-density",
    ),
    limits=(
        "u is the spread within a species, about 10 %.",
        "The density's curve goes through a species' tabulated gravity at 12 %.",
        "Rings at a slant move in between.",
    ),
    example={
        "sizes_mm": "[300, 120, 25]",
        "species": "black walnut",
        "moisture_pct": "12",
        "to_moisture_pct": "8",
    },
    work=_work,
    curve=("to_moisture_pct", "to_mass_g"),
)
