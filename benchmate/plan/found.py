"""What a plan has found by itself, as a sentence."""

from __future__ import annotations

from benchmate.plan.plan import PieceBalance, Sought
from benchmate.quantities import Units, show_number
from benchmate.quantities.worded import show_measured

FIND = "find"
"""What is typed in place of a parameter's value that the plan is to find."""
_GOAL_UNIT = {"target": "g", "balance": "mm"}


_SHOWN_MM = 1.0
"""A balance that is surer than that is told without its doubt."""


def balance_said(balance: PieceBalance, units: Units = "metric") -> str:
    """ "balances 148 mm ± 2 mm from its beginning (wished: 150 mm), 62 g m² about the grip"."""
    at = show_measured(balance.centre_mm, "mm", units)
    doubt = f" ± {show_measured(balance.u_mm, 'mm', units)}" if balance.u_mm >= _SHOWN_MM else ""
    text = f"balances {at}{doubt} from its beginning"
    if balance.wanted_mm is not None:
        off = balance.centre_mm - balance.wanted_mm
        wished = show_measured(balance.wanted_mm, "mm", units)
        on = abs(off) <= (balance.tolerance_mm or 0.0)
        text += f", as wished, {wished}" if on else f"; the wish is {wished}"
    if balance.inertia_grip_g_mm2 is not None:
        # g mm² are a number too long to read: in kg cm² a hammer has one to ten.
        text += f"; it swings with {balance.inertia_grip_g_mm2 / 1e5:.2g} kg cm² about the grip"
    return text


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
