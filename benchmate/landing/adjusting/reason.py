"""What an adjustment is measured against, and why: a target, a twin's heading, a common weight."""

from collections.abc import Iterable, Sequence

from benchmate.landing.adjusting.adjustment import PieceChange
from benchmate.landing.adjusting.reach import Reach
from benchmate.landing.words import Say, light_or_heavy, plainly, step_for

SAME_G = 0.5
"""Two weights that near each other are said as one."""


def reason(
    reaches: Sequence[Reach],
    pieces: Sequence[PieceChange],
    aim_g: float | None,
    division_g: float,
    say: Say,
) -> str:
    """ "to match bookend B, heading for 1684 g" or "to bring bookend A from 838 g to its 850 g".

    For a set, whose common weight is `aim_g`, the pieces that can't or needn't change are what the
    others are measured against; where all change, it says at what weight they can meet and why.
    """
    if aim_g is None or len(reaches) < 2:
        changed = [r for r, p in zip(reaches, pieces, strict=True) if p.changes]
        return "; ".join(_own(reach, division_g, say) for reach in changed)
    still = [r for r, p in zip(reaches, pieces, strict=True) if not p.changes]
    if still:
        return f"to match {_listed(_standing(reach, say) for reach in still)}"
    target_g = reaches[0].course.target_g
    if target_g is not None and abs(aim_g - target_g) < max(SAME_G, division_g):
        return f"to bring {called(reaches)} to the planned {plainly(target_g, say)}"
    return f"{called(reaches)} can match at {say(aim_g, 1.0)}, {_why_there(reaches, aim_g, say)}"


def called(reaches: Sequence[Reach]) -> str:
    """ "the pair", or "the set" of more."""
    return "the pair" if len(reaches) == 2 else "the set"


def asked_for(reach: Reach, say: Say) -> str:
    """ "850 g ± 8 g": what a piece is to weigh, empty where nothing says so."""
    target_g, tolerance_g = reach.course.target_g, reach.course.tolerance_g
    if target_g is None:
        return ""
    text = plainly(target_g, say)
    return text if tolerance_g is None else f"{text} ± {plainly(tolerance_g, say)}"


def why_no_nearer(reach: Reach, off_g: float, say: Say) -> str:
    """What stands in the way of a piece that ends `off_g` from its weight (below zero: light)."""
    if not reach.slots:
        return "nothing is left to pour"
    if off_g > 0.0:
        return "even with no more shot it comes out heavier"
    rooms = [f"{say(slot.most_g, 1.0)} in {slot.layer.name}" for slot in reach.slots[-2:]]
    room = " and ".join(rooms).replace(" in ", " of shot in ", 1)
    return f"even tapped down it holds only about {room}, and perhaps not all of that"


def _own(reach: Reach, division_g: float, say: Say) -> str:
    """The reason where a piece is measured against its own target alone."""
    course, found = reach.course, reach.will_weigh
    step = step_for(found.u_g)
    target_g = found.g if course.target_g is None else course.target_g
    if abs(target_g - found.g) < max(SAME_G, division_g):
        return (
            f"to hold {course.piece} at the {plainly(target_g, say)} it is heading for, which a "
            "layer poured to its line could lose again"
        )
    from_g, to_g = say(found.g, step), plainly(target_g, say)
    return f"to bring {course.piece} from the {from_g} it is heading for to its {to_g}"


def _standing(reach: Reach, say: Say) -> str:
    """ "bookend B, heading for 1684 g"."""
    weight = say(reach.will_weigh.g, step_for(reach.will_weigh.u_g))
    full = "" if reach.slots else "already full, "
    return f"{reach.course.piece}, {full}heading for {weight}"


def _why_there(reaches: Sequence[Reach], aim_g: float, say: Say) -> str:
    """Why the common weight isn't the target."""
    target_g = reaches[0].course.target_g
    if target_g is None:
        return "between what they are heading for"
    off = light_or_heavy(aim_g - target_g, 1.0, say)
    lowest = min(reaches, key=lambda r: r.high_g)
    highest = max(reaches, key=lambda r: r.low_g)
    if aim_g < target_g and aim_g >= lowest.high_g - SAME_G:
        return f"{off}: the most that {lowest.course.piece} can be brought to"
    if aim_g > target_g and aim_g <= highest.low_g + SAME_G:
        return f"{off}: the least that {highest.course.piece} can be brought to"
    return f"the smallest correction that keeps each well inside {asked_for(reaches[0], say)}"


def _listed(names: Iterable[str]) -> str:
    *first, last = names
    return f"{'; '.join(first)}; and {last}" if first else last
