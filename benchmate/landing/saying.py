"""Makeweights in sentences, as they stand beside the next act."""

from collections.abc import Sequence

from benchmate.landing.makeweight import LayerChange, PieceChange
from benchmate.landing.otherwise import too_far_apart
from benchmate.landing.words import Say, light_or_heavy, step_for


def makeweight_sentence(pieces: Sequence[PieceChange], division_g: float, say: Say) -> str:
    """What to change and where that lands each piece."""
    return " ".join(_piece(piece, division_g, say) for piece in pieces if piece.changes)


def not_reachable_sentence(
    pieces: Sequence[PieceChange],
    missed: Sequence[float],
    match_g: float | None,
    division_g: float,
    say: Say,
) -> str:
    """How near one comes, and what to change for that."""
    near = [
        f"{piece.piece} can be brought to {_lands(piece, say)}, "
        f"{light_or_heavy(off, division_g, say)}."
        for piece, off in zip(pieces, missed, strict=True)
        if off
    ]
    if match_g is not None and too_far_apart(pieces, match_g):
        lands = [piece.lands.g for piece in pieces]
        apart = say(max(lands) - min(lands), division_g)
        near.append(f"They would be {apart} apart, where {say(match_g, division_g)} is allowed.")
    changes = [_piece(piece, division_g, say) for piece in pieces if piece.changes]
    return " ".join([*near, *changes])


def _piece(piece: PieceChange, division_g: float, say: Say) -> str:
    amounts = "; ".join(_layer(change, division_g, say) for change in piece.changes)
    return f"{piece.piece}, {amounts}. It then lands on {_lands(piece, say)}."


def _layer(change: LayerChange, division_g: float, say: Say) -> str:
    shot = _amount("shot", change.old_shot_g, change.new_shot_g, division_g, say)
    resin = _amount("resin", change.old_resin_g, change.new_resin_g, division_g, say)
    tap = ", tapped down" if change.tapped else ""
    return f"{change.name}: weigh out {shot}{tap}, then {resin}"


def _amount(what: str, old_g: float, new_g: float, division_g: float, say: Say) -> str:
    """The new amount, and how it differs from what the old one shows as."""
    change = new_g - round(old_g / division_g) * division_g
    if abs(change) < division_g / 2.0:
        return f"{say(new_g, division_g)} of {what}"
    more = "more" if change > 0.0 else "less"
    return f"{say(new_g, division_g)} of {what} ({say(abs(change), division_g)} {more})"


def _lands(piece: PieceChange, say: Say) -> str:
    step = step_for(piece.lands.u_g)
    return f"{say(piece.lands.g, step)} ± {say(1.96 * piece.lands.u_g, step)}"
