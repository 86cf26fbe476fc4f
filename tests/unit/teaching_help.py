"""Whole jobs that teach something, for the tests of lessons."""

from __future__ import annotations

from pathlib import Path

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


def stands(shop: Worked, act: Act) -> str:
    """What the scale shows: as planned, and of a whole piece all that its layers were off."""
    point = act.step.weigh if act.step else None
    if act.step is None or point is None or point.weighed != "whole":
        return as_planned(act)
    state, off_g = shop.state, 0.0
    for step in state.steps.values():
        record = state.weighing_at(step.address)
        gain = step.weigh is not None and step.weigh.kind == "gain"
        if record is not None and step.piece == act.step.piece and gain and step.weigh:
            off_g += record.net_g - (step.weigh.plan_g or 0.0)
    return f"{(point.plan_g or 0.0) + off_g:.1f} g"


def teach(shop: Worked, packing: float, *, coats: int = 1, **parameters: str) -> str:
    """One whole job whose shot lies so, slow at the pours, with 7 g left in each cup."""
    shop.start(parameters={"coats": coats, **parameters})
    plan = shop.state.plan
    assert plan is not None
    gain_g = lying(plan.fills[0], packing)
    shop.reads = lambda act: f"{gain_g:.1f} g" if "/pour#" in act.address else stands(shop, act)
    shop.pace = slow
    shop.left = {"/cap#1": 7.0}
    shop.finish(f"{packing:.3f}")
    return shop.job


def taught_shop(home: Path, *offs: float) -> Worked:
    """A shop in which a job has ended for each of these departures from `PACKING`."""
    shop = Worked(home)
    for off in offs:
        teach(shop, PACKING + off)
    return shop
