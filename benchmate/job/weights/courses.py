"""A job's pieces as the heading sees them: plan and records turned into courses.

Nets of one piece that share a tare err together (GUM F.1.2.3): where they are summed, their
covariance goes into the doubt of the later one. Where one layer's end is the next one's beginning
the shared reading would cancel in the sum; that is left out, so that what is said is a little too
wide and never too narrow. The scale's linearity, which all share, is counted once for the piece.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from benchmate.job.events.stored import JobStarted, ScaleDescribed
from benchmate.job.state.state import JobState, Weighing
from benchmate.landing.course import (
    CourseChange,
    FillCourse,
    LayerCourse,
    Packing,
    PieceCourse,
    Stage,
    Weight,
)
from benchmate.plan.address import piece_address
from benchmate.plan.plan import Fill as PlannedFill
from benchmate.plan.plan import Layer as PlannedLayer
from benchmate.plan.plan import PartPlan, PiecePlan, Plan, Step
from benchmate.reckon.weight.weighing import (
    Scale,
    combine,
    half_width,
    net_terms,
    shared_reading_covariance,
)

MOISTURE_U_PCT = 1.0 / math.sqrt(3.0)
"""Between weighing the blank and the finished piece the wood's moisture may move by a percent
either way: common practice, no source."""
SCATTER = 0.3
"""Bound on a planned addition (oil, glue, felt) of which nothing better is known, as a share."""

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
    """Standard uncertainty of a recorded net weight, in g, but for the scale's linearity."""
    described = scales.get(weighing.scale)
    scale = scale_of(described, weighing.division_g)
    if weighing.u_g is None:
        return combine(net_terms(replace(scale, linearity_g=None), 1, 1)).u
    shared = half_width(scale.linearity_g or 0.0)
    own = weighing.u_g**2 - shared**2
    return math.sqrt(max(own, 2.0 * scale.rounding_g**2)) if shared else weighing.u_g


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


def courses_at_start(job: JobState, scales: Scales) -> tuple[PieceCourse, ...]:
    """The courses by the plan that the job was started with, before any adjustment was taken."""
    begun = (r.event.plan for r in job.records if isinstance(r.event, JobStarted))
    plan = next(begun, None)
    return courses(replace(job, plan=plan), scales) if plan is not None else ()


def trace(job: JobState, plan: Plan, piece: PiecePlan, scales: Scales) -> Traced | None:
    """One piece's course; None where the plan knows no weight of its body to begin with."""
    steps = [s for s in plan.steps if s.piece == piece.name]
    fills = {f.where: f for f in plan.fills if f.piece == piece.name}
    parts = [p for p in plan.parts if p.piece == piece.name]
    filled = {f.part for f in fills.values()}
    body = next((p for p in parts if p.name in filled), None) or next(iter(parts), None)
    if body is None:
        return None
    path = _Path(job, scales, steps, [p for p in parts if p.name != body.name], piece)
    for step in steps:
        path.pass_through(step, fills.get(step.where))
    path.join(done=False)
    worst = max((s.linearity_g or 0.0 for s in scales.values()), default=0.0)
    made = PieceCourse(
        piece=piece.label or piece.name,
        blank=path.weighed(body.name) or Weight(body.mass_g, body.mass_u_g),
        stages=(*path.joined, *path.stages),
        target_g=piece.target_g,
        tolerance_g=piece.tolerance_g,
        wood_g=sum(p.mass_g for p in parts),
        # What was learned of the rest has the wood's moisture in it.
        moisture_u_pct=0.0 if piece.rest_u_g else MOISTURE_U_PCT,
        scale_u_g=half_width(worst),
        blank_plan_g=body.mass_g,
        address=piece_address(job.job, piece.name),
    )
    return Traced(made, {a: n + len(path.joined) for a, n in path.places.items()})


class _Path:
    """A piece's stages in the making. Parts that are joined on stand before all of them, since
    it doesn't matter when they come, only that the piece has them when it is weighed whole."""

    def __init__(
        self,
        job: JobState,
        scales: Scales,
        steps: Sequence[Step],
        others: Iterable[PartPlan],
        piece: PiecePlan,
    ) -> None:
        self.piece = piece
        ends = [s.address for s in steps if s.weigh is not None and s.weigh.weighed == "whole"]
        self.end = ends[-1] if ends else ""
        self.job, self.scales, self.steps, self.others = job, scales, steps, list(others)
        self.joined: list[Stage] = []
        self.stages: list[Stage] = []
        self.places: dict[str, int] = {}
        self._tares: dict[tuple[str, float], int] = {}

    def pass_through(self, step: Step, fill: PlannedFill | None) -> None:
        """Add what a step does to the weight, and note where its weigh point lies."""
        job, point = self.job, step.weigh
        if step.address in job.skipped and step.address not in job.done:
            return
        first = len(self.stages)
        record = job.weighing_at(step.address) if point is not None else None
        gain = self._summed(record) if record and point and point.kind == "gain" else None
        self.stages += _stages(job, step, fill, record, gain, self.scales)
        if step.address == self.end:
            self._end_as_earlier(done=record is not None)
        if point is None:
            return
        if point.kind == "gain" and len(self.stages) > first:
            self.places[step.address] = first
        elif point.weighed == "whole" and self.stages:
            self.places[step.address] = len(self.stages) - 1
            self.join(done=record is not None)
            if record is not None:
                whole = _weight(record, self.scales)
                self.stages[-1] = replace(self.stages[-1], whole=whole)

    def _end_as_earlier(self, *, done: bool) -> None:
        """What only earlier jobs' finished weights tell: moved by what was taken over, and no more
        than wider by what was not, since the plan is the maker's."""
        piece = self.piece
        if piece.rest_g or piece.rest_u_g:
            name = "the rest"
            self.stages.append(CourseChange(name, piece.rest_g, piece.rest_u_g, done, shared=name))
        if piece.missed_g:
            name = "as earlier jobs came out"
            self.stages.append(CourseChange(name, 0.0, abs(piece.missed_g), done, shared=name))

    def join(self, *, done: bool) -> None:
        """The other parts are on, each with its recorded or planned weight."""
        for part in self.others:
            weight = self.weighed(part.name) or Weight(part.mass_g, part.mass_u_g)
            self.joined.append(
                CourseChange(name=part.name, adds_g=weight.g, u_g=weight.u_g, is_done=done)
            )
        self.others = []

    def weighed(self, part: str) -> Weight | None:
        """The recorded weight of a part before it was filled or joined."""
        for step in self.steps:
            if step.part == part and step.weigh and step.weigh.weighed in ("blank", "part"):
                record = self.job.weighing_at(step.address)
                if record is not None:
                    return self._summed(record)
        return None

    def _summed(self, record: Weighing) -> Weight:
        """A net that is added to others, with its covariance with those of the same tare."""
        weight = _weight(record, self.scales)
        if not record.tare_g:
            return weight
        key = (record.scale, record.tare_g)
        others = self._tares.get(key, 0)
        self._tares[key] = others + 1
        scale = scale_of(self.scales.get(record.scale), record.division_g)
        shared = 2.0 * others * shared_reading_covariance(scale)
        return Weight(weight.g, math.sqrt(weight.u_g**2 + shared))


def _weight(weighing: Weighing, scales: Scales) -> Weight:
    return Weight(weighing.net_g, doubt_of(weighing, scales))


def _stages(
    job: JobState,
    step: Step,
    fill: PlannedFill | None,
    record: Weighing | None,
    gain: Weight | None,
    scales: Scales,
) -> list[Stage]:
    """What a step does to the weight: a layer, a gain of its own, something taken or added."""
    out: list[Stage] = []
    layers = fill.layers if fill is not None else ()
    planned = next((la for la in layers if la.address == step.address), None)
    if fill is not None and planned is not None:
        out.append(_layer(job, fill, planned, record, gain, scales))
    elif step.weigh is not None and step.weigh.kind == "gain" and step.weigh.plan_g is not None:
        return [_gain(job, step, step.weigh.plan_g, gain)]
    if step.takes_g or step.adds_g:
        out.append(_change(job, step))
    return out


def _gain(job: JobState, step: Step, plan_g: float, gain: Weight | None) -> CourseChange:
    """A gain that is no layer: its plan counts what the step takes and adds."""
    tolerance = step.weigh.tolerance_g if step.weigh else None
    weight = gain or Weight(plan_g, half_width(tolerance or SCATTER * abs(plan_g)))
    name = step.weigh.what if step.weigh and step.weigh.what else step.act
    return CourseChange(name, weight.g, weight.u_g, is_done=job.is_settled(step.address))


def _change(job: JobState, step: Step) -> CourseChange:
    u = math.hypot(step.takes_u_g, step.adds_u_g)
    return CourseChange(
        name=(step.file_step or step.act).replace("-", " "),
        adds_g=step.adds_g - step.takes_g,
        u_g=u or half_width(SCATTER * (step.takes_g + step.adds_g)),
        is_done=job.is_settled(step.address),
        adjustable=step.takes_g > step.adds_g,
    )


def _layer(
    job: JobState,
    fill: PlannedFill,
    planned: PlannedLayer,
    record: Weighing | None,
    gain: Weight | None,
    scales: Scales,
) -> LayerCourse:
    split = record.split if record else {}
    u = doubt_of(record, scales) if record else 0.0
    apart = {what: Weight(g, u) for what, g in split.items() if g > 0}
    number = planned.address.rpartition("#")[2]
    fills = job.plan.fills if job.plan else ()
    several = sum(f.piece == fill.piece for f in fills) > 1
    place = f" of the {fill.where}" if several else ""
    return LayerCourse(
        name=f"layer {number}{place}",
        fill=_fill(fill),
        void_ml=planned.void_ml,
        shot_g=planned.shot_g,
        resin_g=planned.resin_g,
        by="weight" if planned.by_weight else "line",
        at_brim=planned is fill.layers[-1] and not fill.cap_g,
        poured=planned.address in job.done,
        # The split tells the gain too: given both, one record would count twice.
        gain=None if apart else gain,
        shot_in=apart.get("shot"),
        resin_in=apart.get("resin"),
        address=planned.address,
    )


def _fill(fill: PlannedFill) -> FillCourse:
    return FillCourse(
        packing=Packing.split(fill.packing, fill.packing_u),
        shot_g_cm3=fill.shot_density_g_cm3,
        resin_g_cm3=fill.resin_density_g_cm3,
        void_u=half_width(fill.void_u_ml / fill.void_ml) if fill.void_ml else 0.01,
        name=f"{fill.piece} {fill.where}",
        shot=fill.shot,
    )
