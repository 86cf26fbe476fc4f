"""What a plan comes to, and how surely: the weight that a piece will have."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum, hypot

from benchmate.plan.plan import Fill, Plan

WOOD, PACKING, DRILL, WORK = "wood", "packing", "drill or router", "work still to do"


@dataclass(frozen=True)
class Weight:
    """A weight in g with what makes it doubtful, each as a standard uncertainty in g."""

    value_g: float
    doubts_g: dict[str, float]

    @property
    def u_g(self) -> float:
        """All doubts together."""
        return hypot(*self.doubts_g.values())


def planned_g(plan: Plan, piece: str) -> float:
    """What a piece weighs when all has gone to plan."""
    wood = fsum(p.mass_g for p in plan.parts if p.piece == piece)
    fill = fsum(fill_g(f) for f in plan.fills if f.piece == piece)
    mine = [s for s in plan.steps if s.piece == piece]
    return wood + fill + fsum(s.adds_g - s.takes_g for s in mine)


def fill_g(fill: Fill) -> float:
    """Shot, resin and cap of a void."""
    return fsum(la.shot_g + la.resin_g for la in fill.layers) + fill.cap_g


def weight_of(plan: Plan, piece: str) -> Weight:
    """The planned weight of a piece with its doubts, before anything of it has been weighed."""
    fills = [f for f in plan.fills if f.piece == piece]
    parts = {p.name: p for p in plan.parts if p.piece == piece}
    steps = [s for s in plan.steps if s.piece == piece]
    doubts = {
        WOOD: hypot(*(p.mass_u_g for p in parts.values())),
        PACKING: hypot(*(packing_g(f) for f in fills)),
        DRILL: hypot(*(void_g(f, parts[f.part].density_g_cm3) for f in fills if f.part in parts)),
        WORK: hypot(*(u for s in steps for u in (s.takes_u_g, s.adds_u_g))),
    }
    return Weight(planned_g(plan, piece), {what: g for what, g in doubts.items() if g >= 0.05})


def mixed_density(fill: Fill, shot_density_g_cm3: float | None = None) -> float:
    """Shot and resin together, in g/cm³; of another shot where one is given."""
    shot = fill.shot_density_g_cm3 if shot_density_g_cm3 is None else shot_density_g_cm3
    return fill.packing * shot + (1.0 - fill.packing) * fill.resin_density_g_cm3


def packing_g(fill: Fill) -> float:
    """More shot takes the place of as much resin."""
    return fill.void_ml * (fill.shot_density_g_cm3 - fill.resin_density_g_cm3) * fill.packing_u


def void_g(fill: Fill, wood_g_cm3: float) -> float:
    """A larger void holds more, and leaves less wood round it."""
    return fill.void_u_ml * (mixed_density(fill) - wood_g_cm3)
