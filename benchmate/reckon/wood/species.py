"""Woods by their common name: specific gravity, green moisture, shrinkage.

Sources: specific gravity on green volume, at 12 % and green moisture from the USDA FIA reference
species table; volumetric and linear shrinkage (green to oven-dry) from Wood Handbook FPL-GTR-190
Table 4-3. `from_memory` marks a volumetric shrinkage that was not read in the table.
"""

from typing import NamedTuple

from benchmate.quantities import quote
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.asking.nearest import or_nearest


class Species(NamedTuple):
    """One wood; moisture in % of oven-dry mass, shrinkage in % of the green size."""

    name: str
    botanical: str
    basic_sg: float
    green_moisture_pct: float
    sg_12: float
    shrinkage_pct: float
    from_memory: bool = False
    radial_pct: float | None = None
    tangential_pct: float | None = None


SPECIES: dict[str, Species] = {
    wood.name: wood
    for wood in (
        Species("black walnut", "Juglans nigra", 0.51, 79, 0.55, 12.8, False, 5.5, 7.8),
        Species("black cherry", "Prunus serotina", 0.47, 53, 0.50, 11.5, False, 3.7, 7.1),
        Species("white oak", "Quercus alba", 0.60, 68, 0.68, 16.3, False, 5.6, 10.5),
        Species("northern red oak", "Quercus rubra", 0.56, 83, 0.63, 13.7, True),
        Species("sugar maple", "Acer saccharum", 0.56, 57, 0.63, 14.7, True),
        Species("red maple", "Acer rubrum", 0.49, 64, 0.54, 12.6, True),
        Species("yellow birch", "Betula alleghaniensis", 0.55, 72, 0.62, 16.8, False, 7.3, 9.5),
        Species("American beech", "Fagus grandifolia", 0.56, 55, 0.64, 17.2, False, 5.5, 11.9),
        Species("white ash", "Fraxinus americana", 0.55, 46, 0.60, 13.3, False, 4.9, 7.8),
        Species("yellow-poplar", "Liriodendron tulipifera", 0.40, 95, 0.42, 12.7, False, 4.6, 8.2),
        Species("American basswood", "Tilia americana", 0.32, 105, 0.37, 15.8, False, 6.6, 9.3),
        Species("red alder", "Alnus rubra", 0.37, 99, 0.41, 12.6, False, 4.4, 7.3),
        Species("sweetgum", "Liquidambar styraciflua", 0.46, 74, 0.52, 15.8, False, 5.3, 10.2),
        Species(
            "American sycamore", "Platanus occidentalis", 0.46, 81, 0.49, 14.1, False, 5.0, 8.4
        ),
        Species("blackgum", "Nyssa sylvatica", 0.46, 101, 0.50, 14.4),
        Species("American elm", "Ulmus americana", 0.46, 94, 0.50, 14.6),
        Species("butternut", "Juglans cinerea", 0.36, 105, 0.38, 10.6),
        Species("black locust", "Robinia pseudoacacia", 0.66, 41, 0.69, 10.2, True),
        Species("eastern redcedar", "Juniperus virginiana", 0.44, 35, 0.47, 7.8, False, 3.1, 4.7),
        Species("eastern white pine", "Pinus strobus", 0.34, 65, 0.35, 8.2, True),
        Species("Douglas-fir", "Pseudotsuga menziesii", 0.45, 35, 0.48, 12.4, False, 4.8, 7.6),
    )
}
_ALIASES = {
    "hard maple": "sugar maple",
    "soft maple": "red maple",
    "tulip poplar": "yellow-poplar",
    "tulipwood": "yellow-poplar",
    "poplar": "yellow-poplar",
    "black tupelo": "blackgum",
    "red oak": "northern red oak",
    "white pine": "eastern white pine",
    "gum": "sweetgum",
}


def find_species(name: str) -> Species:
    """Return the wood of a common or botanical name; raises Refused with the nearest right one.

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
        raise Refused(f"{quote(name)} fits {' and '.join(w.name for w in fitting)}; say which")
    raise Refused(
        f"there is no wood {quote(name)} in the table{or_nearest(folded, [*SPECIES, *_ALIASES])}; "
        "for another wood give basic_sg"
    )


def _words(wood: Species) -> list[str]:
    return wood.name.casefold().replace("-", " ").split()
