"""How far a leaf of wood bends before it breaks, as strain at its surface.

The limit is taken as bending strength over stiffness at 12 % moisture: what an elastic beam would
show at rupture. That is common practice; a leaf that follows the grain stands more, one with
runout less.

Source: Wood Handbook Table 5-3 (12 %), modulus of rupture in psi and of elasticity in 10⁶ psi;
walnut, cherry, white oak, sugar maple, yellow-poplar, teak and the mahoganies (Table 5-5b) read in
public copies, the rest from memory.
"""

from benchmate.reckon.wood.species import find_species

USUAL_LIMIT_PCT = 0.8
"""For a wood that isn't in the table: the middle of those that are. Common practice."""

_RUPTURE_AND_STIFFNESS: dict[str, tuple[float, float]] = {
    "black walnut": (14_600, 1.68),
    "black cherry": (12_300, 1.49),
    "white oak": (15_200, 1.78),
    "northern red oak": (14_300, 1.82),
    "sugar maple": (15_800, 1.83),
    "red maple": (13_400, 1.64),
    "yellow birch": (16_600, 2.01),
    "American beech": (14_900, 1.72),
    "white ash": (15_000, 1.74),
    "yellow-poplar": (10_100, 1.58),
    "American basswood": (8_700, 1.46),
    "red alder": (9_800, 1.38),
    "sweetgum": (12_500, 1.64),
    "American sycamore": (10_000, 1.42),
    "blackgum": (9_600, 1.20),
    "American elm": (11_800, 1.34),
    "butternut": (8_100, 1.18),
    "black locust": (19_400, 2.05),
    "eastern redcedar": (8_800, 0.88),
    "eastern white pine": (8_600, 1.24),
    "Douglas-fir": (12_400, 1.95),
    "teak": (14_600, 1.55),
    "true mahogany": (11_500, 1.50),
    "African mahogany": (10_700, 1.40),
}


def strain_pct(leaf_mm: float, moved_mm: float, length_mm: float) -> float:
    """Return the strain at the root of a leaf whose end is pushed aside.

    A cantilever pushed at its end: strain = 3 h δ/(2 l²), from beam theory.
    """
    return 100.0 * 1.5 * leaf_mm * moved_mm / length_mm**2


def limit_pct(species: str) -> tuple[float, bool]:
    """Return the strain a wood stands, and whether it is that wood's own; raises Refused."""
    if not species:
        return USUAL_LIMIT_PCT, False
    own = _RUPTURE_AND_STIFFNESS.get(find_species(species).name)
    return (USUAL_LIMIT_PCT, False) if own is None else (own[0] / own[1] / 1e4, True)
