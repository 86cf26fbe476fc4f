"""What else would land a piece when the layers still to come can't."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from benchmate.landing.makeweight import PieceChange
from benchmate.landing.reach import Reach, Slot
from benchmate.landing.words import Say, light_or_heavy


@dataclass(frozen=True, slots=True)
class DenserShot:
    """Another kind of shot on the shelf, and its metal's density."""

    name: str
    g_cm3: float


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another way out. `grams`: of the denser shot, of wood to take off, or the new target."""

    kind: Literal["denser shot", "take wood off", "another target"]
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
    """Every other way to land the pieces, least trouble first.

    `missed` is by how much each piece misses (below zero: too light).
    """
    found: list[Alternative] = []
    for reach, piece, off in zip(reaches, pieces, missed, strict=True):
        if off < 0.0:
            found += _with_denser(reach, piece, -off, denser, division_g, say)
    if match_g is not None and too_far_apart(pieces, match_g):
        found += _level_down(pieces, division_g, say)
    else:
        heavy = [(p.piece, off) for p, off in zip(pieces, missed, strict=True) if off > 0.0]
        found += [_wood(name, off, division_g, say) for name, off in heavy]
    found += _another_target(reaches, pieces, match_g, division_g, say)
    return tuple(found)


def _with_denser(
    reach: Reach,
    piece: PieceChange,
    short_g: float,
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
            found.append(
                _denser_words(slot, piece.piece, shot, wanted_g, leaves_g, division_g, say)
            )
    return found


def _holds(slot: Slot, piece: PieceChange) -> float:
    """Shot in that layer after the best that can be done."""
    changed = [c.new_shot_g for c in piece.changes if c.place == slot.place]
    return changed[0] if changed else slot.shot_g


def _denser_words(
    slot: Slot,
    piece: str,
    shot: DenserShot,
    wanted_g: float,
    leaves_g: float,
    division_g: float,
    say: Say,
) -> Alternative:
    sentence = (
        f"{piece}, {slot.layer.name}: {say(wanted_g, division_g)} of {shot.name} and "
        f"{say(leaves_g, division_g)} of {slot.layer.fill.shot} would land it."
    )
    return Alternative("denser shot", piece, wanted_g, sentence)


def _wood(piece: str, off_g: float, division_g: float, say: Say) -> Alternative:
    sentence = f"Taking {say(off_g, division_g)} of wood off {piece} would land it."
    return Alternative("take wood off", piece, off_g, sentence)


def too_far_apart(pieces: Sequence[PieceChange], match_g: float) -> bool:
    """Whether pieces that must match would land further apart than that."""
    lands = [piece.lands.g for piece in pieces]
    return len(lands) > 1 and max(lands) - min(lands) > match_g


def _level_down(pieces: Sequence[PieceChange], division_g: float, say: Say) -> list[Alternative]:
    """Wood off the heavier pieces, down to the lightest: it can't be brought any higher."""
    lightest = min(piece.lands.g for piece in pieces)
    found = []
    for piece in pieces:
        above = piece.lands.g - lightest
        if above >= division_g:
            words = f"Taking {say(above, division_g)} of wood off {piece.piece} would match them."
            found.append(Alternative("take wood off", piece.piece, above, words))
    return found


def _another_target(
    reaches: Sequence[Reach],
    pieces: Sequence[PieceChange],
    match_g: float | None,
    division_g: float,
    say: Say,
) -> list[Alternative]:
    """The nearest weight that would do as a target: for a matching set, one that all can reach."""
    wish = reaches[0].course.target_g
    if match_g is not None and len(reaches) > 1:
        low = max(reach.low_g for reach in reaches)
        high = min(reach.high_g for reach in reaches)
        if low > high + match_g:
            return []
        near = (low + high) / 2.0 if wish is None or low > high else min(max(wish, low), high)
        if wish is not None and abs(near - wish) < division_g:
            return []
        words = f"Or let them all weigh {say(near, division_g)}: every piece can be brought there."
        return [Alternative("another target", "", near, words)]
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
