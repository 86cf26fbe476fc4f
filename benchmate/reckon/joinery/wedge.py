"""What a wedge does to a tenon: how far it spreads, and whether its leaves stand it.

Each wedge is driven flush into a saw kerf, so that the tenon grows by head − kerf at its outer end
and by nothing at the wedge's tip. Half of the growth goes to each side of the mortise.

Source: geometry; the strain of a leaf from beam theory (`bending`).
"""

from dataclasses import dataclass
from math import atan, degrees

from benchmate.quantities import show_number
from benchmate.quantities.worded import Worded, millimetres
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked
from benchmate.reckon.joinery.bending import limit_pct, strain_pct

_HOLE_OVER_KERF = 2.0
"""A relief hole is usually drilled two to three kerfs wide: common practice."""


@dataclass(frozen=True)
class Wedged:
    """A wedged tenon, mm, its angle in degrees."""

    outer_mortise: float
    half_flare_deg: float
    spread: float
    """How far each outer leaf is pushed aside at the outer end."""


def wedged(
    tenon_mm: float, kerf_mm: float, head_mm: float, length_mm: float, kerfs: int = 1
) -> Wedged:
    """Return what equal wedges, one in each kerf, do to a tenon; raises Refused."""
    if head_mm <= kerf_mm:
        raise Refused(
            Worded(
                "a wedge head of {head} is no thicker than its kerf of {kerf}, so it spreads "
                "nothing; make the head thicker",
                head=millimetres(head_mm),
                kerf=millimetres(kerf_mm),
            )
        )
    if kerfs * kerf_mm >= tenon_mm:
        raise Refused(
            Worded(
                "{kerfs} of {kerf} leave nothing of a tenon of {tenon}",
                kerfs="a kerf" if kerfs == 1 else f"{kerfs} kerfs",
                kerf=millimetres(kerf_mm),
                tenon=millimetres(tenon_mm),
            )
        )
    growth_mm = kerfs * (head_mm - kerf_mm)
    half_flare_deg = degrees(atan(growth_mm / (2.0 * length_mm)))
    return Wedged(tenon_mm + growth_mm, half_flare_deg, growth_mm / 2.0)


def even_leaf_mm(tenon_mm: float, kerf_mm: float, kerfs: int) -> float:
    """Return the thickness of each leaf when the kerfs divide the tenon evenly."""
    return (tenon_mm - kerfs * kerf_mm) / (kerfs + 1)


def _work(given: Given) -> Worked:
    tenon_mm, kerf_mm = given.number("tenon_mm"), given.number("kerf_mm")
    kerfs, length_mm = given.count("kerfs"), given.number("wedge_length_mm")
    found = wedged(tenon_mm, kerf_mm, given.number("wedge_head_mm"), length_mm, kerfs)
    leaf_mm = given.maybe("leaf_mm")
    notes: list[str] = []
    if leaf_mm is None:
        leaf_mm = even_leaf_mm(tenon_mm, kerf_mm, kerfs)
        notes.append(
            Worded(
                "The kerfs are taken to divide the tenon evenly: outer leaves of {leaf}.",
                leaf=millimetres(leaf_mm),
            )
        )
    elif 2.0 * leaf_mm + kerfs * kerf_mm > tenon_mm:
        raise Refused(
            Worded(
                "two outer leaves of {leaf} and the kerfs are more than a tenon of {tenon}",
                leaf=millimetres(leaf_mm),
                tenon=millimetres(tenon_mm),
            )
        )
    limit, is_own = limit_pct(given.word("species"))
    strain = strain_pct(leaf_mm, found.spread, length_mm)
    if not is_own:
        notes.append(f"The limit of {show_number(limit, 2)} % is a usual one, not this wood's own.")
    if strain > limit:
        notes.append(
            "The leaf is bent further than wood is known to stand: take a longer or a thinner "
            "wedge, a thinner leaf or one more kerf."
        )
    hole_mm = given.maybe("hole_mm")
    notes.append(_hole_note(hole_mm, kerf_mm, tenon_mm))
    return Worked(
        {
            "outer_mortise_mm": found.outer_mortise,
            "half_flare_deg": found.half_flare_deg,
            "spread_mm": found.spread,
            "strain_pct": strain,
            "limit_pct": limit,
        },
        tuple(notes),
    )


def _hole_note(hole_mm: float | None, kerf_mm: float, tenon_mm: float) -> str:
    if hole_mm is None:
        return Worded(
            "Drill a relief hole of about {hole} at the kerf's end before sawing: without it the "
            "split can run past the shoulder.",
            hole=millimetres(_HOLE_OVER_KERF * kerf_mm),
        )
    if hole_mm >= tenon_mm / 2.0:
        raise Refused(
            Worded(
                "a relief hole of {hole} takes half of a tenon of {tenon} or more; drill a "
                "smaller one",
                hole=millimetres(hole_mm),
                tenon=millimetres(tenon_mm),
            )
        )
    if hole_mm <= kerf_mm:
        return Worded(
            "A relief hole of {hole} is no wider than the kerf, so it stops no split; drill about "
            "{better}.",
            hole=millimetres(hole_mm),
            better=millimetres(_HOLE_OVER_KERF * kerf_mm),
        )
    return Worded(
        "The hole of {hole} stops the split and spreads the bend at the kerf's end; drill it "
        "first, then saw into it.",
        hole=millimetres(hole_mm),
    )


RECKONER = Reckoner(
    name="wedge",
    title="What a wedge does to a tenon and its mortise",
    inputs=(
        Input("tenon_mm", "tenon across the kerf", above=0.0, high=500.0),
        Input("kerf_mm", "width of the saw kerf", above=0.0, high=20.0),
        Input("wedge_head_mm", "thickness of the wedge where it ends flush", above=0.0, high=100.0),
        Input(
            "wedge_length_mm", "how deep it goes, which is the kerf's depth", above=0.0, high=1000.0
        ),
        Input("kerfs", "kerfs, a wedge in each", takes="count", default=1, low=1, high=10),
        Input(
            "leaf_mm",
            "thickness of the outer leaf, if the kerfs don't divide the tenon evenly",
            needed=False,
            above=0.0,
            high=500.0,
        ),
        Input("hole_mm", "relief hole at the kerf's end", needed=False, above=0.0, high=50.0),
        Input("species", "the tenon's wood", takes="word", needed=False),
    ),
    results=(
        Result("outer_mortise_mm", "mortise at its outer face, to be flared to"),
        Result("half_flare_deg", "how far each side of the mortise leans", decimals=2),
        Result("spread_mm", "growth a side at the outer face"),
        Result("strain_pct", "in the outer leaf at the kerf's end", decimals=2),
        Result("limit_pct", "strain at which such a leaf breaks (common practice)", decimals=2),
    ),
    formula="mortise = tenon + n (head − kerf); half flare = atan(n (head − kerf)/(2 length)); "
    "strain = 3 h δ/(2 l²) with δ = n (head − kerf)/2",
    sources=(
        "geometry; beam theory for a leaf pushed at its end",
        "limit: modulus of rupture over modulus of elasticity at 12 %, Wood Handbook "
        "Table 5-3, partly from memory; taking it as the limit is common practice",
    ),
    limits=(
        "The leaf is taken as a beam held at the kerf's end; steaming and runout aren't in it.",
        "Where several kerfs divide the tenon the outer leaf moves furthest.",
    ),
    example={
        "tenon_mm": "18",
        "kerf_mm": "1.5",
        "wedge_head_mm": "4",
        "wedge_length_mm": "40",
        "hole_mm": "4",
        "species": "white ash",
    },
    work=_work,
    curve=("wedge_head_mm", "strain_pct"),
)
