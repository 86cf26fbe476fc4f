"""The largest rectangular tenon that a round holds with full corners.

A rectangle a x b has full corners in a round of diameter d when its diagonal is no longer than d.
An allowance is wood that is still to be planed off: it is left on all four sides, so the rough
tenon with its allowance is what has to fit.

Source: Pythagoras; the largest rectangle by area in a circle is the square of side d/√2.
"""

from dataclasses import dataclass
from math import hypot, sqrt

from benchmate.quantities.worded import Worded, millimetres
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked

_HAIR_MM = 1e-9


@dataclass(frozen=True)
class Tenon:
    """A tenon in its round, mm; what needs the round is None where no round is given."""

    thickness: float
    width: float
    square: float | None
    smallest_round: float
    corners_full: bool | None
    corner_missing: float | None


def largest_side_mm(round_mm: float, side_mm: float, allowance_mm: float = 0.0) -> float:
    """Return the other side of the largest tenon with full corners; raises Refused."""
    rough_mm = side_mm + 2.0 * allowance_mm
    if rough_mm >= round_mm:
        raise Refused(
            Worded(
                "a tenon side of {side} with its allowance doesn't leave a second side in a round "
                "of {round}; take a larger round or a thinner tenon",
                side=millimetres(side_mm),
                round=millimetres(round_mm),
            )
        )
    other_mm = sqrt(round_mm**2 - rough_mm**2) - 2.0 * allowance_mm
    return _left(other_mm, round_mm)


def largest_square_mm(round_mm: float, allowance_mm: float = 0.0) -> float:
    """Return the side of the largest square tenon; raises Refused when the allowance takes all."""
    return _left(round_mm / sqrt(2.0) - 2.0 * allowance_mm, round_mm)


def smallest_round_mm(thickness_mm: float, width_mm: float, allowance_mm: float = 0.0) -> float:
    """Return the round that holds a tenon with its allowance, corners full."""
    return hypot(thickness_mm + 2.0 * allowance_mm, width_mm + 2.0 * allowance_mm)


def tenon_in_round(
    round_mm: float | None, thickness_mm: float, width_mm: float, allowance_mm: float = 0.0
) -> Tenon:
    """Return how a tenon of both sizes stands in a round; raises Refused when a side can't."""
    needed_mm = smallest_round_mm(thickness_mm, width_mm, allowance_mm)
    if round_mm is None:
        return Tenon(thickness_mm, width_mm, None, needed_mm, None, None)
    broad_mm = max(thickness_mm, width_mm) + 2.0 * allowance_mm
    if broad_mm > round_mm + _HAIR_MM:
        raise Refused(
            Worded(
                "a round of {round} is narrower than the tenon, {side} with its allowance; "
                "full corners need a round of {needed}",
                round=millimetres(round_mm),
                side=millimetres(broad_mm),
                needed=millimetres(needed_mm),
            )
        )
    missing_mm = max(0.0, (needed_mm - round_mm) / 2.0)
    square_mm = largest_square_mm(round_mm, allowance_mm)
    full = missing_mm <= _HAIR_MM
    return Tenon(thickness_mm, width_mm, square_mm, needed_mm, full, 0.0 if full else missing_mm)


def _left(side_mm: float, round_mm: float) -> float:
    if side_mm <= 0.0:
        raise Refused(
            Worded(
                "the allowance leaves no tenon in a round of {round}; lessen it or take a "
                "larger round",
                round=millimetres(round_mm),
            )
        )
    return side_mm


def _work(given: Given) -> Worked:
    round_mm, allowance_mm = given.maybe("round_mm"), given.number("allowance_mm")
    thickness_mm, width_mm = given.maybe("thickness_mm"), given.maybe("width_mm")
    both = thickness_mm is not None and width_mm is not None
    notes: list[str] = []
    if round_mm is None and not both:
        raise Refused("round_mm is missing; give the round, or both thickness_mm and width_mm")
    if round_mm is not None:
        if thickness_mm is None and width_mm is None:
            thickness_mm = width_mm = largest_square_mm(round_mm, allowance_mm)
            notes.append("Neither side is given: the square is the largest tenon by area.")
        elif thickness_mm is None:
            thickness_mm = largest_side_mm(round_mm, width_mm or 0.0, allowance_mm)
        elif width_mm is None:
            width_mm = largest_side_mm(round_mm, thickness_mm, allowance_mm)
    tenon = tenon_in_round(round_mm, thickness_mm or 0.0, width_mm or 0.0, allowance_mm)
    if tenon.corner_missing:
        notes.append(
            Worded(
                "The corners lack {missing} each, measured along the diagonal.",
                missing=millimetres(tenon.corner_missing),
            )
        )
    return Worked(
        {
            "width_mm": tenon.width,
            "thickness_mm": tenon.thickness,
            "square_mm": tenon.square,
            "smallest_round_mm": tenon.smallest_round if both else None,
            "corners_full": tenon.corners_full,
            "corner_missing_mm": tenon.corner_missing,
        },
        tuple(notes),
    )


RECKONER = Reckoner(
    name="tenon",
    title="The largest tenon with full corners in a round",
    inputs=(
        Input(
            "round_mm",
            "diameter of the round it is cut from; not needed where both sides are",
            needed=False,
            above=0.0,
            high=1000.0,
        ),
        Input(
            "thickness_mm", "one side of the finished tenon", needed=False, above=0.0, high=1000.0
        ),
        Input(
            "width_mm", "the other side of the finished tenon", needed=False, above=0.0, high=1000.0
        ),
        Input(
            "allowance_mm",
            "wood still to be taken off a side, left on all four",
            default=0.0,
            low=0.0,
            high=50.0,
        ),
    ),
    results=(
        Result("width_mm", "as given, or the largest beside the thickness"),
        Result("thickness_mm", "as given, or the largest beside the width"),
        Result("square_mm", "the largest square tenon", if_none="no round given"),
        Result(
            "smallest_round_mm",
            "where both sides are given: the least round for full corners",
            if_none="needs both sides",
        ),
        Result(
            "corners_full",
            "whether the tenon with its allowance has all four corners",
            if_none="no round given",
        ),
        Result(
            "corner_missing_mm",
            "what each corner lacks along the diagonal",
            if_none="no round given",
        ),
    ),
    formula="(w + 2a)² + (t + 2a)² = d²; square d/√2 − 2a; a corner lacks "
    "(√((w + 2a)² + (t + 2a)²) − d)/2",
    sources=("geometry: Pythagoras",),
    limits=("The round is taken as true and its middle as the tenon's.",),
    example={"round_mm": "32", "thickness_mm": "14"},
    work=_work,
    curve=("thickness_mm", "width_mm"),
)
