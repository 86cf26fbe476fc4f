"""How shot lies, told by layers whose shot was weighed out but didn't all go in. Pure.

A layer whose weighed shot went in says nothing of packing: metal over the volume that was filled is
then the plan's own share, however densely the shot would have lain (over 300 simulated fills the
slope against the true packing is 0.0, against 1.0 where shot is poured to the line; see
`tests/sim/test_sim_teaching.py`). Taken for packing it would draw every next plan down to what the
last one left out. A layer that was full before all its shot was in does tell.
"""

from __future__ import annotations

import math

from benchmate.job.state.state import JobState, Weighing
from benchmate.plan.plan import Fill, Layer

TAPPED_GAIN = 0.025
"""What tapping gains, in shares of the volume: shot that won't go in has been tapped down. Random
packing goes from about 0.61 poured to 0.63 or 0.64 shaken; the middle of that."""
LINE_U, VOID_LEAST_U = 0.03, 0.005
"""How closely a layer's line is hit, and a void is known at best, as shares: common practice, no
source."""
READ_U_G = 0.5
SURE = 3.0
"""Doubts by which a layer must come out short to have been full: once in 700 it is chance."""


def packing_when_full(job: JobState, fill: Fill) -> float | None:
    """How the shot of a fill lies as poured, where most weighed-out layers were full.

    Taken over all layers up to the last full one, since a layer that ends above its line takes
    room from the next. None where fewer than half were full: the few full ones of such a fill lay
    loosest, and would pass for all. Source: the mass balance of shot and resin in a void.
    """
    seen = [
        (layer, record)
        for layer in fill.layers
        if layer.by_weight and (record := job.weighing_at(layer.address)) is not None
    ]
    full = [n for n, (layer, record) in enumerate(seen) if _was_full(fill, layer, record)]
    if not full or 2 * len(full) < len(seen):
        return None
    upto = seen[: full[-1] + 1]
    metal_ml = sum(_metal_ml(fill, layer, record) for layer, record in upto)
    return metal_ml / sum(layer.void_ml for layer, _ in upto) - TAPPED_GAIN


def _was_full(fill: Fill, layer: Layer, record: Weighing) -> bool:
    """Whether a record shows that not all the shot weighed out went in."""
    in_g = record.split.get("shot", 0.0)
    if in_g > 0.0:
        return layer.shot_g - in_g > SURE * READ_U_G
    line_ml = LINE_U * layer.void_ml
    void_ml = max(VOID_LEAST_U, fill.void_u_ml / fill.void_ml) * layer.void_ml
    doubt_g = math.hypot(fill.resin_density_g_cm3 * math.hypot(line_ml, void_ml), READ_U_G)
    return layer.shot_g + layer.resin_g - record.net_g > SURE * doubt_g


def _metal_ml(fill: Fill, layer: Layer, record: Weighing) -> float:
    in_g = record.split.get("shot", 0.0)
    if in_g > 0.0:
        return in_g / fill.shot_density_g_cm3
    heavier = fill.shot_density_g_cm3 - fill.resin_density_g_cm3
    return (record.net_g - layer.void_ml * fill.resin_density_g_cm3) / heavier
