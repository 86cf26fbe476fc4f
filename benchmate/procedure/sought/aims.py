"""The goals that something may be found for, and how near a plan comes to each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from benchmate.procedure.sought.balance import Balanced, balance_of
from benchmate.procedure.sought.goals import weight_of

if TYPE_CHECKING:
    from benchmate.procedure.expanding.expand import Expansion

LEAST_G, LEAST_MM = 2.0, 2.0
"""How near is near enough, where the file gives no tolerance."""


class Aim(Protocol):
    """A goal: what is measured of a piece, what it should be, how surely it is known."""

    unit: str
    missing: str
    """What to write where the file doesn't say what is wanted."""

    def measure(self, made: Expansion, piece: str) -> float:
        """What the plan comes to."""

    def wanted(self, made: Expansion, piece: str) -> float | None:
        """What it should come to."""

    def tolerance(self, made: Expansion, piece: str) -> float:
        """How far it may be off."""

    def doubts(self, made: Expansion, piece: str) -> dict[str, float]:
        """What makes it doubtful, each as a standard uncertainty."""

    def u(self, made: Expansion, piece: str) -> float:
        """All doubts together."""


class Target:
    """The finished weight, g."""

    unit = "g"
    missing = 'write target = "850 g ± 8 g"'

    def measure(self, made: Expansion, piece: str) -> float:
        """What the piece will weigh."""
        return weight_of(made.plan, piece).value_g

    def wanted(self, made: Expansion, piece: str) -> float | None:
        """What it should weigh."""
        return next((p.target_g for p in made.plan.pieces if p.name == piece), None)

    def tolerance(self, made: Expansion, piece: str) -> float:
        """The target's own."""
        own = next((p.tolerance_g for p in made.plan.pieces if p.name == piece), None)
        return max(own or 0.0, LEAST_G)

    def doubts(self, made: Expansion, piece: str) -> dict[str, float]:
        """Wood, packing, drill, work."""
        return weight_of(made.plan, piece).doubts_g

    def u(self, made: Expansion, piece: str) -> float:
        """All together."""
        return weight_of(made.plan, piece).u_g


class Balance:
    """Where the piece balances, mm from its beginning."""

    unit = "mm"
    missing = 'write balance = "180 mm ± 5 mm", and where each part starts'

    def measure(self, made: Expansion, piece: str) -> float:
        """Where it will balance."""
        return self._of(made, piece).centre_mm

    def wanted(self, made: Expansion, piece: str) -> float | None:
        """Where it should; None where the file doesn't say where all parts lie."""
        balance = made.sheets[piece].head.balance
        known = balance_of(made, piece) is not None
        return balance.value if balance is not None and known else None

    def tolerance(self, made: Expansion, piece: str) -> float:
        """The balance's own."""
        balance = made.sheets[piece].head.balance
        return max((balance.tolerance if balance else None) or 0.0, LEAST_MM)

    def doubts(self, made: Expansion, piece: str) -> dict[str, float]:
        """By what is doubtful in the weight of each part."""
        return self._of(made, piece).doubts_mm

    def u(self, made: Expansion, piece: str) -> float:
        """All together."""
        return self._of(made, piece).u_mm

    def _of(self, made: Expansion, piece: str) -> Balanced:
        found = balance_of(made, piece)
        assert found is not None, "a plan without places was measured for its balance"
        return found


def aim_of(goal: str) -> Aim:
    """The goal of that name."""
    return Balance() if goal == "balance" else Target()
