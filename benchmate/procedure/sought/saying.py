"""Why a value can't be found, as a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchmate.procedure.sought.aims import Aim
from benchmate.procedure.sought.other_shot import number_with_other_shot
from benchmate.procedure.sought.search import Outcome
from benchmate.procedure.sought.wish import Wish
from benchmate.quantities.worded import show_measured

if TYPE_CHECKING:
    from benchmate.procedure.expanding.expand import Expansion


def beyond(
    wish: Wish, aim: Aim, outcome: Outcome[Expansion], piece: str, wanted: float
) -> tuple[str, str]:
    """What is wrong where the goal can't be reached, and what to do instead."""
    best, at_top = outcome.best, outcome.at_top
    if best.made is None:
        return f"can't be found: {outcome.limit}", "put that right, or type a value"
    value = wish.value(best.step)
    off = aim.measure(best.made, piece) - wanted
    reached = show_measured(aim.measure(best.made, piece), aim.unit, "metric")
    how = f"the plan comes to {reached}, {show_measured(abs(off), 'g', 'metric')} "
    how += "over" if off > 0 else "short"
    if wish.goal == "balance":
        how = f"it balances at {reached}, {show_measured(abs(off), 'mm', 'metric')} off"
    lead = f"can't be found for the {wish.goal}: with {value} {how}"
    if wish.choices:
        return lead, "type a value, or change the goal"
    end = parameter_end(wish, at_top=at_top)
    limit = f"beyond it {outcome.limit}" if outcome.limit else f"the file allows {end}"
    return f"{lead}, and {limit}", _other(wish, aim, outcome, piece, wanted) + _instead(wish, off)


def parameter_end(wish: Wish, *, at_top: bool) -> str:
    """ "80 mm at most"."""
    if at_top:
        return f"{wish.parameter.at_most} at most"
    return f"{wish.parameter.at_least} at least"


def _other(wish: Wish, aim: Aim, outcome: Outcome[Expansion], piece: str, wanted: float) -> str:
    """ "with tungsten shot about 52 mm; or ", where another shot would reach the target."""
    best, beside = outcome.best, outcome.beside
    if wish.goal != "target" or wish.unit != "mm" or beside is None or beside.made is None:
        return ""
    assert best.made is not None
    (one, made), (two, other) = ((wish.number(t.step), t.made) for t in (best, beside))
    if made is None or other is None:
        return ""
    rise = aim.measure(made, piece) - aim.measure(other, piece)
    at = one + (wanted - aim.measure(made, piece)) * (one - two) / rise if rise else one
    found = number_with_other_shot([(one, made), (two, other)], piece, at)
    low, high = (wish.number(step) for step in (wish.limits[0], best.step))
    if found is None or not low <= found[1] <= high:
        return ""
    return f"take {found[0]}, and about {show_measured(found[1], wish.unit, 'metric')}; or "


def _instead(wish: Wish, off: float) -> str:
    if wish.goal == "balance":
        return "move the goal, or the parts, or type a value"
    return (
        "take lighter shot, a smaller void or a heavier target"
        if off > 0
        else "take denser shot, a larger void or a lighter target"
    )
