"""Adjustments for one piece or a set: where they should land, what to change, or why it can't be.

What can't be reached is said, with how near one comes and what else would do it; nothing is
clipped in silence.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median_high, median_low

from benchmate.landing.adjusting.adjustment import PieceChange, bend, unchanged, worth_it
from benchmate.landing.adjusting.alternatives import Alternative, DenserShot, alternatives
from benchmate.landing.adjusting.reach import Reach, reach_of
from benchmate.landing.adjusting.reason import asked_for, reason
from benchmate.landing.adjusting.saying import adjustment_sentence, brief, not_reachable_sentence
from benchmate.landing.course import PieceCourse
from benchmate.landing.follow import follow_all
from benchmate.landing.words import Say, capital, grams, light_or_heavy, step_for
from benchmate.reckon.weight.conformity import probability_inside

ASTRAY_SHARE = 0.2
"""A piece that is farther than this share of its target off is asked about, and nothing is offered
to match it (common practice, no source): a fifth of a piece is a cup left out or a slip."""
CLEAR_FIRST = "Correct it, or scrap the piece; nothing is changed to match it until then."
COVERAGE = 1.96
"""Times the standard uncertainty: the ± that is shown, 95 %."""
SURE_ENOUGH = 0.95
"""A piece that lies inside its tolerance with this probability as it is needs no change that is
smaller than its doubt."""
MATCHED_SHARE = 0.5
"""Pieces that are no farther apart than this share of what they may be need none either."""
_ALMOST_SURE = 2.6
"""A common weight is moved off the target, to spare corrections, only as far as leaves each piece
inside its tolerance with 99 %: the normal quantile of 0.995 is 2.58."""


@dataclass(frozen=True, slots=True)
class Adjustment:
    """Changes that land the pieces. `aim_g` is None where pieces have aims of their own.

    `reason` is what they are measured against ("to match bookend B, heading for 1684 g"); the
    sentence begins with it.
    """

    pieces: tuple[PieceChange, ...]
    aim_g: float | None
    sentence: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class NotReachable:
    """The pieces can't all be landed by the layers still to come.

    `pieces` is the best that can be done; `short_g` is by how much each then misses (below zero:
    too light), in the same order. `reason` says it in half a line.
    """

    pieces: tuple[PieceChange, ...]
    aim_g: float | None
    short_g: tuple[float, ...]
    sentence: str
    alternatives: tuple[Alternative, ...]
    reason: str = ""


def adjustment(
    courses: Sequence[PieceCourse],
    division_g: float,
    match_g: float | None = None,
    denser: Sequence[DenserShot] = (),
    say: Say = grams,
) -> Adjustment | NotReachable | None:
    """The adjustment to offer for a set of pieces now; None when none is worth offering.

    `match_g`: how closely the pieces must match; None lets each go for its own target.
    `division_g` is the step of the scale the amounts are weighed on. `denser` are other kinds of
    shot on the shelf, which are proposed only where nothing else will do.
    """
    reaches = [reach_of(known) for known in follow_all(courses)]
    astray = [reach for reach in reaches if _is_astray(reach)]
    if astray:
        return _asked(reaches, astray, say)
    aims = _aims(reaches, match_g)
    if all(_in_doubt(reach, aim) for reach, aim in zip(reaches, aims, strict=True)) and (
        match_g is None or _spread(reaches) <= MATCHED_SHARE * match_g
    ):
        return None
    pieces = tuple(
        bend(reach, aim, division_g)
        if aim is not None and worth_it(reach, aim - reach.will_weigh.g, division_g)
        else unchanged(reach)
        for reach, aim in zip(reaches, aims, strict=True)
    )
    missed = _missed(reaches, pieces, aims, match_g)
    aim = aims[0] if match_g is not None else None
    if any(missed):
        others = alternatives(reaches, pieces, missed, match_g, denser, division_g, say)
        words = not_reachable_sentence(reaches, pieces, missed, match_g, division_g, say)
        near = brief(pieces, missed, match_g, say)
        return NotReachable(pieces, aim, missed, words, others, near)
    if not any(piece.changes for piece in pieces):
        return None
    why = reason(reaches, pieces, aim, division_g, say)
    return Adjustment(pieces, aim, adjustment_sentence(why, pieces, division_g, say), why)


def within_doubt(
    courses: Sequence[PieceCourse], division_g: float, match_g: float | None, say: Say = grams
) -> str:
    """Where nothing is offered: which piece is off, but by less than its doubt; empty for none."""
    reaches = [reach_of(known) for known in follow_all(courses)]
    said = []
    for reach, aim in zip(reaches, _aims(reaches, match_g), strict=True):
        off = 0.0 if aim is None else reach.will_weigh.g - aim
        if reach.slots and abs(off) >= division_g and _in_doubt(reach, aim):
            u_g = reach.will_weigh.u_g
            step = step_for(u_g)
            known = f"known to ± {say(COVERAGE * u_g, step)}"
            said.append(f"{reach.course.piece} {light_or_heavy(off, step, say)}, {known}")
    return f"Within the doubt: {'; '.join(said)}. Nothing to correct." if said else ""


def _in_doubt(reach: Reach, aim_g: float | None) -> bool:
    """Whether a piece is off by less than its doubt, and almost sure inside its tolerance as it
    is: to change an amount then would be guessing."""
    found, course = reach.will_weigh, reach.course
    if reach.slots and aim_g is not None and abs(aim_g - found.g) > COVERAGE * found.u_g:
        return False
    if course.target_g is None or course.tolerance_g is None:
        return True
    off, allowed = found.g - course.target_g, course.tolerance_g
    if not reach.slots:
        return abs(off) <= allowed
    return probability_inside(off, found.u_g, -allowed, allowed) >= SURE_ENOUGH


def _spread(reaches: Sequence[Reach]) -> float:
    masses = [reach.will_weigh.g for reach in reaches]
    return max(masses) - min(masses)


def _is_astray(reach: Reach) -> bool:
    """Whether a piece is so far off its own target that a weight is rather wrong than the work."""
    target_g, tolerance_g = reach.course.target_g, reach.course.tolerance_g or 0.0
    if target_g is None:
        return False
    return abs(reach.will_weigh.g - target_g) > max(ASTRAY_SHARE * target_g, 5.0 * tolerance_g)


def _asked(reaches: Sequence[Reach], astray: Sequence[Reach], say: Say) -> NotReachable:
    """A question instead of an offer: no twin is bent after a weight that can't be right."""
    missed = tuple(
        reach.will_weigh.g - (reach.course.target_g or reach.will_weigh.g)
        if reach in astray
        else 0.0
        for reach in reaches
    )
    words = " ".join(
        f"{capital(reach.course.piece)} would weigh {say(reach.will_weigh.g, 1.0)}, where "
        f"{asked_for(reach, say)} was asked for. Is one of its weights wrong?"
        for reach in astray
    )
    still = tuple(unchanged(reach) for reach in reaches)
    return NotReachable(still, None, missed, f"{words} {CLEAR_FIRST}", (), "a weight to look at")


def common_weight(reaches: Sequence[Reach]) -> float:
    """The weight that all pieces of a matching set should land on.

    Among the weights that all can reach, the one with the smallest sum of corrections, as long as
    it leaves every piece almost surely inside its tolerance. Where no weight can be reached by
    all, the middle of the gap: each then comes as near as it can.
    """
    masses = [reach.will_weigh.g for reach in reaches]
    wish = reaches[0].course.target_g
    middle = (median_low(masses), median_high(masses))
    if wish is None:
        aim = sum(middle) / 2.0
    else:
        spare = max(0.0, (_tolerance(reaches[0]) or 0.0) - _ALMOST_SURE * _land_doubt(reaches))
        least_work = _between(wish, *middle)
        aim = _between(least_work, wish - spare, wish + spare)
    low = max(reach.low_g for reach in reaches)
    high = min(reach.high_g for reach in reaches)
    return _between(aim, low, high) if low <= high else (low + high) / 2.0


def _aims(reaches: Sequence[Reach], match_g: float | None) -> list[float | None]:
    if match_g is None or len(reaches) < 2:
        return [reach.course.target_g for reach in reaches]
    return [common_weight(reaches)] * len(reaches)


def _land_doubt(reaches: Sequence[Reach]) -> float:
    return max(reach.land_u_g for reach in reaches)


def _tolerance(reach: Reach) -> float | None:
    return reach.course.tolerance_g


def _between(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


def _missed(
    reaches: Sequence[Reach],
    pieces: Sequence[PieceChange],
    aims: Sequence[float | None],
    match_g: float | None,
) -> tuple[float, ...]:
    """By how much each piece misses what is asked of it at best; nothing within its tolerance.

    A piece that changes now is taken at the weight it is said to land on, which reckons with shot
    that may not go in; one that can wait, at the weight it could be brought to.
    """
    best = [
        piece.lands.g if piece.changes else reach.nearest(aim)
        for reach, piece, aim in zip(reaches, pieces, aims, strict=True)
    ]
    missed = []
    for reach, g in zip(reaches, best, strict=True):
        off = 0.0 if reach.course.target_g is None else g - reach.course.target_g
        allowed = reach.course.tolerance_g
        missed.append(0.0 if allowed is None or abs(off) <= allowed else off)
    if match_g is not None and len(best) > 1 and max(best) - min(best) > match_g:
        aim = aims[0] or 0.0
        return tuple(off or g - aim for off, g in zip(missed, best, strict=True))
    return tuple(missed)
