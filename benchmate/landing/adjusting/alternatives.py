"""What else would land a piece when the layers still to come can't."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from benchmate.landing.adjusting.adjustment import PieceChange
from benchmate.landing.adjusting.reach import Reach
from benchmate.landing.words import Say, capital, light_or_heavy, plainly


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
    if apart:
        top = _heaviest(pieces)
        ups = [
            _Up(top.lands.g - piece.lands.g, _holds(reach, piece), f"match {top.piece}")
            for reach, piece in zip(reaches, pieces, strict=True)
        ]
        ups = [up if up.short_g > (match_g or 0.0) else _NO for up in ups]
    elif match_g is not None and len(reaches) > 1:
        ups = [_to_its_target(reach, off, say) for reach, off in zip(reaches, missed, strict=True)]
    else:
        ups = [
            _Up(-off, _holds(reach, piece), "land it")
            for reach, piece, off in zip(reaches, pieces, missed, strict=True)
        ]
    dense = [
        found
        for reach, up in zip(reaches, ups, strict=True)
        for found in _with_denser(reach, up, denser, division_g, say)
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


@dataclass(frozen=True, slots=True)
class _Up:
    """By how much a piece is to be heavier, what its last layer then holds of the usual shot, and
    what that would do."""

    short_g: float
    held_g: float
    does: str


_NO = _Up(0.0, 0.0, "")


def _to_its_target(reach: Reach, off: float, say: Say) -> _Up:
    """From the most the piece itself can be brought to, whatever its twin can't reach."""
    target_g = reach.course.target_g
    if off >= 0.0 or target_g is None or not reach.slots:
        return _NO
    best_g = reach.nearest(target_g)
    slot = reach.slots[-1]
    share_g = (best_g - reach.will_weigh.g) / len(reach.slots) / slot.lands_per_g
    held_g = min(slot.most_g, slot.shot_g + share_g)
    return _Up(target_g - best_g, held_g, f"bring it to {plainly(target_g, say)}")


def _with_denser(
    reach: Reach, up: _Up, denser: Sequence[DenserShot], division_g: float, say: Say
) -> list[Alternative]:
    """Denser shot in the last layer, grain for grain in the place of the other.

    The same packing holds the same volume of metal; so x g of denser shot take the place of
    x ρ/ρ_denser of the old, and the piece gains the difference.
    """
    if not reach.slots or up.short_g <= 0.0:
        return []
    slot, piece = reach.slots[-1], reach.course.piece
    found = []
    for shot in denser:
        lighter = slot.layer.fill.shot_g_cm3 / shot.g_cm3
        if lighter >= 1.0:
            continue
        wanted_g = up.short_g / (1.0 - lighter)
        leaves_g = up.held_g - wanted_g * lighter
        if leaves_g >= 0.0:
            words = (
                f"{capital(piece)}, {slot.layer.name}: {say(wanted_g, division_g)} of "
                f"{shot.name} and {say(leaves_g, division_g)} of {slot.layer.fill.shot} would "
                f"{up.does}."
            )
            found.append(Alternative("denser shot", piece, wanted_g, words))
    return found


def _holds(reach: Reach, piece: PieceChange) -> float:
    """Shot in the last layer after the best that can be done."""
    if not reach.slots:
        return 0.0
    slot = reach.slots[-1]
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
