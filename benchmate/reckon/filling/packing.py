"""How much of a void round shot fills.

Wall effect: Benyahia and O'Neill 2005, void fraction = 0.390 + 1.740/(r + 1.140)² for
1.5 < r < 50, r = width of the void over the shot's diameter, mean error 1.5 %; a poured bed, 0.610
in a wide void. Tapped shot: random close packing 0.635 (J. Materials Science 38 (2003) 2019).
Two sizes: the ideal limit of Furnas, for a very large ratio of sizes; real mixtures reach a part of
the gain, by the ratio of sizes (7:1 before fines sift freely: from memory, after McGeary's work
with steel shot; a few per cent at most below 3:1: common practice).
"""

from itertools import pairwise
from math import hypot, log, sqrt

import msgspec

from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, WithU, Worked

LEAST_RATIO = 1.5
WIDEST_RATIO = 50.0
WIDE_POURED = 0.610
WIDE_TAPPED = 0.635
FORMULA_ERROR = 0.015
"""Of the void fraction, as the source quotes it."""
POURING_HALF_WIDTH = {"poured": 0.015, "tapped": 0.010}
"""Poured shot in practice 0.58 to 0.61 (from memory), shaken 0.63 to 0.64."""
GAIN_BY_SIZE_RATIO = ((1.0, 0.0), (3.0, 0.13), (7.0, 0.6), (20.0, 0.8), (80.0, 0.95))
"""(coarse over fine, part of the ideal gain reached); from memory and common practice."""
GAIN_HALF_WIDTH = 0.25


class Packing(msgspec.Struct, frozen=True):
    """The packed share of a void with its standard uncertainty, and what bounds it."""

    fraction: float
    u: float
    ideal: float | None = None
    """The limit for two sizes; None for one size."""
    no_gain: float | None = None
    coarse_share: float | None = None


def walled_packing(ratio: float) -> float:
    """Return the poured packing of equal spheres in a void `ratio` shot wide.

    Raises Refused below 1.5, where the formula doesn't hold.
    """
    if ratio < 1.0:
        raise Refused("the shot doesn't go into the void: it is wider than the gap")
    if ratio < LEAST_RATIO:
        raise Refused(
            f"the gap is only {ratio:.2f} shot wide, and no formula holds below 1.5: take finer "
            "shot, or fill a trial void and weigh it"
        )
    return 1.0 - (0.390 + 1.740 / (ratio + 1.140) ** 2)


def furnas_limit(coarse: float, fine: float) -> tuple[float, float]:
    """Return (highest packing, coarse share of the solids there) of two sizes far apart."""
    highest = coarse + (1.0 - coarse) * fine
    return highest, coarse / highest


def furnas_mix(coarse: float, fine: float, coarse_share: float) -> float:
    """Return the ideal packing of a mix with that coarse share of the solids' volume."""
    fine_fills_voids = coarse / coarse_share if coarse_share > 0.0 else float("inf")
    coarse_displaces = 1.0 / (coarse_share + (1.0 - coarse_share) / fine)
    return min(fine_fills_voids, coarse_displaces)


def unmixed(coarse: float, fine: float, coarse_share: float) -> float:
    """Return the packing of the two sizes side by side, with no fines in the gaps of the coarse."""
    return 1.0 / (coarse_share / coarse + (1.0 - coarse_share) / fine)


def gain_reached(size_ratio: float) -> float:
    """Return the part of the ideal gain that a ratio of sizes reaches, 0 to 0.95."""
    if size_ratio >= GAIN_BY_SIZE_RATIO[-1][0]:
        return GAIN_BY_SIZE_RATIO[-1][1]
    pairs = pairwise(GAIN_BY_SIZE_RATIO)
    (r0, g0), (r1, g1) = next(pair for pair in pairs if size_ratio < pair[1][0])
    return g0 + (g1 - g0) * log(size_ratio / r0) / log(r1 / r0)


def one_size(shot_mm: float, gap_mm: float, settled: str) -> Packing:
    """Return the packing of one size in a void whose smallest free width is `gap_mm`."""
    poured = walled_packing(gap_mm / shot_mm)
    scale = WIDE_TAPPED / WIDE_POURED if settled == "tapped" else 1.0
    u = hypot(FORMULA_ERROR * (1.0 - poured), POURING_HALF_WIDTH[settled] / sqrt(3.0))
    return Packing(poured * scale, u)


def two_sizes(
    shot_mm: float, fine_mm: float, gap_mm: float, settled: str, coarse_share: float | None = None
) -> Packing:
    """Return the packing of two sizes; the best share where none is given.

    Raises Refused when the second size is not the finer one.
    """
    if fine_mm >= shot_mm:
        raise Refused("fine_mm must be smaller than shot_mm; swap them")
    coarse = one_size(shot_mm, gap_mm, settled)
    fine = one_size(fine_mm, gap_mm, settled)
    if coarse_share is None:
        coarse_share = furnas_limit(coarse.fraction, fine.fraction)[1]
    ideal = furnas_mix(coarse.fraction, fine.fraction, coarse_share)
    no_gain = unmixed(coarse.fraction, fine.fraction, coarse_share)
    gain = ideal - no_gain
    reached = gain_reached(shot_mm / fine_mm)
    u = hypot(coarse.u, gain * min(GAIN_HALF_WIDTH, reached) / sqrt(3.0))
    return Packing(no_gain + reached * gain, u, ideal, no_gain, coarse_share)


def work(given: Given) -> Worked:
    """Answer `packing`; raises Refused."""
    shot_mm, gap_mm = given.number("shot_mm"), given.number("gap_mm")
    fine_mm, share = given.maybe("fine_mm"), given.maybe("coarse_share")
    settled = given.word("settled")
    notes = list(_ratio_notes(gap_mm / shot_mm))
    if fine_mm is None:
        if share is not None:
            raise Refused("coarse_share is given without fine_mm; give the finer shot's size too")
        found = one_size(shot_mm, gap_mm, settled)
    else:
        found = two_sizes(shot_mm, fine_mm, gap_mm, settled, share)
        notes += _mix_notes(found, shot_mm / fine_mm, own_share=share is not None)
    if settled == "tapped":
        notes.append("Tapped is the poured value raised as 0.635 is to 0.610 in a wide void.")
    notes.append(
        "Your own shot knows better: fill a known volume V, weigh m, packing = m/(density x V)."
    )
    return Worked({"packing_fraction": WithU(found.fraction, found.u)}, tuple(notes))


def _ratio_notes(ratio: float) -> list[str]:
    if ratio > WIDEST_RATIO:
        return [f"The void is {ratio:.0f} shot wide, beyond the source's 50; walls hardly matter."]
    if ratio >= 10.0:
        return []
    lost_pct = 100.0 * (1.0 - walled_packing(ratio) / WIDE_POURED)
    lead = f"The void is only {ratio:.1f} shot wide: walls cost {lost_pct:.0f} % of the packing"
    return [f"{lead}; finer shot packs better." if ratio < 5.0 else f"{lead}."]


def _mix_notes(found: Packing, size_ratio: float, *, own_share: bool) -> list[str]:
    assert found.ideal is not None
    assert found.no_gain is not None
    notes = [
        f"Between {found.no_gain:.3f} (no gain) and {found.ideal:.3f} (the ideal limit, a ceiling)."
    ]
    if size_ratio < 7.0:
        notes.append(f"The sizes are only {size_ratio:.1f} : 1; fines sift freely from 7 : 1 on.")
    if not own_share:
        notes.append(f"Taken at the best coarse share of the solids, {found.coarse_share:.2f}.")
    return notes


RECKONER = Reckoner(
    name="packing",
    title="How much of a void shot fills (packing)",
    inputs=(
        Input("shot_mm", "diameter of the shot", low=0.1, high=12.0),
        Input(
            "gap_mm",
            "smallest free width of the void (a bore's diameter, a slot's width)",
            low=0.1,
            high=500.0,
        ),
        Input("fine_mm", "diameter of a second, finer shot", needed=False, low=0.02, high=12.0),
        Input(
            "coarse_share",
            "the coarser shot's share of all shot (same metal), from 0 to 1",
            needed=False,
            low=0.0,
            high=1.0,
        ),
        Input(
            "settled",
            "how it settles",
            takes="choice",
            default="poured",
            choices=("poured", "tapped"),
        ),
    ),
    results=(Result("packing_fraction", "metal's share of the void", has_u=True),),
    formula="r = gap/shot; packing = 1 - 0.390 - 1.740/(r + 1.140)²; two sizes: between "
    "1/(X/c + (1-X)/f) and min(c/X, 1/(X + (1-X)/f))",
    sources=(
        "Benyahia and O'Neill 2005 (wall effect), as coded in fluids",
        "J. Materials Science 38 (2003) 2019 (random close packing)",
        "Furnas' ideal limit for two sizes; the part of it reached: from memory",
    ),
    limits=(
        "For 1.5 < r < 50; below 1.5 refused, below 10 with a note.",
        "u: the source's 1.5 % of the void fraction, the spread of pouring, and for two sizes "
        "what part of the ideal gain is reached.",
        "Less than about ten shot deep, the ends cost packing too.",
        "The lattices' 0.74 is never reached by pouring.",
    ),
    example={"shot_mm": "2", "gap_mm": "30"},
    work=work,
    curve=("gap_mm", "packing_fraction"),
)
