"""How fast a cure goes: by temperature (Arrhenius), and by what has already reacted.

Temperatures are °C at the surface and kelvin inside every exponent. Rates of reaction are per
minute, degree of cure `alpha` runs from 0 to 1, activation energies are J/mol.

Sources: Arrhenius' law; R and the ice point as fixed by the SI (CODATA 2018). The default of
55 kJ/mol with a spread of 45 to 70 for an amine-cured epoxy comes from effective activation
energies in published abstracts (Thermochimica Acta 447 (2006) 167; J. Applied Polymer Science
56 (1995) 1029).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

R_J_MOL_K = 8.314462618
ZERO_C_K = 273.15

EPOXY_ACTIVATION_J_MOL = 55_000.0
EPOXY_ACTIVATION_LOW_J_MOL = 45_000.0
EPOXY_ACTIVATION_HIGH_J_MOL = 70_000.0


def rate_ratio(temperature_c: float, ref_c: float, activation_j_mol: float) -> float:
    """How many times faster a reaction goes at `temperature_c` than at `ref_c`.

    The time it takes is the inverse of this. Raises ValueError at or below absolute zero.
    """
    t_k, ref_k = temperature_c + ZERO_C_K, ref_c + ZERO_C_K
    if t_k <= 0.0 or ref_k <= 0.0:
        raise ValueError("a temperature can't be at or below absolute zero, -273.15 °C")
    return math.exp(activation_j_mol / R_J_MOL_K * (1.0 / ref_k - 1.0 / t_k))


def activation_between(time_a: float, a_c: float, time_b: float, b_c: float) -> float:
    """Activation energy in J/mol from two points of a label: so long at a_c, so long at b_c.

    Both times in the same unit. Raises ValueError when the points can't fix one: equal
    temperatures, a time that isn't positive, or a cure that is slower where it is warmer.
    """
    if time_a <= 0.0 or time_b <= 0.0:
        raise ValueError("a label's time must be more than zero")
    if a_c == b_c:
        raise ValueError("the two label points are at the same temperature; one must be warmer")
    inverse = 1.0 / (a_c + ZERO_C_K) - 1.0 / (b_c + ZERO_C_K)
    activation = R_J_MOL_K * math.log(time_a / time_b) / inverse
    if activation < 0.0:
        raise ValueError("the two label points make the cure slower where it is warmer")
    return activation


@dataclass(frozen=True, kw_only=True, slots=True)
class Kinetics:
    """Kamal's law: d alpha/dt = (k1 + k2 alpha^m)(1 - alpha)^n per minute.

    k1 and k2 hold at `ref_c` and follow Arrhenius with their own activation energies. k2 = 0
    makes it a plain law of order n.
    """

    k1_per_min: float
    k2_per_min: float = 0.0
    activation_1_j_mol: float = EPOXY_ACTIVATION_J_MOL
    activation_2_j_mol: float = EPOXY_ACTIVATION_J_MOL
    ref_c: float = 25.0
    m: float = 1.0
    n: float = 1.0

    def rate(self, alpha: float, temperature_c: float) -> float:
        """Rate of cure per minute; nothing is left to react at alpha = 1."""
        if alpha >= 1.0:
            return 0.0
        done = max(alpha, 0.0)
        first = rate_ratio(temperature_c, self.ref_c, self.activation_1_j_mol)
        second = first
        if self.activation_2_j_mol != self.activation_1_j_mol:
            second = rate_ratio(temperature_c, self.ref_c, self.activation_2_j_mol)
        grown = self.k1_per_min * first + self.k2_per_min * second * done**self.m
        return float(grown * (1.0 - done) ** self.n)

    def quicker(self, factor: float) -> Kinetics:
        """The same law so many times as fast."""
        return replace(
            self, k1_per_min=self.k1_per_min * factor, k2_per_min=self.k2_per_min * factor
        )
