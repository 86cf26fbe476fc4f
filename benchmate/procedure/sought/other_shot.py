"""What a size would be with another shot: by what one ml of void brings, about."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchmate.procedure.sought.goals import mixed_density
from benchmate.shelf import FAMILIES
from benchmate.shelf.material import Material

if TYPE_CHECKING:
    from benchmate.procedure.expanding.expand import Expansion

DENSER = 1.05
_LEAD_FROM, _LEAD_TO = 10.8, 11.5


def number_with_other_shot(
    tries: Sequence[tuple[float, Expansion | None]], piece: str, at: float | None = None
) -> tuple[str, float] | None:
    """The densest lead-free shot that is denser than the plan's, and the number it would take.

    Two tries show how the void grows with the number; the same weight is brought by a void that
    is smaller as its fill is denser. `at` is the number that the plan's own shot would take, the
    first try's where it isn't given. None where no fill is changed, or nothing denser is known.
    """
    (one, first), (two, second) = tries
    if first is None or second is None:
        return None
    by_void = {(f.part, f.void): f for f in second.plan.fills if f.piece == piece}
    growing = [
        (fill, fill.void_ml - by_void[fill.part, fill.void].void_ml)
        for fill in first.plan.fills
        if fill.piece == piece and (fill.part, fill.void) in by_void
    ]
    growing = [(fill, ml) for fill, ml in growing if abs(ml) > 1e-9]
    other = _densest(max((fill.shot_density_g_cm3 for fill, _ in growing), default=0.0))
    if len(growing) != 1 or other is None or other.density_g_cm3 is None:
        return None
    fill, ml = growing[0]
    wood = next(w for (p, n), w in first.parts.items() if (p, n) == (piece, fill.part))
    now = mixed_density(fill) - wood.density_g_cm3
    then = mixed_density(fill, other.density_g_cm3) - wood.density_g_cm3
    per_ml = (one - two) / ml
    own = one if at is None else at
    void_ml = fill.void_ml + (own - one) / per_ml
    number = own + void_ml * (now / then - 1.0) * per_ml
    return (other.name, number) if number > 0.0 else None


def _densest(than: float) -> Material | None:
    shots = [t for t in FAMILIES.values() if t.kind == "shot" and t.density_g_cm3 is not None]
    free = [t for t in shots if not _LEAD_FROM < (t.density_g_cm3 or 0.0) < _LEAD_TO]
    best = max(free, key=lambda t: t.density_g_cm3 or 0.0, default=None)
    return best if best and than and (best.density_g_cm3 or 0.0) > DENSER * than else None
