"""Adjustments in sentences, as they stand beside the next act."""

from collections.abc import Sequence

from benchmate.landing.adjusting.adjustment import LayerChange, PieceChange
from benchmate.landing.adjusting.alternatives import too_far_apart
from benchmate.landing.adjusting.reach import Reach
from benchmate.landing.adjusting.reason import SAME_G, asked_for, called, why_no_nearer
from benchmate.landing.words import Say, capital, light_or_heavy, plainly, step_for


def adjustment_sentence(
    why: str, pieces: Sequence[PieceChange], division_g: float, say: Say
) -> str:
    """What it is measured against, what to change and where that lands each piece."""
    if len(pieces) == 1:
        return f"{capital(why)}: {_layers(pieces[0], division_g, say)} {_landing(pieces[0], say)}."
    return f"{capital(why)}: {_changes(pieces, division_g, say)}"


def not_reachable_sentence(
    reaches: Sequence[Reach],
    pieces: Sequence[PieceChange],
    missed: Sequence[float],
    match_g: float | None,
    division_g: float,
    say: Say,
) -> str:
    """What was asked for, how near one comes and why no nearer, and what to change for that."""
    if match_g is not None and too_far_apart(pieces, match_g):
        near = [_apart(reaches, pieces, match_g, division_g, say)]
    elif match_g is not None and len(reaches) > 1 and all(missed):
        near = [_together(reaches, pieces, missed, say)]
    else:
        near = [
            _alone(reach, piece, off, division_g, say)
            for reach, piece, off in zip(reaches, pieces, missed, strict=True)
            if off
        ]
    changes = _changes(pieces, division_g, say)
    return " ".join([*near, *([f"For that: {changes}"] if changes else [])])


def brief(
    pieces: Sequence[PieceChange], missed: Sequence[float], match_g: float | None, say: Say
) -> str:
    """How near one comes, in half a line: "14 g apart at best, 5 g allowed"."""
    if match_g is not None and too_far_apart(pieces, match_g):
        return f"{say(_spread(pieces), 1.0)} apart at best, {plainly(match_g, say)} allowed"
    off = max(missed, key=abs)
    both = "both " if len(pieces) == 2 and match_g is not None and all(missed) else ""
    return f"{both}{light_or_heavy(off, 1.0, say)} at best"


def _spread(pieces: Sequence[PieceChange]) -> float:
    lands = [piece.lands.g for piece in pieces]
    return max(lands) - min(lands)


def _apart(
    reaches: Sequence[Reach],
    pieces: Sequence[PieceChange],
    match_g: float,
    division_g: float,
    say: Say,
) -> str:
    brought = " and ".join(
        f"{p.piece} {'can be brought to' if r.slots else 'is full and stays at'} {_lands(p, say)}"
        for r, p in zip(reaches, pieces, strict=True)
    )
    words = (
        f"{capital(called(reaches))} can't match: {brought}. They would be "
        f"{say(_spread(pieces), division_g)} apart, where {plainly(match_g, say)} is allowed."
    )
    asked = asked_for(reaches[0], say)
    return f"{words} Each was to weigh {asked}." if asked else words


def _together(
    reaches: Sequence[Reach], pieces: Sequence[PieceChange], missed: Sequence[float], say: Say
) -> str:
    worst = max(range(len(missed)), key=lambda n: abs(missed[n]))
    meets = sum(p.lands.g for p in pieces) / len(pieces)
    off = light_or_heavy(missed[worst], step_for(pieces[worst].lands.u_g), say)
    return (
        f"{capital(called(reaches))} can match at {say(meets, 1.0)}, {off} where "
        f"{asked_for(reaches[worst], say)} was asked for: of {pieces[worst].piece}, "
        f"{why_no_nearer(reaches[worst], missed[worst], say)}."
    )


def _alone(reach: Reach, piece: PieceChange, off: float, division_g: float, say: Say) -> str:
    return (
        f"{capital(piece.piece)} can be brought to {_lands(piece, say)}, "
        f"{light_or_heavy(off, division_g, say)} where {asked_for(reach, say)} was asked for: "
        f"{why_no_nearer(reach, off, say)}."
    )


def _changes(pieces: Sequence[PieceChange], division_g: float, say: Say) -> str:
    """The pieces that change, the smallest correction first."""
    changed = [piece for piece in pieces if piece.changes]
    changed.sort(key=lambda p: abs(p.lands.g - p.would_weigh_g))
    first, *rest = (_piece(piece, division_g, say) for piece in changed) if changed else ("",)
    return " ".join([first, *(capital(words) for words in rest)])


def _piece(piece: PieceChange, division_g: float, say: Say) -> str:
    instead = ""
    if abs(piece.lands.g - piece.would_weigh_g) >= SAME_G:
        instead = f", not {say(piece.would_weigh_g, step_for(piece.lands.u_g))}"
    landing = f"{_landing(piece, say)}{instead}."
    return f"{piece.piece}, {_layers(piece, division_g, say)} {landing}"


def _layers(piece: PieceChange, division_g: float, say: Say) -> str:
    return "; ".join(_layer(change, division_g, say) for change in piece.changes) + "."


def _landing(piece: PieceChange, say: Say) -> str:
    return f"It should then weigh {_lands(piece, say)}"


def _layer(change: LayerChange, division_g: float, say: Say) -> str:
    shot = _amount("shot", change.old_shot_g, change.new_shot_g, division_g, say)
    resin = _amount("resin", change.old_resin_g, change.new_resin_g, division_g, say)
    tap = ", tapped down" if change.tapped else ""
    return f"{change.name}, weigh out {shot}{tap}, then {resin}"


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
