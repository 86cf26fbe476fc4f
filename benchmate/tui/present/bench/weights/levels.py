"""How full a piece is: its layers from the bottom up, as plain data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from benchmate.job.state.state import JobState
from benchmate.landing.verdict import Verdict
from benchmate.plan.address import parse
from benchmate.plan.plan import Fill, Layer
from benchmate.quantities import Units, show_mass
from benchmate.tui.present.bench.weights.judging import Judge, unjudged


@dataclass(frozen=True)
class Level:
    """One layer of a fill."""

    name: str
    """Its number, or "cap"."""
    state: Literal["done", "now", "to come"]
    share: float
    """How much of it is in, 0 to 1: between the two only with readings taken while pouring."""
    sign: str
    """"!" where its weight is off plan, else empty."""
    grams: str
    """What went in, or what is to go in."""


def fill_of(job: JobState, piece: str, where: str = "") -> Fill | None:
    """The fill of a piece, where it has one: of several, that of this part or void."""
    fills = [f for f in (job.plan.fills if job.plan else ()) if f.piece == piece]
    return next((f for f in fills if f.where == where), next(iter(fills), None))


def outline_of(job: JobState, fill: Fill) -> str:
    """How the part with the void is drawn: "block", "round" or "head"."""
    parts = job.plan.parts if job.plan else ()
    found = next((p for p in parts if (p.piece, p.name) == (fill.piece, fill.part)), None)
    return found.outline if found else ""


def levels(job: JobState, fill: Fill, units: Units, judge: Judge = unjudged) -> list[Level]:
    """The layers, and the cap where there is one, from the bottom up."""
    found = [_level(job, la, _number(la, i), units, judge) for i, la in enumerate(fill.layers)]
    cap = _cap_address(job, fill)
    if cap:
        layer = Layer(address=cap, void_ml=0.0, shot_g=0.0, resin_g=fill.cap_g)
        found.append(_level(job, layer, "cap", units, judge))
    now = next((i for i, v in enumerate(found) if v.state == "to come"), None)
    if now is not None:
        old = found[now]
        found[now] = Level(old.name, "now", old.share, old.sign, old.grams)
    return found


def _number(layer: Layer, i: int) -> str:
    at = parse(layer.address)
    return str(at.n if at else i + 1)


def _cap_address(job: JobState, fill: Fill) -> str:
    """The step that closes the fill with clear resin; empty where there is none."""
    if fill.cap_g <= 0:
        return ""
    steps = (s for s in job.steps.values() if (s.piece, s.where) == (fill.piece, fill.where))
    return next((s.address for s in steps if s.act == "capped"), "")


def _level(job: JobState, layer: Layer, name: str, units: Units, judge: Judge) -> Level:
    settled = job.is_settled(layer.address)
    weighing = job.weighing_at(layer.address)
    off = (
        weighing is not None
        and (seen := judge(job, weighing)) is not None
        and (seen.verdict is Verdict.OFF_PLAN)
    )
    planned = layer.shot_g + layer.resin_g
    grams = show_mass(weighing.net_g, units, sign=True) if weighing else show_mass(planned, units)
    if settled and weighing is None:
        grams = ""
    return Level(
        name,
        "done" if settled else "to come",
        1.0 if settled else _so_far(job, layer),
        "!" if off else "",
        grams,
    )


def _so_far(job: JobState, layer: Layer) -> float:
    readings, planned = job.running.get(layer.address, ()), layer.shot_g + layer.resin_g
    if len(readings) < 2 or planned <= 0:
        return 0.0
    return max(0.0, min(1.0, (readings[-1].reading_g - readings[0].reading_g) / planned))
