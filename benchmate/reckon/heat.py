"""The heat of a cure: one lump of resin and metal that warms itself and loses heat to the shop.

    capacity dT/dt = resin_g heat_j_g d alpha/dt - conductance (T - surroundings)

Resin and shot are at one temperature throughout, which fits a filled void better than a cup: the
middle of a large cup is hotter than this says. Without any loss the rise is the adiabatic one,
which nothing real exceeds: the worst case.

Sources: conservation of energy, Newton's law of cooling. Typical neat epoxy gives 350 to 500 J/g
and has 1.2 to 2.0 J/(g K) (from memory, common ranges). Loss by still air and radiation together
is about 10 W/(m² K) (common practice).
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from benchmate.reckon.frame import Refused
from benchmate.reckon.kinetics import Kinetics

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

EPOXY_SHAPE = Kinetics(k1_per_min=1.0, k2_per_min=25.0)
"""The family default's shape, before it is scaled to a pot life. Rough: an autocatalytic law of
first order both ways, k2/k1 = 25, both at 55 kJ/mol."""


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


def cup_area_cm2(mass_g: float, density_g_cm3: float = RESIN_DENSITY_G_CM3) -> float:
    """Whole surface of a mix that stands in its cup as deep as it is wide."""
    width_cm = (4.0 * mass_g / density_g_cm3 / math.pi) ** (1.0 / 3.0)
    return float(1.5 * math.pi * width_cm**2)


def course(
    lump: Lump, law: Law, loss: Loss | None = None, until_alpha: float = NEARLY_CURED
) -> Course:
    """The cure from the start until `until_alpha` or for 60 days, whichever is first.

    Without loss the temperature only rises: the peak is then the end. scipy is loaded here only.
    Raises Refused where the numbers lead nowhere (a rate that isn't finite).
    """
    rise = lump.adiabatic_rise_c
    cooling = 0.0 if loss is None else loss.conductance_j_min_k / lump.capacity_j_k
    around_c = 0.0 if loss is None else loss.surroundings_c

    def warming(_: float, y: Any) -> list[float]:
        rate = law(y[0], y[1])
        return [rate, rise * rate - cooling * (y[1] - around_c)]

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
                warming, (0.0, LONGEST_MIN), (0.0, start_c), method="LSODA",
                events=cured, dense_output=True, rtol=1e-7, atol=1e-9,
            )  # fmt: skip
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
    loss = loss_of(cup_area_cm2(label_mass_g), label_c)
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
