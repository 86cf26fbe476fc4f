"""What was found, or why it can't be, as sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchmate.plan.plan import Sought
from benchmate.procedure.sought.aims import Aim
from benchmate.procedure.sought.search import Outcome
from benchmate.procedure.sought.wish import Wish
from benchmate.quantities import Units, show_number
from benchmate.quantities.worded import show_measured

if TYPE_CHECKING:
    from benchmate.procedure.expanding.expand import Expansion

_GOAL_UNIT = {"target": "g", "balance": "mm"}


def said(sought: Sought, units: Units = "metric") -> str:
    """ "Depth of the void: 36.8 mm ± 1.6 mm, wall 6.2 mm; the plan comes to 850 g ± 12 g (wood
    10 g, packing 6 g); with tungsten shot about 24 mm."
    """
    lead = f"{sought.ask}, {sought.piece}" if sought.piece else sought.ask
    value = _number(sought, sought.number, units)
    if sought.u:
        value += f" ± {_number(sought, sought.u, units)}"
    wall = "" if sought.wall_mm is None else f", wall {show_measured(sought.wall_mm, 'mm', units)}"
    other = ""
    if sought.other_number is not None:
        other = f"; with {sought.other} about {_number(sought, sought.other_number, units)}"
    return f"{lead}: {value}{wall}; {_reached(sought, units)}{other}."


def _reached(sought: Sought, units: Units) -> str:
    unit = _GOAL_UNIT[sought.goal]
    lead = "the plan comes to" if sought.goal == "target" else "it balances at"
    text = f"{lead} {show_measured(sought.reached, unit, units)}"
    if not sought.doubts:
        return text
    each = [f"{what} {_rough(g, unit, units)}" for what, g in sought.doubts.items()]
    whole = sum(g * g for g in sought.doubts.values()) ** 0.5
    return f"{text} ± {_rough(whole, unit, units)} ({', '.join(each)})"


def _rough(value: float, unit: str, units: Units) -> str:
    return show_measured(round(value) if value >= 10.0 else round(value, 1), unit, units)


def _number(sought: Sought, number: float | None, units: Units) -> str:
    if number is None:
        return sought.value
    if sought.unit == "mm":
        return show_measured(round(number, 1), "mm", units)
    return f"{show_number(number, 1)} {sought.unit}".rstrip()


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
    how = f"{show_measured(abs(off), aim.unit, 'metric')} {'over' if off > 0 else 'short'}"
    if wish.goal == "balance":
        how = f"{show_measured(abs(off), 'mm', 'metric')} off"
    lead = f"can't be found for the {wish.goal}: with {value} the plan comes to {reached}, {how}"
    if wish.choices:
        return lead, "type a value, or change the goal"
    end = parameter_end(wish, at_top=at_top)
    limit = f"beyond it {outcome.limit}" if outcome.limit else f"the file allows {end}"
    return f"{lead}; {limit}".replace("; ", ", and ", 1), _instead(wish, off)


def parameter_end(wish: Wish, *, at_top: bool) -> str:
    """ "80 mm at most"."""
    if at_top:
        return f"{wish.parameter.at_most} at most"
    return f"{wish.parameter.at_least} at least"


def _instead(wish: Wish, off: float) -> str:
    if wish.goal == "balance":
        return "move the goal, or the parts, or type a value"
    return (
        "take lighter shot, a smaller void or a heavier target"
        if off > 0
        else "take denser shot, a larger void or a lighter target"
    )
