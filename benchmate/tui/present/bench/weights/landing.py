"""Where the piece in hand is heading, the adjustment on offer, and the last chance to change it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeGuard

from benchmate.landing.words import say_in, step_for
from benchmate.quantities import Units, show_mass
from benchmate.tui.present.lines import Line, Role, Span, line

if TYPE_CHECKING:
    from benchmate.landing.adjusting.adjustment import LayerChange, PieceChange
    from benchmate.landing.adjusting.matching import Adjustment, NotReachable
    from benchmate.landing.outlook import LastChance
    from benchmate.landing.will_weigh import WillWeigh

    Offer = Adjustment | NotReachable


def falls_short(offer: Offer) -> TypeGuard[NotReachable]:
    """Whether it says only how near one comes."""
    return hasattr(offer, "short_g")


def mass_pm(mass_g: float, half_g: float, units: Units, step_g: float | None = None) -> str:
    """ "838 ± 6 g": no more digits than the doubt carries."""
    say = say_in(units)
    step = step_g or (1.0 if half_g >= 3 else 0.1)
    bare = say(mass_g, step).rpartition(" ")[0]
    return f"{bare} ± {say(half_g, step)}"


def will_weigh_line(
    found: WillWeigh,
    target_g: float | None,
    tolerance_g: float | None,
    units: Units,
    whose: str = "",
) -> Line:
    """ "will weigh 838 ± 6 g (want 850 g): 12 g light"; `whose` names the piece where the row above
    it may be another's."""
    text = mass_pm(found.mass_g, found.expanded_g, units)
    name = [Span(f"{whose}  ")] if whose else []
    spans = [Span("will weigh  ", "dim"), *name, Span(text, "strong")]
    if target_g is None:
        return line(*spans)
    word, role = lands(found, target_g, tolerance_g or 0.0, units)
    return line(*spans, f" (want {show_mass(target_g, units)}): ", Span(word, role))


EARLY = 3.0
"""A doubt of more than so many tolerances says nothing yet."""


def lands(found: WillWeigh, target_g: float, tolerance_g: float, units: Units) -> tuple[str, Role]:
    """Whether the interval lies inside the tolerance, reaches over it, or misses it."""
    off = found.mass_g - target_g
    step = step_for(found.u_g)
    side = f"{say_in(units)(abs(off), step)} {'heavy' if off > 0 else 'light'}"
    if abs(off) > tolerance_g:
        return side, "spoil"
    if found.low_g < target_g - tolerance_g or found.high_g > target_g + tolerance_g:
        early = found.expanded_g > EARLY * tolerance_g
        return ("too early to say" if early else "close call"), "caution"
    return "on target", "good"


def offer_lines(offer: Offer, units: Units) -> list[Line]:
    """The offer in one line, the fullest wording first: "adjustment  to match bookend A, heading
    for 850 g: bookend B layer 4 +7 g shot, −1 g resin → 850 ± 4 g"."""
    changed = [p for p in offer.pieces if p.changes]
    if not falls_short(offer):
        word = Span("adjustment  ", "dim")
        said = _wordings(changed, units)
        why = [f"{offer.reason}: {w}" for w in said] if offer.reason else []
        return [line(word, w) for w in (*why[:2], *said[:1], *why[2:], *said[1:])]
    off = max(offer.short_g, key=abs)
    plain = f"{show_mass(abs(off), units)} {'heavy' if off > 0 else 'light'} at best"
    near = offer.reason or plain
    rest = [f"{near}; {w}" for w in _wordings(changed, units)] if changed else []
    return [line(Span("out of reach  ", "spoil"), w) for w in (*rest, near)]


def _wordings(changed: Sequence[PieceChange], units: Units) -> list[str]:
    """With everything, without the resin (which follows from the shot), and the moves alone."""
    full = "; ".join(_piece(p, units, resin=True) for p in changed)
    shot = "; ".join(_piece(p, units, resin=False) for p in changed)
    moves = "; ".join(f"{p.piece} {_moves(p, units, resin=False)}" for p in changed)
    return [full, shot, moves]


def _piece(piece: PieceChange, units: Units, *, resin: bool) -> str:
    """ "bookend B layer 4 +7 g shot, −1 g resin → 850 ± 4 g"."""
    lands_on = mass_pm(piece.lands.g, 1.96 * piece.lands.u_g, units)
    return f"{piece.piece} {_moves(piece, units, resin=resin)} → {lands_on}"


def _moves(piece: PieceChange, units: Units, *, resin: bool) -> str:
    return ", ".join(_change(c, units, resin=resin) for c in piece.changes)


def _change(change: LayerChange, units: Units, *, resin: bool) -> str:
    shot, more = change.new_shot_g - change.old_shot_g, change.new_resin_g - change.old_resin_g
    if abs(shot) < 0.05:
        return f"{change.name} weighed out: {show_mass(change.new_shot_g, units)} shot"
    out = f"{change.name} {signed(shot, units)} shot"
    return out + (f", {signed(more, units)} resin" if resin and abs(more) >= 0.05 else "")


def signed(mass_g: float, units: Units) -> str:
    """ "+7 g", "−0.4 g": to the tenth of a gram, which an adjustment is worth."""
    text = show_mass(round(mass_g, 1) or 0.0, units, sign=True)
    return text.replace("-", "−")


def offer_body(offer: Offer) -> list[str]:
    """The offer's reason in full, and what else would do where it can't be reached."""
    out = [offer.sentence]
    if falls_short(offer):
        out += [a.sentence for a in offer.alternatives]
    return out


def last_chance_line(chances: Sequence[LastChance], piece: str) -> Line:
    """The sentence for a piece, by its address; empty where its next step isn't the last chance."""
    found = next((c for c in chances if c.address == piece), None)
    return line(Span(found.sentence, "caution")) if found else ()
