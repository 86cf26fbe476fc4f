"""How much finish a piece takes, and how thick it lies.

A label's coverage says how thick a wet coat lies: 1000 µm over the m² that a litre covers. Thinned
by a share of its own volume, the same wet coat holds less that stays. What misses the piece is a
share of the whole that is sprayed or brushed out.

Source: two coating glossaries (wet film = 1000/coverage, dry film = wet film x solids by volume,
thinned solids = solids/(1 + thinner)); 1 m² at 1 µm is 1 ml.
"""

from dataclasses import dataclass

from benchmate.quantities.worded import Worded, millilitres
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked

_UM_M2_L = 1000.0
_CM2_PER_M2 = 10_000.0


@dataclass(frozen=True)
class Film:
    """A coat: wet and, if its solids are known, dry, in µm."""

    wet_um: float
    dry_um: float | None

    @property
    def spreading_m2_l(self) -> float:
        """What a litre covers, ready to use."""
        return _UM_M2_L / self.wet_um


def thinned_share(solids_share: float, thinner_share: float) -> float:
    """Return the solids after thinning by a share of the product's volume."""
    return solids_share / (1.0 + thinner_share)


def film_by_coverage(coverage_m2_l: float, solids: float | None) -> Film:
    """Return a coat laid at a coverage; `solids` is the share that stays, thinned as it is used."""
    wet_um = _UM_M2_L / coverage_m2_l
    return Film(wet_um, None if solids is None else wet_um * solids)


def film_by_dry(dry_um: float, solids: float) -> Film:
    """Return the wet coat that leaves a dry one."""
    return Film(dry_um / solids, dry_um)


def volume_ml(area_cm2: float, coats: int, wet_um: float, transfer_share: float = 1.0) -> float:
    """Return the finish ready to use, what misses the piece included."""
    return area_cm2 / _CM2_PER_M2 * coats * wet_um / transfer_share


def _film(given: Given, coats: int, thinner_share: float) -> Film:
    coverage_m2_l, dry_film_um = given.maybe("coverage_m2_l"), given.maybe("dry_film_um")
    solids_pct = given.maybe("solids_pct")
    solids = None if solids_pct is None else thinned_share(solids_pct / 100.0, thinner_share)
    if (coverage_m2_l is None) == (dry_film_um is None):
        which = "neither is" if coverage_m2_l is None else "both are"
        raise Refused(f"give coverage_m2_l or dry_film_um, one of them; {which} given")
    if coverage_m2_l is not None:
        return film_by_coverage(coverage_m2_l, solids)
    if solids is None:
        raise Refused("solids_pct is missing; without it a dry film says nothing of the wet one")
    return film_by_dry((dry_film_um or 0.0) / coats, solids)


def _work(given: Given) -> Worked:
    coats, thinner_share = given.count("coats"), given.number("thinner_pct") / 100.0
    film = _film(given, coats, thinner_share)
    amount_ml = volume_ml(
        given.number("area_cm2"), coats, film.wet_um, given.number("transfer_share")
    )
    notes: list[str] = []
    if thinner_share:
        notes.append(
            Worded(
                "Of it {thinner} is thinner, the rest finish.",
                thinner=millilitres(amount_ml * thinner_share / (1.0 + thinner_share)),
            )
        )
    notes.append("Raw wood and end grain drink up to twice that (common practice).")
    return Worked(
        {
            "volume_ml": amount_ml,
            "wet_um": film.wet_um,
            "dry_um": film.dry_um,
            "dry_total_um": None if film.dry_um is None else film.dry_um * coats,
            "spreading_m2_l": film.spreading_m2_l,
        },
        tuple(notes),
    )


RECKONER = Reckoner(
    name="finish",
    title="How much finish a piece takes, and how thick it lies",
    inputs=(
        Input("area_cm2", "what is coated", above=0.0, high=1e7),
        Input("coats", "coats", takes="count", default=1, low=1, high=100),
        Input(
            "coverage_m2_l",
            "from the label, unthinned; or else dry_film_um",
            needed=False,
            above=0.0,
            high=200.0,
        ),
        Input(
            "dry_film_um",
            "the dry film wanted of all coats together",
            needed=False,
            above=0.0,
            high=5000.0,
        ),
        Input(
            "solids_pct",
            "what stays, by volume (not by weight)",
            needed=False,
            above=0.0,
            high=100.0,
        ),
        Input(
            "transfer_share",
            "of what is used, how much reaches the piece",
            default=1.0,
            above=0.0,
            high=1.0,
        ),
        Input(
            "thinner_pct", "thinner in % of the finish's volume", default=0.0, low=0.0, high=500.0
        ),
    ),
    results=(
        Result("volume_ml", "ready to use, thinner and losses included"),
        Result("wet_um", "a wet coat"),
        Result("dry_um", "a dry coat", if_none="needs solids_pct"),
        Result("dry_total_um", "all coats, dry", if_none="needs solids_pct"),
        Result("spreading_m2_l", "what a litre covers, ready to use"),
    ),
    formula="wet = 1000/coverage; dry = wet x solids/(1 + thinner); "
    "volume = area x coats x wet/transfer",
    sources=("two coating glossaries; 1 m² at 1 µm is 1 ml", "raw wood: common practice"),
    limits=(
        "A coat is laid as thick thinned as unthinned: it is the dry film that gets thinner.",
        "Solids by weight are higher than by volume and lie too thick a film.",
    ),
    example={
        "area_cm2": "900",
        "coats": "3",
        "coverage_m2_l": "12",
        "solids_pct": "45",
        "thinner_pct": "10",
    },
    work=_work,
    curve=("coats", "volume_ml"),
)
