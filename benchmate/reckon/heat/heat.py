"""The heat of a cure: one lump of resin and metal that warms itself and loses heat to the shop.

    capacity dT/dt = resin_g heat_j_g d alpha/dt - conductance (T - surroundings)

Resin and shot are at one temperature throughout, which fits a filled void better than a cup: the
middle of a large cup is hotter than this says. Without any loss the rise is the adiabatic one,
which nothing real exceeds: the worst case.

Sources: conservation of energy, Newton's law of cooling. Typical neat epoxy gives 350 to 500 J/g
and has 1.2 to 2.0 J/(g K) (from memory, common ranges). A cup loses heat by natural convection in
still air, h = 1.42 (dT/L)^(1/4) W/(m² K) for an upright wall of height L in m (simplified relation
for laminar flow in Holman, Heat Transfer), and by radiation, 4 e s T³ with e = 0.9: 5 to 10 and
about 6 W/(m² K) at the temperatures of a cup. Elsewhere both together are taken as 10.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.heat.kinetics import ZERO_C_K, Kinetics

Law = Callable[[float, float], float]
"""Rate of cure per minute from degree of cure and °C."""

AIR_W_M2K = 10.0
EPOXY_HEAT_J_G = 400.0
EPOXY_SPECIFIC_HEAT_J_GK = 1.8
RESIN_DENSITY_G_CM3 = 1.1
NEARLY_CURED = 0.99
"""The degree of cure at which a course is over, and at which a cure without loss has its peak."""
POT_LIFE_ALPHA = 0.3
"""Degree of cure at which a mix is taken to be too thick to pour: well before it gels at about
0.58 (Flory and Stockmayer, two- and four-armed parts). A rough assumption."""
LONGEST_MIN = 60.0 * 24 * 60

_SLOWEST_SHARE = 0.02
"""How much slower than the pot life alone would make it a law can be at constant temperature."""

EPOXY_SHAPE = Kinetics(k1_per_min=1.0, k2_per_min=3.0, n=2.0)
"""The family default's shape, before it is scaled to a pot life. Rough: an amine's third-order law
(k1 + k2 alpha)(1 - alpha)² after Horie and others (1970), both at 55 kJ/mol; k2/k1 = 3, with which
a thin film gels five to ten times the pot life later, as labels say of it (common practice)."""
LIVELY_SHAPE = Kinetics(k1_per_min=1.0, k2_per_min=10.0, n=2.0)
"""The same for a resin that runs away sooner: the warm side, for cautions."""

CONVECTION_W_M2K = 1.42
"""Factor of the simplified relation for an upright wall; dT in K, height in m."""
EMISSIVITY = 0.9
STEFAN_BOLTZMANN_W_M2K4 = 5.670374419e-8
BENCH_W_M2K = 5.0
"""Through the cup's bottom into a wooden bench top: 25 mm of wood at 0.12 W/(m K)."""
LEAST_CUP_CM = 6.0
"""A usual mixing cup is no narrower (common practice): a small mix stands shallow in it."""


@dataclass(frozen=True, slots=True)
class Lump:
    """Resin and metal at one temperature."""

    resin_g: float
    start_c: float
    shot_g: float = 0.0
    shot_specific_heat_j_gk: float = 0.0
    heat_j_g: float = EPOXY_HEAT_J_G
    specific_heat_j_gk: float = EPOXY_SPECIFIC_HEAT_J_GK

    @property
    def capacity_j_k(self) -> float:
        """Heat that warms the lump by one degree."""
        resin = self.resin_g * self.specific_heat_j_gk
        return resin + self.shot_g * self.shot_specific_heat_j_gk

    @property
    def adiabatic_rise_c(self) -> float:
        """How far full cure would warm it if no heat were lost."""
        return self.resin_g * self.heat_j_g / self.capacity_j_k


@dataclass(frozen=True, slots=True)
class Loss:
    """Heat lost per minute and degree, and the temperature of what takes it."""

    conductance_j_min_k: float
    surroundings_c: float

    def flow_j_min(self, lump_c: float) -> float:
        """Heat lost per minute by a lump this warm (negative: taken up)."""
        return self.conductance_j_min_k * (lump_c - self.surroundings_c)


@dataclass(frozen=True, slots=True)
class CupLoss:
    """Loss of a cup in still air on a wooden bench: a warm one loses more to a degree."""

    mass_g: float
    surroundings_c: float
    density_g_cm3: float = RESIN_DENSITY_G_CM3

    def flow_j_min(self, lump_c: float) -> float:
        """Heat lost per minute by a lump this warm (negative: taken up)."""
        width_cm, depth_cm = cup_size_cm(self.mass_g, self.density_g_cm3)
        end_cm2 = math.pi * width_cm**2 / 4.0
        air = still_air_w_m2k(lump_c, self.surroundings_c, depth_cm / 100.0)
        to_air = (end_cm2 + math.pi * width_cm * depth_cm) * air
        watts_k = (to_air + end_cm2 * BENCH_W_M2K) * 1e-4
        return watts_k * 60.0 * (lump_c - self.surroundings_c)


@dataclass(frozen=True, slots=True)
class Course:
    """How a cure went: its peak, and the end at which it was broken off."""

    peak_c: float
    peak_time_min: float
    end_min: float
    end_alpha: float
    end_c: float


def loss_of(area_cm2: float, surroundings_c: float, w_m2k: float = AIR_W_M2K) -> Loss:
    """Loss through a surface, from W/(m² K) and cm²."""
    return Loss(w_m2k * area_cm2 * 1e-4 * 60.0, surroundings_c)


def still_air_w_m2k(surface_c: float, air_c: float, height_m: float) -> float:
    """Natural convection and radiation together from a warm wall in still air."""
    convection = CONVECTION_W_M2K * (abs(surface_c - air_c) / height_m) ** 0.25
    mean_k = (surface_c + air_c) / 2.0 + ZERO_C_K
    return float(convection + 4.0 * EMISSIVITY * STEFAN_BOLTZMANN_W_M2K4 * mean_k**3)


def cup_size_cm(mass_g: float, density_g_cm3: float = RESIN_DENSITY_G_CM3) -> tuple[float, float]:
    """Width and depth of a mix in its cup: as deep as wide, or shallow in the least cup."""
    volume_cm3 = mass_g / density_g_cm3
    width_cm = max(LEAST_CUP_CM, (4.0 * volume_cm3 / math.pi) ** (1.0 / 3.0))
    return width_cm, 4.0 * volume_cm3 / math.pi / width_cm**2


def course(
    lump: Lump, law: Law, loss: Loss | CupLoss | None = None, until_alpha: float = NEARLY_CURED
) -> Course:
    """The cure from the start until `until_alpha` or for 60 days, whichever is first.

    Without loss the temperature only rises: the peak is then the end. scipy is loaded here only.
    Raises Refused where the numbers lead nowhere (a rate that isn't finite).
    """
    rise = lump.adiabatic_rise_c
    capacity_j_k = lump.capacity_j_k

    def warming(_: float, y: Any) -> list[float]:
        rate = law(y[0], y[1])
        lost = 0.0 if loss is None else loss.flow_j_min(y[1]) / capacity_j_k
        return [rate, rise * rate - lost]

    return _integrated(warming, lump.start_c, until_alpha)


def _integrated(
    warming: Callable[[float, Any], list[float]], start_c: float, until_alpha: float
) -> Course:
    from scipy.integrate import solve_ivp

    def cured(_: float, y: Any) -> float:
        return float(y[0]) - until_alpha

    cured.terminal = True  # type: ignore[attr-defined]
    try:
        with warnings.catch_warnings():
            # The solver warns before it fails; the status below says it in a sentence.
            warnings.simplefilter("ignore")
            found = solve_ivp(
                warming,
                (0.0, LONGEST_MIN),
                (0.0, start_c),
                method="LSODA",
                events=cured,
                dense_output=True,
                rtol=1e-7,
                atol=1e-9,
            )
    except (OverflowError, ValueError) as error:
        raise Refused("these kinetics give no finite rate; check their units") from error
    if found.status < 0 or not math.isfinite(found.y[1][-1]):
        raise Refused("these kinetics can't be followed to an end; check their units")
    peak_c, peak_min = _peak(found)
    end_alpha, end_c = (float(v) for v in found.y[:, -1])
    return Course(peak_c, peak_min, float(found.t[-1]), end_alpha, end_c)


def _peak(found: Any) -> tuple[float, float]:
    """The highest temperature of a solution and its time: between steps where it lies there."""
    from scipy.optimize import minimize_scalar

    i = int(found.y[1].argmax())
    top = float(found.y[1][i]), float(found.t[i])
    if i in (0, len(found.t) - 1):
        return top
    around = float(found.t[i - 1]), float(found.t[i + 1])
    best = minimize_scalar(lambda t: -found.sol(t)[1], bounds=around, method="bounded")
    return max(top, (-float(best.fun), float(best.x)))


@lru_cache(maxsize=64)
def scaled_to_pot_life(
    pot_life_min: float, label_c: float, label_mass_g: float, shape: Kinetics = EPOXY_SHAPE
) -> Kinetics:
    """The law of this shape whose label mass, in its cup, is too thick after the label's pot life.

    The label's own cup warms itself, so that the law at constant temperature is slower than the
    pot life alone would make it.
    """
    lump = Lump(label_mass_g, label_c)
    loss = CupLoss(label_mass_g, label_c)
    shape = replace(shape, ref_c=label_c)
    unheated = course(replace(lump, heat_j_g=0.0), shape.rate, None, POT_LIFE_ALPHA).end_min
    quickest = unheated / pot_life_min

    def lateness(share: float) -> float:
        law = shape.quicker(quickest * share)
        return course(lump, law.rate, loss, POT_LIFE_ALPHA).end_min - pot_life_min

    from scipy.optimize import brentq

    if lateness(_SLOWEST_SHARE) < 0.0:
        return shape.quicker(quickest * _SLOWEST_SHARE)
    if lateness(1.0) >= 0.0:
        return shape.quicker(quickest)
    share = brentq(lateness, _SLOWEST_SHARE, 1.0, xtol=1e-5, rtol=1e-5)
    return shape.quicker(quickest * float(share))
