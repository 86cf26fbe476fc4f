"""Is what was typed a slip? Asked before it counts, with the likely slip named."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice

from benchmate.job.state.state import JobState
from benchmate.job.weights.courses import Scales, Traced, trace
from benchmate.landing.ahead import STANDING, covariance, drift, mean, terms, total
from benchmate.landing.course import LayerCourse, Linear, PieceCourse, Weight
from benchmate.landing.follow import KnownWeight, follow
from benchmate.landing.question import DoubtAsked, Twin, WeightQuestion, question
from benchmate.landing.words import Say, grams
from benchmate.plan.plan import PiecePlan, Step, WeighPoint

TWIN_LIMIT = 12


@dataclass(frozen=True)
class Read:
    """A net weight as it was typed: its standard uncertainty, its tare, and its unit."""

    net_g: float
    u_g: float
    tare_g: float | None = None
    ounces: bool = False


def question_of(
    job: JobState, step: Step, read: Read, scales: Scales, say: Say = grams
) -> WeightQuestion | None:
    """The question that a weight raises at a step; None where it may count as it is."""
    asked = asked_of(job, step, read, scales)
    return question(read.net_g, asked, say) if asked is not None else None


def asked_of(job: JobState, step: Step, read: Read, scales: Scales) -> DoubtAsked | None:
    """What was asked for at a step; None where nothing is known to compare with.

    A weighing that stands there already counts for nothing: the second is expected like the first.
    """
    point, piece = step.weigh, _piece(job, step)
    if point is None or piece is None:
        return None
    before = _without(job, step)
    traced = _traced(before, piece, scales)
    wanted = _expected(before, step, point, traced)
    if wanted is None:
        return None
    layer = _layer(step, traced)
    return DoubtAsked(
        kind=point.kind,
        piece=_label(job, step),
        expected_g=wanted.g,
        expected_u_g=wanted.u_g,
        u_g=read.u_g,
        before_g=_standing_g(before, step),
        tare_g=_last_tare_g(job) if read.tare_g is None else read.tare_g,
        void_ml=layer.void_ml if layer else None,
        metal_g_cm3=layer.fill.shot_g_cm3 if layer else None,
        twins=tuple(twins(job, step, scales)),
        unit="oz" if read.ounces else "g",
    )


def twins(job: JobState, step: Step, scales: Scales) -> Iterator[Twin]:
    """The other pieces at the same weigh point, and where parts are weighed the piece's other
    parts: what they should read and did read, with the addresses of their steps."""
    return islice(_every_twin(job, step, scales), TWIN_LIMIT)


def _every_twin(job: JobState, step: Step, scales: Scales) -> Iterator[Twin]:
    for other in job.steps.values():
        if not _is_twin(job, step, other) or other.weigh is None:
            continue
        piece = _piece(job, other)
        before = _without(job, other)
        traced = _traced(before, piece, scales) if piece else None
        wanted = _expected(before, other, other.weigh, traced)
        record = job.weighing_at(other.address)
        if wanted is not None:
            read_g = record.net_g if record else None
            yield Twin(_label(job, other), wanted.g, wanted.u_g, read_g, other.address)


def _is_twin(job: JobState, step: Step, other: Step) -> bool:
    if other.address == step.address or other.piece in ("", *job.spoiled):
        return False
    same = (other.file_step, other.act, _number(other)) == (
        step.file_step,
        step.act,
        _number(step),
    )
    return same and (other.part == step.part or (other.piece == step.piece and _is_part(step)))


def _number(step: Step) -> str:
    return step.address.rpartition("#")[2]


def _is_part(step: Step) -> bool:
    return step.weigh is not None and step.weigh.weighed in ("blank", "part")


def _piece(job: JobState, step: Step) -> PiecePlan | None:
    pieces = job.plan.pieces if job.plan else ()
    return next((p for p in pieces if p.name == step.piece), None)


def _label(job: JobState, step: Step) -> str:
    """What stands on the scale: "bookend B", or "bookend B's cover" where parts are weighed."""
    piece = _piece(job, step)
    name = (piece.label or piece.name) if piece else step.piece
    return f"{name}'s {step.part}" if step.part and _is_part(step) else name


def _without(job: JobState, step: Step) -> JobState:
    """The job as if the step hadn't been done and weighed."""
    where = step.address
    return replace(
        job,
        done={a: d for a, d in job.done.items() if a != where},
        weighings={v: w for v, w in job.weighings.items() if w.address != where},
    )


def _traced(job: JobState, piece: PiecePlan, scales: Scales) -> Traced | None:
    return trace(job, job.plan, piece, scales) if job.plan else None


def _expected(job: JobState, step: Step, point: WeighPoint, traced: Traced | None) -> Weight | None:
    """What the scale should show at a weigh point, from all that is recorded before it."""
    if point.weighed in ("blank", "part"):
        parts = job.plan.parts if job.plan else ()
        part = next((p for p in parts if (p.piece, p.name) == (step.piece, step.part)), None)
        if point.plan_g is None:
            return None
        return Weight(point.plan_g, part.mass_u_g if part else point.plan_g / 10)
    place = traced.places.get(step.address) if traced else None
    if traced is None or place is None:
        return None
    return _gain(traced.course, place) if point.kind == "gain" else _whole(traced.course, place)


def _gain(course: PieceCourse, place: int) -> Weight | None:
    known = follow(course)
    own = dict(terms(known)).get(place)
    return _weight(known, own) if own is not None else None


def _whole(course: PieceCourse, place: int) -> Weight:
    """The piece as it should stand after a stage, whatever came later."""
    known = follow(replace(course, stages=course.stages[: place + 1]))
    ahead = [term for _, term in (*terms(known), *drift(known))]
    return _weight(known, total([STANDING, *ahead]))


def _weight(known: KnownWeight, term: Linear) -> Weight:
    return Weight(mean(known, term), math.sqrt(max(0.0, covariance(known, term, term))))


def _layer(step: Step, traced: Traced | None) -> LayerCourse | None:
    place = traced.places.get(step.address) if traced else None
    stage = traced.course.stages[place] if traced and place is not None else None
    return stage if isinstance(stage, LayerCourse) else None


def _standing_g(job: JobState, step: Step) -> float | None:
    """The piece as it stood on the scale before this step, as far as weighings tell."""
    standing: float | None = None
    for other in job.steps.values():
        if other.address == step.address:
            break
        if other.piece != step.piece or other.weigh is None:
            continue
        record = job.weighing_at(other.address)
        if record is None:
            continue
        if other.weigh.kind == "gain":
            standing = None if standing is None else standing + record.net_g
        elif other.weigh.weighed == "whole" or other.part == step.part:
            standing = record.net_g
    return standing


def _last_tare_g(job: JobState) -> float | None:
    """The tare that was last taken off in this job: the cup or jig that is likely still on."""
    tares = (w.tare_g for w in reversed(list(job.weighings.values())) if w.tare_g)
    return next(tares, None)
