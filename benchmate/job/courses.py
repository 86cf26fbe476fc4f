"""A job's pieces as the heading sees them: plan and records turned into courses."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from benchmate.job.events import ScaleDescribed
from benchmate.job.plan import Fill as PlannedFill
from benchmate.job.plan import Layer as PlannedLayer
from benchmate.job.plan import PiecePlan, Plan, Step
from benchmate.job.state import JobState, Weighing
from benchmate.landing.course import Change, Fill, Layer, Packing, PieceCourse, Stage, Weight
from benchmate.reckon.weighing import Scale, combine, net_terms

MOISTURE_U_PCT = 1.0 / math.sqrt(3.0)
"""Between weighing the blank and the finished piece the wood's moisture may move by a percent
either way: common practice, no source."""
SCATTER = 0.3
"""Doubt about a planned addition (oil, glue, felt) of which nothing better is known, as a share."""

Scales = Mapping[str, ScaleDescribed]


def scale_of(described: ScaleDescribed | None, division_g: float | None) -> Scale:
    """What a scale is known to do; of one that isn't described, the division at least."""
    if described is None:
        return Scale(division_g=division_g or 1.0)
    n = described.repeatability_n
    return Scale(
        division_g=described.division_g,
        repeatability_g=described.repeatability_g or 0.0,
        **({"repeatability_n": n} if n is not None and n >= 2 else {}),
        linearity_g=described.linearity_g or 0.0,
    )


def doubt_of(weighing: Weighing, scales: Scales) -> float:
    """Standard uncertainty of a recorded net weight, in g."""
    if weighing.u_g is not None:
        return weighing.u_g
    scale = scale_of(scales.get(weighing.scale), weighing.division_g)
    return combine(net_terms(scale, 1, 1)).u


@dataclass(frozen=True)
class Traced:
    """A piece's course, and the place in it that each weigh point's address stands for."""

    course: PieceCourse
    places: Mapping[str, int]


def courses(job: JobState, scales: Scales) -> tuple[PieceCourse, ...]:
    """The courses of all pieces that are not spoiled."""
    if job.plan is None:
        return ()
    pieces = (p for p in job.plan.pieces if p.name not in job.spoiled)
    found = (trace(job, job.plan, piece, scales) for piece in pieces)
    return tuple(t.course for t in found if t is not None)


def trace(job: JobState, plan: Plan, piece: PiecePlan, scales: Scales) -> Traced | None:
    """One piece's course; None where the plan knows no weight of its body to begin with."""
    steps = [s for s in plan.steps if s.piece == piece.name]
    fills = {f.part: f for f in plan.fills if f.piece == piece.name}
    body = next((p for p in plan.parts if p.piece == piece.name and p.name in fills), None)
    body = body or next((p for p in plan.parts if p.piece == piece.name), None)
    if body is None:
        return None
    blank = _weighed_part(job, steps, body.name, scales)
    others = [p for p in plan.parts if p.piece == piece.name and p.name != body.name]
    stages: list[Stage] = []
    weighed_after: dict[str, int] = {}
    ahead = 0
    for step in steps:
        stages += _stages(job, step, fills, scales)
        if step.weigh is not None and stages:
            weighed_after[step.address] = len(stages) - ahead
        if step.weigh is not None and step.weigh.weighed == "whole":
            joined = _joined(job, steps, others, scales, done=_is_weighed(job, step))
            stages, others, ahead = [*joined, *stages], [], ahead + len(joined)
            record = job.weighing_at(step.address)
            if record is not None and stages:
                stages[-1] = _with_whole(stages[-1], record, scales)
    joined = _joined(job, steps, others, scales, done=False)
    stages, ahead = [*joined, *stages], ahead + len(joined)
    wood = sum(p.mass_g for p in plan.parts if p.piece == piece.name)
    worst = max((s.linearity_g or 0.0 for s in scales.values()), default=0.0)
    made = PieceCourse(
        piece=piece.label or piece.name,
        blank=blank or Weight(body.mass_g, body.mass_u_g),
        stages=tuple(stages),
        target_g=piece.target_g,
        tolerance_g=piece.tolerance_g,
        wood_g=wood,
        moisture_u_pct=MOISTURE_U_PCT,
        scale_u_g=worst / math.sqrt(3.0),
        blank_plan_g=body.mass_g,
    )
    return Traced(made, {a: n - 1 + ahead for a, n in weighed_after.items()})


def _is_weighed(job: JobState, step: Step) -> bool:
    return job.weighing_at(step.address) is not None


def _weight(weighing: Weighing, scales: Scales) -> Weight:
    return Weight(weighing.net_g, doubt_of(weighing, scales))


def _weighed_part(job: JobState, steps: list[Step], part: str, scales: Scales) -> Weight | None:
    """The recorded weight of a part before it was filled or joined."""
    for step in steps:
        if step.part == part and step.weigh and step.weigh.weighed in ("blank", "part"):
            record = job.weighing_at(step.address)
            if record is not None:
                return _weight(record, scales)
    return None


def _joined(
    job: JobState, steps: list[Step], parts: Iterable[object], scales: Scales, *, done: bool
) -> list[Stage]:
    """Parts that will be joined on, each with its recorded or planned weight."""
    out: list[Stage] = []
    for part in parts:
        name = str(part.name)  # type: ignore[attr-defined]
        weighed = _weighed_part(job, steps, name, scales)
        weight = weighed or Weight(part.mass_g, part.mass_u_g)  # type: ignore[attr-defined]
        out.append(Change(name=name, adds_g=weight.g, u_g=weight.u_g, is_done=done))
    return out


def _stages(
    job: JobState, step: Step, fills: Mapping[str, PlannedFill], scales: Scales
) -> list[Stage]:
    """What a step does to the weight: a layer, a gain of its own, something taken or added."""
    out: list[Stage] = []
    fill = fills.get(step.part)
    planned = next((la for la in fill.layers if la.address == step.address), None) if fill else None
    record = job.weighing_at(step.address)
    if fill is not None and planned is not None:
        out.append(_layer(job, fill, planned, record, scales))
    elif step.weigh is not None and step.weigh.kind == "gain" and step.weigh.plan_g is not None:
        weight = _weight(record, scales) if record else None
        plan_g = step.weigh.plan_g
        u = (step.weigh.tolerance_g or SCATTER * plan_g) / math.sqrt(3.0)
        out.append(
            Change(name=step.weigh.what or step.act, adds_g=weight.g if weight else plan_g,
                   u_g=weight.u_g if weight else u, is_done=job.is_settled(step.address))
        )  # fmt: skip
    if step.takes_g or step.adds_g:
        out.append(_change(job, step))
    return out


def _change(job: JobState, step: Step) -> Change:
    u = math.hypot(step.takes_u_g, step.adds_u_g)
    if u == 0.0:
        u = SCATTER * (step.takes_g + step.adds_g)
    name = step.file_step or step.act
    return Change(
        name=name, adds_g=step.adds_g - step.takes_g, u_g=u / math.sqrt(3.0),
        is_done=job.is_settled(step.address), adjustable=step.takes_g > step.adds_g,
    )  # fmt: skip


def _layer(
    job: JobState, fill: PlannedFill, planned: PlannedLayer, record: Weighing | None,
    scales: Scales,
) -> Layer:  # fmt: skip
    split = record.split if record else {}
    u = doubt_of(record, scales) if record else 0.0
    apart = {what: Weight(g, u) for what, g in split.items() if g > 0}
    number = planned.address.rpartition("#")[2]
    return Layer(
        name=f"layer {number}",
        fill=_fill(fill),
        void_ml=planned.void_ml,
        shot_g=planned.shot_g,
        resin_g=planned.resin_g,
        by="weight" if planned.by_weight else "line",
        poured=planned.address in job.done or planned.address in job.skipped,
        gain=_weight(record, scales) if record else None,
        shot_in=apart.get("shot"),
        resin_in=apart.get("resin"),
    )


def _fill(fill: PlannedFill) -> Fill:
    return Fill(
        packing=Packing.split(fill.packing, fill.packing_u),
        shot_g_cm3=fill.shot_density_g_cm3,
        resin_g_cm3=fill.resin_density_g_cm3,
        void_u=fill.void_u_ml / fill.void_ml / math.sqrt(3.0) if fill.void_ml else 0.01,
        name=f"{fill.piece} {fill.part}",
        shot=fill.shot,
    )


def _with_whole(stage: Stage, record: Weighing, scales: Scales) -> Stage:
    return replace(stage, whole=_weight(record, scales))
