"""Woods by their common name: specific gravity, shrinkage.

Sources, North American woods: specific gravity on green volume, at 12 % and green moisture from the
USDA FIA reference species table; volumetric and linear shrinkage (green to oven-dry) from Wood
Handbook FPL-GTR-190 Table 4-3.

Imported woods: specific gravity from Wood Handbook Table 5-5b and the Forest Products Laboratory's
sheets on tropical timbers (teak 40 lb/ft³, ebony 63 lb/ft³ air-dry), shrinkage from Table 4-4.

European woods: density at 12 % of beech, oak and spruce from a timber supplier's data page, of the
others from EN 350-2:1994, from memory; linear shrinkage from a table for panel makers that gathers
Chudnoff 1984, Princes Risborough 1972 and the Wood Handbook (by genus), of hornbeam, pear and birch
from memory. Their volumetric shrinkage follows from both sides, their green gravity from eq. 4-9.

`from_memory` marks a wood with a figure that was not read in its table.
"""

from typing import NamedTuple

from benchmate.nearest import or_nearest
from benchmate.quantities import quote
from benchmate.reckon.asking.frame import Refused

_WATER_AT_12 = 1120.0
"""kg/m³ of a wood of specific gravity 1 at 12 % moisture."""


class Species(NamedTuple):
    """One wood; moisture in % of oven-dry mass, shrinkage in % of the green size."""

    name: str
    botanical: str
    basic_sg: float
    sg_12: float
    shrinkage_pct: float
    radial_pct: float
    tangential_pct: float
    from_memory: bool = False


def _by_density(
    name: str,
    botanical: str,
    kg_m3: float,
    sides_pct: tuple[float, float],
    *,
    basic_sg: float | None = None,
    from_memory: bool = False,
) -> Species:
    """A wood known by its density at 12 % and its radial and tangential shrinkage."""
    radial_pct, tangential_pct = sides_pct
    whole_pct = 100.0 - (100.0 - radial_pct) * (100.0 - tangential_pct) / 100.0
    sg_12 = kg_m3 / _WATER_AT_12
    # Green to 12 % is 18 of the 30 points below fibre saturation.
    green_sg = sg_12 * (1.0 - 0.6 * whole_pct / 100.0) if basic_sg is None else basic_sg
    return Species(
        name, botanical, green_sg, sg_12, whole_pct, radial_pct, tangential_pct, from_memory
    )


_NORTH_AMERICAN = (
    Species("black walnut", "Juglans nigra", 0.51, 0.55, 12.8, 5.5, 7.8),
    Species("black cherry", "Prunus serotina", 0.47, 0.50, 11.5, 3.7, 7.1),
    Species("white oak", "Quercus alba", 0.60, 0.68, 16.3, 5.6, 10.5),
    Species("northern red oak", "Quercus rubra", 0.56, 0.63, 13.7, 4.0, 8.6, True),
    Species("sugar maple", "Acer saccharum", 0.56, 0.63, 14.7, 4.8, 9.9, True),
    Species("red maple", "Acer rubrum", 0.49, 0.54, 12.6, 4.0, 8.2, True),
    Species("yellow birch", "Betula alleghaniensis", 0.55, 0.62, 16.8, 7.3, 9.5),
    Species("American beech", "Fagus grandifolia", 0.56, 0.64, 17.2, 5.5, 11.9),
    Species("white ash", "Fraxinus americana", 0.55, 0.60, 13.3, 4.9, 7.8),
    Species("yellow-poplar", "Liriodendron tulipifera", 0.40, 0.42, 12.7, 4.6, 8.2),
    Species("American basswood", "Tilia americana", 0.32, 0.37, 15.8, 6.6, 9.3),
    Species("red alder", "Alnus rubra", 0.37, 0.41, 12.6, 4.4, 7.3),
    Species("sweetgum", "Liquidambar styraciflua", 0.46, 0.52, 15.8, 5.3, 10.2),
    Species("American sycamore", "Platanus occidentalis", 0.46, 0.49, 14.1, 5.0, 8.4),
    Species("blackgum", "Nyssa sylvatica", 0.46, 0.50, 14.4, 5.1, 8.7),
    Species("American elm", "Ulmus americana", 0.46, 0.50, 14.6, 4.2, 9.5),
    Species("butternut", "Juglans cinerea", 0.36, 0.38, 10.6, 3.4, 6.4),
    Species("black locust", "Robinia pseudoacacia", 0.66, 0.69, 10.2, 4.6, 7.2, True),
    Species("eastern redcedar", "Juniperus virginiana", 0.44, 0.47, 7.8, 3.1, 4.7),
    Species("eastern white pine", "Pinus strobus", 0.34, 0.35, 8.2, 2.1, 6.1, True),
    Species("Douglas-fir", "Pseudotsuga menziesii", 0.45, 0.48, 12.4, 4.8, 7.6),
)
_IMPORTED = (
    Species("teak", "Tectona grandis", 0.55, 641 / _WATER_AT_12, 7.0, 2.5, 5.8, True),
    # Table 5-5b gives gravity green only: at 12 % by eq. 4-9.
    Species("true mahogany", "Swietenia macrophylla", 0.45, 0.472, 7.8, 3.0, 4.1),
    Species("African mahogany", "Khaya spp.", 0.42, 0.443, 8.8, 2.5, 4.5),
    # Its sheet gives 5.5 and 6.5 % to 12 % moisture: over 0.6 to oven-dry.
    _by_density("ebony", "Diospyros spp.", 1009, (9.2, 10.8), basic_sg=0.82),
)
_EUROPEAN = (
    _by_density("European beech", "Fagus sylvatica", 712, (5.8, 11.8)),
    _by_density("European oak", "Quercus robur", 702, (5.2, 10.2)),
    _by_density("Norway spruce", "Picea abies", 441, (3.6, 7.4)),
    _by_density("European ash", "Fraxinus excelsior", 700, (5.2, 8.3), from_memory=True),
    _by_density("sycamore maple", "Acer pseudoplatanus", 640, (4.2, 8.8), from_memory=True),
    _by_density("European walnut", "Juglans regia", 670, (4.3, 6.4), from_memory=True),
    _by_density("wild cherry", "Prunus avium", 630, (4.2, 7.8), from_memory=True),
    _by_density("sweet chestnut", "Castanea sativa", 590, (4.0, 6.8), from_memory=True),
    _by_density("lime", "Tilia cordata", 540, (6.8, 9.5), from_memory=True),
    _by_density("European larch", "Larix decidua", 600, (3.3, 7.8), from_memory=True),
    _by_density("Scots pine", "Pinus sylvestris", 520, (4.0, 7.7), from_memory=True),
    _by_density("hornbeam", "Carpinus betulus", 800, (6.8, 11.5), from_memory=True),
    _by_density("pear", "Pyrus communis", 700, (4.6, 9.1), from_memory=True),
    _by_density("silver birch", "Betula pendula", 660, (5.3, 7.8), from_memory=True),
)
SPECIES: dict[str, Species] = {
    wood.name: wood for wood in (*_NORTH_AMERICAN, *_IMPORTED, *_EUROPEAN)
}
_ALIASES = {
    "walnut": "black walnut",
    "cherry": "black cherry",
    "beech": "American beech",
    "ash": "white ash",
    "birch": "yellow birch",
    "elm": "American elm",
    "sycamore": "American sycamore",
    "hard maple": "sugar maple",
    "soft maple": "red maple",
    "tulip poplar": "yellow-poplar",
    "tulipwood": "yellow-poplar",
    "poplar": "yellow-poplar",
    "black tupelo": "blackgum",
    "red oak": "northern red oak",
    "white pine": "eastern white pine",
    "pine": "eastern white pine",
    "gum": "sweetgum",
    "mahogany": "true mahogany",
    "Honduras mahogany": "true mahogany",
    "African ebony": "ebony",
    "linden": "lime",
}


def find_species(name: str, otherwise: str = "take one that is much like it") -> Species:
    """Return the wood of a common or botanical name; raises Refused with the nearest right one.

    `otherwise` says what to do for a wood that isn't in the table.

    A part of a name is enough where it fits only one wood: "walnut", but not "oak".
    """
    folded = " ".join(name.casefold().split())
    folded = _ALIASES.get(folded, folded).casefold()
    for wood in SPECIES.values():
        if folded in (wood.name.casefold(), wood.botanical.casefold()):
            return wood
    words = folded.replace("-", " ").split()
    fitting = [w for w in SPECIES.values() if set(words) <= set(_words(w))] if words else []
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        *others, last = (wood.name for wood in fitting)
        raise Refused(f"{quote(name)} fits {', '.join(others)} and {last}; say which")
    raise Refused(
        f"there is no wood {quote(name)} in the table{or_nearest(folded, [*SPECIES, *_ALIASES])}"
        + (f"; {otherwise}" if otherwise else "")
    )


def _words(wood: Species) -> list[str]:
    return wood.name.casefold().replace("-", " ").split()
