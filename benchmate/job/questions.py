"""Is what was typed a slip? Asked before it counts, with the likely slip named."""

from __future__ import annotations

from benchmate.job.courses import Scales, Traced, trace
from benchmate.job.plan import PiecePlan, Step
from benchmate.job.state import JobState
from benchmate.landing.course import Layer
from benchmate.landing.outlook import expected
from benchmate.landing.question import Asked, Question, Twin, question

TWIN_LIMIT = 12


def question_of(
    job: JobState, step: Step, net_g: float, u_g: float, scales: Scales, *, ounces: bool = False
) -> Question | None:
    """The question that a weight raises at a step; None where it may count as it is."""
    asked = asked_of(job, step, u_g, scales, ounces=ounces)
    return question(net_g, asked) if asked is not None else None


def asked_of(
    job: JobState, step: Step, u_g: float, scales: Scales, *, ounces: bool = False
) -> Asked | None:
    """What was asked for at a step; None where nothing is known to compare with."""
    if step.weigh is None or job.plan is None:
        return None
    piece = next((p for p in job.plan.pieces if p.name == step.piece), None)
    found = _expected(job, step, piece, scales)
    if found is None or piece is None:
        return None
    value, doubt = found
    layer = _layer(job, step, piece, scales)
    tare = job.weighing_at(step.address)
    return Asked(
        kind=step.weigh.kind, piece=piece.label or piece.name, expected_g=value,
        expected_u_g=doubt, u_g=u_g,
        before_g=_standing_g(job, step) if step.weigh.kind == "gain" else None,
        tare_g=tare.tare_g if tare else None,
        void_ml=layer.void_ml if layer else None,
        metal_g_cm3=layer.fill.shot_g_cm3 if layer else None,
        twins=_twins(job, step, scales), unit="oz" if ounces else "g",
    )  # fmt: skip


def _expected(
    job: JobState, step: Step, piece: PiecePlan | None, scales: Scales
) -> tuple[float, float] | None:
    point = step.weigh
    if point is None or job.plan is None or piece is None:
        return None
    if point.weighed in ("blank", "part") and point.plan_g is not None:
        part = next((p for p in job.plan.parts if (p.piece, p.name) == (piece.name, step.part)),
                    None)  # fmt: skip
        return point.plan_g, part.mass_u_g if part else point.plan_g / 10
    traced = trace(job, job.plan, piece, scales)
    place = traced.places.get(step.address) if traced else None
    if traced is None or place is None or traced.course.stages[place].done:
        return None
    ahead = expected(traced.course, place)
    weight = ahead.gain if point.kind == "gain" else ahead.whole
    return weight.g, weight.u_g


def _layer(job: JobState, step: Step, piece: PiecePlan, scales: Scales) -> Layer | None:
    traced: Traced | None = trace(job, job.plan, piece, scales) if job.plan else None
    place = traced.places.get(step.address) if traced else None
    stage = traced.course.stages[place] if traced and place is not None else None
    return stage if isinstance(stage, Layer) else None


def _standing_g(job: JobState, step: Step) -> float | None:
    """The piece as it stood on the scale before this gain, as far as weighings tell."""
    blanks = [
        w.net_g
        for w in job.weighings.values()
        if (s := job.steps.get(w.address)) and s.piece == step.piece and s.part == step.part
    ]
    return sum(blanks) if blanks else None


def _twins(job: JobState, step: Step, scales: Scales) -> tuple[Twin, ...]:
    """The other pieces at the same weigh point: what they should read and did read."""
    at = (step.part, step.file_step, step.address.rpartition("#")[2], step.act)
    out: list[Twin] = []
    for other in job.steps.values():
        same = (other.part, other.file_step, other.address.rpartition("#")[2], other.act) == at
        if not same or other.piece in (step.piece, "") or other.piece in job.spoiled:
            continue
        point, record = other.weigh, job.weighing_at(other.address)
        if point is not None and point.plan_g is not None and len(out) < TWIN_LIMIT:
            u = (point.tolerance_g or 0.03 * point.plan_g) / 3.0
            label = next((p.label or p.name for p in (job.plan.pieces if job.plan else ())
                          if p.name == other.piece), other.piece)  # fmt: skip
            out.append(Twin(label, point.plan_g, u, record.net_g if record else None))
    return tuple(out)
