"""What else would land a piece when the layers still to come can't."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from benchmate.landing.makeweight import PieceChange
from benchmate.landing.reach import Reach, Slot
from benchmate.landing.words import Say, capital, light_or_heavy


@dataclass(frozen=True, slots=True)
class DenserShot:
    """Another kind of shot on the shelf, and its metal's density."""

    name: str
    g_cm3: float


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another way out. `grams`: of denser shot, of wood to take off, the new target or match."""

    kind: Literal["denser shot", "take wood off", "another target", "another match"]
    piece: str
    grams: float
    sentence: str


def alternatives(
    reaches: Sequence[Reach],
    pieces: Sequence[PieceChange],
    missed: Sequence[float],
    match_g: float | None,
    denser: Sequence[DenserShot],
    division_g: float,
    say: Say,
) -> tuple[Alternative, ...]:
    """Every other way to land the pieces, least trouble first, the smaller correction before.

    `missed` is by how much each piece misses (below zero: too light). Pieces that must match and
    can't are brought to one another: the lighter up by denser shot, or the heavier down by wood.
    """
    apart = match_g is not None and too_far_apart(pieces, match_g)
    wanted = _up_to_the_heaviest(pieces) if apart else [-off for off in missed]
    landed = f"match {_heaviest(pieces).piece}" if apart else "land it"
    dense = [
        found
        for reach, piece, short_g in zip(reaches, pieces, wanted, strict=True)
        if short_g > (match_g or 0.0 if apart else 0.0)
        for found in _with_denser(reach, piece, short_g, landed, denser, division_g, say)
    ]
    if apart:
        wood = _level_down(reaches, pieces, division_g, say)
    else:
        heavy = [(p.piece, off) for p, off in zip(pieces, missed, strict=True) if off > 0.0]
        wood = [_wood(name, off, division_g, say) for name, off in heavy]
    other = _another_target(reaches, pieces, match_g, division_g, say)
    return (*sorted(dense, key=_grams), *sorted(wood, key=_grams), *other)


def too_far_apart(pieces: Sequence[PieceChange], match_g: float) -> bool:
    """Whether pieces that must match would land further apart than that."""
    lands = [piece.lands.g for piece in pieces]
    return len(lands) > 1 and max(lands) - min(lands) > match_g


def _grams(found: Alternative) -> float:
    return found.grams


def _heaviest(pieces: Sequence[PieceChange]) -> PieceChange:
    return max(pieces, key=lambda piece: piece.lands.g)


def _up_to_the_heaviest(pieces: Sequence[PieceChange]) -> list[float]:
    top = _heaviest(pieces).lands.g
    return [top - piece.lands.g for piece in pieces]


def _with_denser(
    reach: Reach,
    piece: PieceChange,
    short_g: float,
    landed: str,
    denser: Sequence[DenserShot],
    division_g: float,
    say: Say,
) -> list[Alternative]:
    """Denser shot in the last layer, grain for grain in the place of the other.

    The same packing holds the same volume of metal; so x g of denser shot take the place of
    x ρ/ρ_denser of the old, and the piece gains the difference.
    """
    if not reach.slots:
        return []
    slot = reach.slots[-1]
    held_g = _holds(slot, piece)
    found = []
    for shot in denser:
        lighter = slot.layer.fill.shot_g_cm3 / shot.g_cm3
        if lighter >= 1.0:
            continue
        wanted_g = short_g / (1.0 - lighter)
        leaves_g = held_g - wanted_g * lighter
        if leaves_g >= 0.0:
            words = (
                f"{capital(piece.piece)}, {slot.layer.name}: {say(wanted_g, division_g)} of "
                f"{shot.name} and {say(leaves_g, division_g)} of {slot.layer.fill.shot} would "
                f"{landed}."
            )
            found.append(Alternative("denser shot", piece.piece, wanted_g, words))
    return found


def _holds(slot: Slot, piece: PieceChange) -> float:
    """Shot in that layer after the best that can be done."""
    changed = [c.new_shot_g for c in piece.changes if c.place == slot.place]
    return changed[0] if changed else slot.shot_g


def _wood(piece: str, off_g: float, division_g: float, say: Say) -> Alternative:
    sentence = f"Taking {say(off_g, division_g)} of wood off {piece} would land it."
    return Alternative("take wood off", piece, off_g, sentence)


def _level_down(
    reaches: Sequence[Reach], pieces: Sequence[PieceChange], division_g: float, say: Say
) -> list[Alternative]:
    """Wood off the heavier pieces, down to the lightest: it can't be brought any higher."""
    lightest = min(pieces, key=lambda piece: piece.lands.g)
    found = []
    for reach, piece in zip(reaches, pieces, strict=True):
        above = piece.lands.g - lightest.lands.g
        if above >= division_g:
            there = f"{say(lightest.lands.g, 1.0)}{_as_asked(reach, lightest, say)}"
            words = (
                f"Taking {say(above, division_g)} of wood off {piece.piece} would match it to "
                f"{lightest.piece} at {there}."
            )
            found.append(Alternative("take wood off", piece.piece, above, words))
    return found


def _as_asked(reach: Reach, lands: PieceChange, say: Say) -> str:
    """ ", 12 g light": what is wrong with that weight, if it lies outside the tolerance."""
    target_g, tolerance_g = reach.course.target_g, reach.course.tolerance_g
    if target_g is None or tolerance_g is None or abs(lands.lands.g - target_g) <= tolerance_g:
        return ""
    return f", {light_or_heavy(lands.lands.g - target_g, 1.0, say)}"


def _another_target(
    reaches: Sequence[Reach],
    pieces: Sequence[PieceChange],
    match_g: float | None,
    division_g: float,
    say: Say,
) -> list[Alternative]:
    """The nearest weight that would do as a target: for a matching set, one that all can reach."""
    if match_g is not None and len(reaches) > 1:
        return _another_common(reaches, pieces, match_g, division_g, say)
    return [
        Alternative(
            "another target",
            piece.piece,
            piece.lands.g,
            f"Or let {piece.piece} weigh {say(piece.lands.g, division_g)}, "
            f"{light_or_heavy(piece.lands.g - reach.course.target_g, division_g, say)}.",
        )
        for reach, piece in zip(reaches, pieces, strict=True)
        if reach.course.target_g is not None
        and reach.course.tolerance_g is not None
        and abs(piece.lands.g - reach.course.target_g) > reach.course.tolerance_g
    ]


def _another_common(
    reaches: Sequence[Reach],
    pieces: Sequence[PieceChange],
    match_g: float,
    division_g: float,
    say: Say,
) -> list[Alternative]:
    wish = reaches[0].course.target_g
    low = max(reach.low_g for reach in reaches)
    high = min(reach.high_g for reach in reaches)
    if low > high + match_g:
        lands = [piece.lands.g for piece in pieces]
        apart = max(lands) - min(lands)
        each = " and ".join(f"{p.piece} {say(p.lands.g, 1.0)}" for p in pieces)
        words = f"Or let them differ by {say(apart, division_g)}: {each}."
        return [Alternative("another match", "", apart, words)]
    near = (low + high) / 2.0 if wish is None or low > high else min(max(wish, low), high)
    if wish is not None and abs(near - wish) < division_g:
        return []
    words = f"Or let them all weigh {say(near, division_g)}: every piece can be brought there."
    return [Alternative("another target", "", near, words)]
