"""How much shot to leave out of a plan, so that a fill that packs loosely can still be landed."""

import math

from benchmate.landing.course import Fill
from benchmate.reckon.weight.student import normal_quantile


def reserve_to_leave(
    fill: Fill, shot_g: float, blank_u_g: float, sure: float = 0.99, off: float = 0.0
) -> float:
    """The share of `shot_g` (the whole fill's shot at the reckoned packing) to plan without.

    A plan at the reckoned packing is out of reach for half of all fills but for tapping down,
    since shot can be held back but not forced in. With this reserve a share `sure` of the fills
    can be brought to the plan: what may be missing (looser packing, a smaller void, a light blank,
    all at once) less what tapping gains. `off` is how far, as a share, the packing may be
    reckoned wrong besides. Never below zero. Raises ValueError for a share that isn't one.
    """
    packing = fill.packing
    loose = math.hypot(packing.shot_u, packing.fill_u) / packing.value
    lands_per_g = 1.0 - fill.resin_g_cm3 / fill.shot_g_cm3
    light = blank_u_g / (shot_g * lands_per_g)
    missing = normal_quantile(sure) * math.hypot(loose, fill.void_u, light) + off
    return max(0.0, missing - packing.tapped_gain / packing.value)
