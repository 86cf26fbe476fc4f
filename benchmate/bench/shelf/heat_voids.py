"""What of a cup goes into each void, and the ways its heat has out: on the warm side throughout."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from benchmate.job.state.state import JobState
from benchmate.job.windows.before import HEAVIEST_WOOD_G_CM3
from benchmate.job.words.phrases import piece_label
from benchmate.plan.plan import Fill, Mix, PartPlan, Step
from benchmate.reckon.filling.metal import TRADE
from benchmate.reckon.heat.heat import RESIN_DENSITY_G_CM3
from benchmate.reckon.heat.pour_lumps import GLUE_LINE_BEARS_C, LayerInVoid

THICK_WALL_MM = 60.0
"""Wood beyond this keeps no more heat in; also what is taken where the part's size isn't known."""
GLUED = frozenset({"spread", "closed", "clamped", "joined", "tacked"})
COATED = frozenset({"coated", "waxed", "rubbed"})
FINISH_BEARS_C, BARE_WOOD_BEARS_C = 60.0, 90.0
"""Oil and wax mark, and a bare wall dries and may check, from about here: common practice, no
source."""
WOOD_SG = 0.55
MOISTURE = 1.1
"""Weight of wood as it stands against its oven-dry weight, near enough for its conductivity."""


def voids_of(job: JobState, mix: Mix, shop_c: float) -> tuple[tuple[str, LayerInVoid], ...]:
    """What each piece's void gets from this cup: poured wet on wet, all of it warms as one."""
    assert job.plan is not None
    found: dict[LayerInVoid, str] = {}
    for fill in job.plan.fills:
        layer = _layer(job, mix, fill, shop_c)
        if layer is not None:
            found.setdefault(layer, piece_label(job, fill.piece))
    return tuple((whose, layer) for layer, whose in found.items())


def _layer(job: JobState, mix: Mix, fill: Fill, shop_c: float) -> LayerInVoid | None:
    served = set(mix.serves)
    layers = [layer for layer in fill.layers if layer.address in served]
    if not layers:
        return None
    caps = [job.steps[a] for a in mix.serves if a in job.steps and _is_cap(job.steps[a], fill)]
    resin_g = sum(layer.resin_g for layer in layers)
    resin_g += sum(a.amount for s in caps for a in s.amounts if a.unit == "g")
    part = (
        next((p for p in job.plan.parts if (p.piece, p.name) == (fill.piece, fill.part)), None)
        if job.plan
        else None
    )
    width_mm = _width_mm(fill)
    return LayerInVoid(
        resin_g=resin_g,
        shot_g=sum(layer.shot_g for layer in layers),
        shot_density_g_cm3=fill.shot_density_g_cm3,
        shot_specific_heat_j_gk=_shot_heat(fill.shot_density_g_cm3),
        width_mm=width_mm,
        wall_mm=_wall_mm(part, fill, width_mm),
        shop_c=shop_c,
        resin_density_g_cm3=fill.resin_density_g_cm3 or RESIN_DENSITY_G_CM3,
        wood_sg=_wood_sg(part),
        **_weakest(job, fill, layers[0].address),
    )


def _weakest(job: JobState, fill: Fill, pour: str) -> dict[str, Any]:
    """What is near the void when it is poured, and the heat that the weakest of it bears."""
    before = list(job.steps.values())[: list(job.steps).index(pour)]
    near = {s.act for s in before if s.piece == fill.piece and s.part in (fill.part, "", "all")}
    if near & GLUED:
        return {"bears_c": GLUE_LINE_BEARS_C, "what_bears": "glue lines nearby"}
    if near & COATED:
        return {"bears_c": FINISH_BEARS_C, "what_bears": "finishes"}
    return {"bears_c": BARE_WOOD_BEARS_C, "what_bears": "bare walls of wood"}


def _is_cap(step: Step, fill: Fill) -> bool:
    """A pour of the same part with no shot in it: clear resin over the shot."""
    mine = (step.piece, step.where) == (fill.piece, fill.where)
    return mine and all(step.address != layer.address for layer in fill.layers)


def _width_mm(fill: Fill) -> float:
    """The bore that loses least of what this void may be: a round one of its mouth, but no wider
    than twice its gap, where a slot without ends and a ring lie."""
    if not fill.deep_mm:
        return float((4.0 * fill.void_ml / math.pi) ** (1 / 3) * 10.0)
    mouth_mm2 = fill.void_ml * 1000.0 / fill.deep_mm
    as_round = 2.0 * math.sqrt(mouth_mm2 / math.pi)
    return min(as_round, 2.0 * fill.gap_mm) if fill.gap_mm else as_round


def _wall_mm(part: PartPlan | None, fill: Fill, width_mm: float) -> float:
    """All the part's wood spread evenly over the void's sides and bottom: more keeps more heat."""
    if part is None or not part.volume_ml:
        return THICK_WALL_MM
    sides_mm2 = 4.0 * fill.void_ml * 1000.0 / width_mm
    area_mm2 = sides_mm2 + math.pi * width_mm**2 / 4.0
    return min(part.volume_ml * 1000.0 / area_mm2, THICK_WALL_MM)


def _wood_sg(part: PartPlan | None) -> float:
    known = part is not None and 0.0 < part.density_g_cm3 < HEAVIEST_WOOD_G_CM3
    return part.density_g_cm3 / MOISTURE if part is not None and known else WOOD_SG


def _shot_heat(density_g_cm3: float) -> float:
    """The specific heat of the metal whose density is nearest."""
    metals: Iterable[tuple[float, float]] = (
        (m.density_g_cm3, m.specific_heat_j_gk) for m in TRADE.values()
    )
    return min(metals, key=lambda m: abs(m[0] - density_g_cm3))[1]
