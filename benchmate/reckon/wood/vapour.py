"""Water vapour in air: its saturation pressure, and what air can still take up.

Source: the saturation equations of Hyland and Wexler (1983) as printed in the ASHRAE Handbook
of Fundamentals, chapter 1, equations 5 (over ice) and 6 (over water); from memory, checked in
the tests against a psychrometrics library that implements the same chapter.
"""

from __future__ import annotations

import math

from benchmate.reckon.heat.kinetics import ZERO_C_K

_TRIPLE_POINT_C = 0.01


def saturation_pa(temperature_c: float) -> float:
    """Saturation pressure of water vapour in Pa: over ice below 0.01 °C, over water above.

    Good from -100 to 200 °C.
    """
    t = temperature_c + ZERO_C_K
    if temperature_c <= _TRIPLE_POINT_C:
        return math.exp(
            -5.6745359e3 / t
            + 6.3925247
            - 9.677843e-3 * t
            + 6.2215701e-7 * t**2
            + 2.0747825e-9 * t**3
            - 9.484024e-13 * t**4
            + 4.1635019 * math.log(t)
        )
    return math.exp(
        -5.8002206e3 / t
        + 1.3914993
        - 4.8640239e-2 * t
        + 4.1764768e-5 * t**2
        - 1.4452093e-8 * t**3
        + 6.5459673 * math.log(t)
    )


def thirst_pa(temperature_c: float, humidity_pct: float) -> float:
    """The vapour pressure in Pa that this air still lacks to be saturated: what dries a film."""
    return saturation_pa(temperature_c) * (1.0 - humidity_pct / 100.0)
