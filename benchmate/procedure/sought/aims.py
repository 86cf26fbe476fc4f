"""The goals that something may be found for, and how near a plan comes to each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

from benchmate.plan.plan import PiecePlan
from benchmate.procedure.sought.balance import Balanced, balance_of
from benchmate.procedure.sought.goals import weight_of

if TYPE_CHECKING:
    from benchmate.procedure.expanding.expand import Expansion

LEAST_G, LEAST_MM = 2.0, 2.0
"""How near is near enough, where the file gives no tolerance."""


@dataclass(frozen=True)
class Aim:
    """A goal: what is measured of a piece, what it should be, how surely it is known."""

    unit: str
    missing: str
    """What to write where the file doesn't say what is wanted."""
    measure: Callable[[Expansion, str], float]
    """What the plan comes to."""
    wanted: Callable[[Expansion, str], float | None]
    """What it should come to; None where the file doesn't say, or where it can't be measured."""
    tolerance: Callable[[Expansion, str], float]
    """How far it may be off."""
    doubts: Callable[[Expansion, str], dict[str, float]]
    """What makes it doubtful, each as a standard uncertainty."""

    def u(self, made: Expansion, piece: str) -> float:
        """All doubts together."""
        return hypot(*self.doubts(made, piece).values())


def aim_of(goal: str) -> Aim:
    """The goal of that name: the finished weight in g, or where it balances, mm from its
    beginning."""
    if goal != "balance":
        return Aim(
            "g",
            'write target = "850 g ± 8 g"',
            lambda made, piece: weight_of(made.plan, piece).value_g,
            lambda made, piece: _piece(made, piece).target_g,
            lambda made, piece: max(_piece(made, piece).tolerance_g or 0.0, LEAST_G),
            lambda made, piece: weight_of(made.plan, piece).doubts_g,
        )
    return Aim(
        "mm",
        'write balance = "180 mm ± 5 mm", and where each part starts',
        lambda made, piece: _balanced(made, piece).centre_mm,
        _wanted_mm,
        _tolerance_mm,
        lambda made, piece: _balanced(made, piece).doubts_mm,
    )


def _piece(made: Expansion, name: str) -> PiecePlan:
    return next(p for p in made.plan.pieces if p.name == name)


def _wanted_mm(made: Expansion, piece: str) -> float | None:
    balance = made.sheets[piece].head.balance
    return balance.value if balance is not None and balance_of(made, piece) is not None else None


def _tolerance_mm(made: Expansion, piece: str) -> float:
    balance = made.sheets[piece].head.balance
    return max((balance.tolerance if balance else None) or 0.0, LEAST_MM)


def _balanced(made: Expansion, piece: str) -> Balanced:
    found = balance_of(made, piece)
    assert found is not None, "a plan without places was measured for its balance"
    return found
