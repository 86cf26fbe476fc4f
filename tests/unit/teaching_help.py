"""Whole jobs that teach something, for the tests of lessons."""

from __future__ import annotations

from benchmate.job.windows.agenda import Act
from benchmate.plan.plan import Fill
from tests.unit.loop_help import Worked, as_planned, steady

PACKING = 0.585
"""How the shot lies in the tests' shop; the procedure reckons with 0.603."""
STEEL, RESIN = 7.8, 1.1
SLOW_S = 9 * 60.0
"""What a pour takes in the tests' shop; the procedure says 6 min."""


def lying(fill: Fill, packing: float) -> float:
    """What one layer gains when its shot lies so: the mass balance of shot and resin."""
    ml = fill.layers[0].void_ml
    return ml * (packing * STEEL + (1 - packing) * RESIN)


def slow(act: Act) -> float:
    """Hands that are slow at the pours."""
    return SLOW_S if act.kind == "do" and "/pour#" in act.address else steady(act)


def teach(shop: Worked, packing: float, *, coats: int = 1, **parameters: str) -> str:
    """One whole job whose shot lies so, slow at the pours, with 7 g left in each cup."""
    shop.start(parameters={"coats": coats, **parameters})
    plan = shop.state.plan
    assert plan is not None
    gain = f"{lying(plan.fills[0], packing):.1f} g"
    shop.reads = lambda act: gain if "/pour#" in act.address else as_planned(act)
    shop.pace = slow
    shop.left = {"/cap#1": 7.0}
    shop.finish(f"{packing:.3f}")
    return shop.job
