"""A mix in its cup and a layer in its void, each as one lump that cures and loses heat.

Source of the wood's conductivity: the Wood Handbook's linear formula in specific gravity and
moisture, k = G(0.1941 + 0.004064 M) + 0.01864 W/(m K) across the grain (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from benchmate.reckon.heat.heat import (
    AIR_W_M2K,
    EPOXY_HEAT_J_G,
    EPOXY_SPECIFIC_HEAT_J_GK,
    POT_LIFE_ALPHA,
    RESIN_DENSITY_G_CM3,
    Course,
    CupLoss,
    Loss,
    Lump,
    course,
    loss_of,
)
from benchmate.reckon.heat.kinetics import Kinetics

CUP_BEARS_C = 60.0
GLUE_LINE_BEARS_C = 50.0


@dataclass(frozen=True, kw_only=True, slots=True)
class CupOfMix:
    """A mix as it stands in its cup, with what its tin says."""

    mass_g: float
    start_c: float
    pot_life_min: float
    label_c: float = 25.0
    label_mass_g: float = 100.0
    heat_j_g: float | None = None
    """None: the family's, rough; so with the specific heat."""
    specific_heat_j_gk: float | None = None
    bears_c: float = CUP_BEARS_C

    @property
    def heat(self) -> tuple[float, float]:
        """Heat of cure in J/g and specific heat in J/(g K), the family's where unknown."""
        cure = EPOXY_HEAT_J_G if self.heat_j_g is None else self.heat_j_g
        specific = self.specific_heat_j_gk
        return cure, EPOXY_SPECIFIC_HEAT_J_GK if specific is None else specific


@dataclass(frozen=True, kw_only=True, slots=True)
class LayerInVoid:
    """One layer in a void of wood: its resin and shot, and the way its heat takes out.

    `width_mm` is the void's smallest width (a bore's diameter), `wall_mm` the wood around it.
    """

    resin_g: float
    shot_g: float
    shot_density_g_cm3: float
    shot_specific_heat_j_gk: float
    width_mm: float
    wall_mm: float
    shop_c: float
    resin_density_g_cm3: float = RESIN_DENSITY_G_CM3
    wood_sg: float = 0.55
    wood_moisture_pct: float = 8.0
    bears_c: float = GLUE_LINE_BEARS_C
    what_bears: str = "glue lines nearby"

    @property
    def volume_ml(self) -> float:
        """Room that resin and shot take together."""
        return self.resin_g / self.resin_density_g_cm3 + self.shot_g / self.shot_density_g_cm3


def cup_course(cup: CupOfMix, law: Kinetics) -> Course:
    """The mix left to cure in its cup on the bench, in air as warm as it began."""
    return course(cup_lump(cup), law.rate, CupLoss(cup.mass_g, cup.start_c))


def void_course(cup: CupOfMix, layer: LayerInVoid, law: Kinetics) -> Course:
    """The layer curing in its void, losing heat through the wood and from its top."""
    return course(void_lump(cup, layer), law.rate, void_loss(layer))


def wood_w_mk(sg: float, moisture_pct: float) -> float:
    """Thermal conductivity of wood across the grain, W/(m K)."""
    return sg * (0.1941 + 0.004064 * moisture_pct) + 0.01864


def void_loss(layer: LayerInVoid) -> Loss:
    """Loss of a round void: sides and bottom through the wall to still air, the top to air."""
    width_cm = layer.width_mm / 10.0
    end_cm2 = math.pi * width_cm**2 / 4.0
    side_cm2 = math.pi * width_cm * layer.volume_ml / end_cm2
    resistance = layer.wall_mm / 1000.0 / wood_w_mk(layer.wood_sg, layer.wood_moisture_pct)
    through_wood = loss_of(side_cm2 + end_cm2, layer.shop_c, 1.0 / (resistance + 1.0 / AIR_W_M2K))
    top = loss_of(end_cm2, layer.shop_c)
    return replace(
        top, conductance_j_min_k=top.conductance_j_min_k + through_wood.conductance_j_min_k
    )


def cup_lump(cup: CupOfMix) -> Lump:
    """The mix alone, as warm as it was mixed."""
    return Lump(cup.mass_g, cup.start_c, 0.0, 0.0, *cup.heat)


def void_lump(cup: CupOfMix, layer: LayerInVoid) -> Lump:
    """Resin at the mix's temperature and shot at the shop's, brought to one."""
    heat_j_g, specific_heat_j_gk = cup.heat
    resin_j_k = layer.resin_g * specific_heat_j_gk
    shot_j_k = layer.shot_g * layer.shot_specific_heat_j_gk
    start_c = (resin_j_k * cup.start_c + shot_j_k * layer.shop_c) / (resin_j_k + shot_j_k)
    return Lump(
        layer.resin_g,
        start_c,
        layer.shot_g,
        layer.shot_specific_heat_j_gk,
        heat_j_g,
        specific_heat_j_gk,
    )


def pourable_min(cup: CupOfMix, law: Kinetics) -> float:
    """How long the mix stays thin enough to pour, left in its cup."""
    loss = CupLoss(cup.mass_g, cup.start_c)
    return course(cup_lump(cup), law.rate, loss, POT_LIFE_ALPHA).end_min
