"""Weighing, for both front doors: read it, compare it, ask where it looks wrong, record it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchmate.bench.service import Bench
from benchmate.job import commands as cmd
from benchmate.job.agenda import Act
from benchmate.job.checks import check_step
from benchmate.job.courses import scale_of as course_scale
from benchmate.job.decide_weights import split_of
from benchmate.job.drift import ASSUMED_DIVISION_G, judge
from benchmate.job.moment import Moment
from benchmate.job.phrases import short_address
from benchmate.job.plan import Step
from benchmate.job.questions import question_of
from benchmate.job.refusal import Refused
from benchmate.job.state import JobState, Running, Weighing
from benchmate.landing.question import Question
from benchmate.landing.verdict import Judgement
from benchmate.quantities import Reading, parse_mass_g, parse_reading, show_mass
from benchmate.reckon.weighing import Scale, combine, net_terms


class Doubtful(Refused):
    """A weight that looks like a slip. Recorded all the same when the maker says it stands."""

    def __init__(self, asked: Question) -> None:
        super().__init__(asked.sentence)
        self.question = asked


@dataclass(frozen=True)
class Typed:
    """What the maker typed: a weight, and with it perhaps a tare, a scale, what was added."""

    weight: str
    tare: str = ""
    scale: str = ""
    adding: str = ""
    piece: str = ""
    what: str = ""


@dataclass(frozen=True)
class Preview:
    """What a weight would mean, before it is recorded."""

    net_g: float
    difference_g: float | None
    said: str
    """The difference and the verdict, in words."""
    judgement: Judgement | None
    to_go_g: float | None = None
    split: dict[str, float] | None = None


def weigh_point(bench: Bench, job: str) -> Act | None:
    """The weigh point that is due in a job: the most urgent, or that of the act in hand."""
    ready = [a for a in bench.agenda().ready if a.job == job]
    due = [a for a in ready if a.kind == "weigh"]
    pours = [a for a in ready if a.kind == "do" and a.step and a.step.weigh]
    return next(iter(due + pours), None)


def scale_of(bench: Bench, name: str = "") -> tuple[str, float | None]:
    """The scale meant (the only one, or the named one) and its division."""
    scales = bench.shop.scales
    if name and name not in scales:
        known = ", ".join(scales) or "none is described yet"
        raise Refused(f"There is no scale “{name[:30]}”; known: {known}.")
    if not name and len(scales) == 1:
        name = next(iter(scales))
    return (name, scales[name].described.division_g) if name else ("", None)


def preview(bench: Bench, job: str, address: str, typed: Typed) -> Preview:
    """What a typed weight would mean. Raises QuantityError or Refused with one sentence."""
    state, readings, tare = _state(bench, job), read_several(typed.weight), _tare(typed)
    reading = readings[0]
    step = check_step(state, address) if address else None
    name, _ = scale_of(bench, typed.scale)
    running = state.running.get(step.address, ()) if step else ()
    net = _net(readings, tare, running, step)
    known = _known(bench, name, readings, tare)
    weighing = Weighing(
        step.address if step else "", net, 0, bench.now(), net, known.u_g, name,
        known.scale.division_g, dof=known.dof,
    )  # fmt: skip
    found = judge(state, weighing, bench.shop.rules)
    plan = step.weigh.plan_g if step and step.weigh else None
    extra = (Running(reading.value_g, typed.weight, typed.adding, 0),) if running else ()
    return Preview(
        net_g=net,
        difference_g=None if plan is None else net - plan,
        said=_said(bench, net, plan, found),
        judgement=found,
        to_go_g=None if plan is None else plan - net,
        split=split_of((*running, *extra)) or None,
    )


def record_weight(
    bench: Bench,
    job: str,
    address: str,
    typed: Typed,
    *,
    running: bool = False,
    stands: bool = False,
    at: Moment | None = None,
) -> str:
    """Record a weight (or a running reading) and say what it means."""
    state = _state(bench, job)
    readings, tare = read_several(typed.weight), _tare(typed)
    if running:
        made = cmd.ReadScale(address=address, reading_g=readings[0].value_g, text=typed.weight,
                             adding=typed.adding)  # fmt: skip
        bench.do(job, made)
        return _to_go(bench, job, address)
    seen = preview(bench, job, address, typed)
    step = check_step(state, address) if address else None
    name, _ = scale_of(bench, typed.scale)
    known = _known(bench, name, readings, tare)
    asked = _ask(bench, state, step, seen.net_g, known.u_g, typed)
    if asked is not None and not stands:
        raise Doubtful(asked)
    bench.do(
        job,
        cmd.Weigh(
            address=address, net_g=seen.net_g, gross=tuple(r.text for r in readings),
            tare=(typed.tare,) if typed.tare else (), gross_g=_mean(readings),
            tare_g=tare.value_g if tare else None, scale=name, u_g=known.u_g,
            dof=None if math.isinf(known.dof) else known.dof,
            division_g=known.scale.division_g, piece=typed.piece, what=typed.what,
            split=seen.split or {}, at=at, stands=asked.sentence if asked else "",
        ),
    )  # fmt: skip
    where = short_address(step.address) if step else (typed.what or typed.piece or "weighed")
    return f"{where}: {seen.said}."


def _state(bench: Bench, job: str) -> JobState:
    state = bench.job(job)
    if state is None:
        raise Refused(f"There is no job “{job[:40]}”.")
    return state


def _tare(typed: Typed) -> Reading | None:
    return parse_reading(typed.tare) if typed.tare else None


def read_several(text: str) -> tuple[Reading, ...]:
    """One reading, or several of the same load: "118.4 g; 118.6 g; 118.5 g"."""
    parts = [p for p in text.split(";") if p.strip()] or [text]
    return tuple(parse_reading(p) for p in parts)


def _mean(readings: Sequence[Reading]) -> float:
    return sum(r.value_g for r in readings) / len(readings)


@dataclass(frozen=True)
class Known:
    """What the scale knows of a net weight."""

    scale: Scale
    u_g: float
    dof: float


def _known(bench: Bench, name: str, readings: Sequence[Reading], tare: Reading | None) -> Known:
    """The doubt of a net weight, by the scale as described, or by the digits that were read."""
    described = bench.shop.scales[name].described if name else None
    division = readings[0].division_g or parse_mass_g(bench.settings.scale.division)
    scale = course_scale(described, division)
    budget = combine(net_terms(scale, len(readings), 1))
    return Known(scale, budget.u, budget.dof)


def _ask(
    bench: Bench, state: JobState, step: Step | None, net_g: float, u_g: float, typed: Typed
) -> Question | None:
    """What a weight should be asked about before it counts."""
    if step is None:
        return None
    scales = {n: r.described for n, r in bench.shop.scales.items()}
    ounces = typed.weight.strip().lower().endswith("oz")
    return question_of(state, step, net_g, u_g, scales, ounces=ounces)


def _net(
    readings: Sequence[Reading], tare: Reading | None, running: tuple[Running, ...],
    step: Step | None,
) -> float:  # fmt: skip
    """Net weight: less the tare; in a pour on the scale, less the reading it began with."""
    gross = _mean(readings)
    if tare is not None:
        return gross - tare.value_g
    if running and step and step.weigh and step.weigh.kind == "gain":
        return gross - running[0].reading_g
    return gross


def _said(bench: Bench, net: float, plan: float | None, found: Judgement | None) -> str:
    units = bench.settings.units
    text = show_mass(net, units)
    if plan is None:
        return text
    text += f", plan {show_mass(plan, units)}"
    return f"{text}: {found.said()}" if found else text


def _to_go(bench: Bench, job: str, address: str) -> str:
    """After a running reading: "62 g to go; so far 101 g shot, 9 g resin"."""
    state = _state(bench, job)
    step = check_step(state, address)
    readings = state.running.get(step.address, ())
    units = bench.settings.units
    gained = readings[-1].reading_g - readings[0].reading_g
    plan = step.weigh.plan_g if step.weigh else None
    parts = [f"{show_mass(gained, units)} in"]
    if plan is not None:
        left = plan - gained
        word = "to go" if left >= 0 else "too much"
        parts.append(f"{show_mass(abs(left), units)} {word}")
    split = split_of(readings)
    if split:
        parts.append(", ".join(f"{show_mass(g, units)} {what}" for what, g in split.items()))
    return "; ".join(parts)


__all__ = [
    "ASSUMED_DIVISION_G", "Doubtful", "Preview", "Typed", "preview", "record_weight", "scale_of",
    "weigh_point",
]  # fmt: skip
