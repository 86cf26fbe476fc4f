"""Weighing, for both front doors: read it, compare it, ask where it looks wrong, record it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from benchmate.bench.service import Bench
from benchmate.bench.weights.scales import Known, begin_with_settings, knows, scale_of, scales_of
from benchmate.bench.weights.slips import (
    Doubtful,
    Gross,
    Instead,
    Typed,
    far_from_plan,
    finer_than_scale,
    in_ounces,
    instead_of,
    wrong_material,
)
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.guards import check_step
from benchmate.job.deciding.weights import check_unweighed, split_of
from benchmate.job.state.state import JobState, Running, Weighing
from benchmate.job.weights.slips import Read, question_of
from benchmate.job.weights.verdicts import ASSUMED_DIVISION_G, judge_weighing
from benchmate.job.windows.agenda import Act
from benchmate.job.words.phrases import weighed_what
from benchmate.landing.verdict import Judgement
from benchmate.landing.words import say_in
from benchmate.moment import Moment
from benchmate.plan.plan import Step
from benchmate.quantities import TypedReading, Units, parse_reading, show_mass
from benchmate.refusal import Refused


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


class Answer(NamedTuple):
    """What a recorded weight means; `judgement` is None where there is nothing to judge by."""

    said: str
    judgement: Judgement | None = None


def weigh_point(bench: Bench, job: str) -> Act | None:
    """The weigh point that is due in a job: the most urgent, or that of the act in hand."""
    ready = [a for a in bench.agenda().ready if a.job == job]
    due = [a for a in ready if a.kind == "weigh"]
    pours = [a for a in ready if a.kind == "do" and a.step and a.step.weigh]
    return next(iter(due + pours), None)


@dataclass(frozen=True)
class _Reading:
    """What was typed, understood: readings, step, net weight, what the scale knows of it."""

    state: JobState
    step: Step | None
    gross: tuple[TypedReading, ...]
    tare: tuple[TypedReading, ...]
    running: tuple[Running, ...]
    net_g: float
    known: Known

    @property
    def weighing(self) -> Weighing:
        """As it would be recorded."""
        known = self.known
        return Weighing(
            self.step.address if self.step else "",
            self.net_g,
            0,
            self.state.started,
            self.net_g,
            known.u_g,
            known.name,
            known.scale.division_g,
            dof=known.dof,
        )

    @property
    def read(self) -> Gross:
        """As it stood on the display."""
        return Gross(self.gross, _mean(self.gross), self.net_g, self.known.scale.division_g)


def _understand(bench: Bench, job: str, address: str, typed: Typed) -> _Reading:
    state = _state(bench, job)
    gross = read_several(typed.weight)
    tare = read_several(typed.tare) if typed.tare else ()
    step = check_step(state, address) if address else None
    running = state.running.get(step.address, ()) if step else ()
    known = knows(bench, typed.scale, gross, tare)
    return _Reading(state, step, gross, tare, running, _net(gross, tare, running, step), known)


def preview(bench: Bench, job: str, address: str, typed: Typed) -> Preview:
    """What a typed weight would mean. Raises QuantityError or Refused with one sentence."""
    return _meaning(bench, _understand(bench, job, address, typed), typed)


def _meaning(bench: Bench, it: _Reading, typed: Typed) -> Preview:
    plan = it.step.weigh.plan_g if it.step and it.step.weigh else None
    say = say_in(bench.settings.units)
    found = judge_weighing(it.state, it.weighing, bench.shop.rules, scales_of(bench), say)
    last = Running(it.gross[0].value_g, typed.weight, typed.adding, 0)
    return Preview(
        net_g=it.net_g,
        difference_g=None if plan is None else it.net_g - plan,
        said=_said(bench, it.net_g, plan, found),
        judgement=found,
        to_go_g=None if plan is None else plan - it.net_g,
        split=split_of((*it.running, last)) or None if it.running else None,
    )


def record_weight(
    bench: Bench,
    job: str,
    address: str,
    typed: Typed,
    *,
    running: bool = False,
    stands: bool = False,
    again: bool = False,
    at: Moment | None = None,
) -> str:
    """Record a weight (or a running reading) and say what it means.

    Raises Doubtful, with nothing recorded, for what looks like a slip; `stands` records it all
    the same, and with it what was asked.
    """
    return weigh_in(
        bench, job, address, typed, running=running, stands=stands, again=again, at=at
    ).said


def weigh_in(
    bench: Bench,
    job: str,
    address: str,
    typed: Typed,
    *,
    running: bool = False,
    stands: bool = False,
    again: bool = False,
    at: Moment | None = None,
) -> Answer:
    """As `record_weight`, with the verdict. `again`: a second weight of the point is meant."""
    if running:
        return _read_running(bench, job, address, typed, at, stands=stands)
    begin_with_settings(bench)
    it = _understand(bench, job, address, typed)
    asked = _doubt(bench, it, typed)
    _check_above_zero(it)
    if asked is not None and not stands:
        raise asked
    if it.step is not None:
        check_unweighed(it.state, it.step, again=again)
    seen, known = _meaning(bench, it, typed), it.known
    bench.do(
        job,
        cmd.Weigh(
            address=address,
            net_g=it.net_g,
            gross=_texts(it.gross),
            tare=_texts(it.tare),
            gross_g=_mean(it.gross),
            tare_g=_mean(it.tare) if it.tare else None,
            scale=known.name,
            u_g=known.u_g,
            dof=None if math.isinf(known.dof) else known.dof,
            division_g=known.scale.division_g,
            piece=typed.piece,
            what=typed.what,
            split=seen.split or {},
            at=at,
            stands=str(asked) if asked else "",
            again=again,
        ),
    )
    where = weighed_what(it.state, it.step.address if it.step else "", typed.what, typed.piece)
    where = where[:1].upper() + where[1:] or "Weighed"
    return Answer(f"{where}: {seen.said}.", seen.judgement)


def record_instead(bench: Bench, job: str, address: str, instead: Instead) -> Answer:
    """Record what was likely meant in a slip's place; of swapped readings, put both right."""
    answer = weigh_in(bench, job, address, instead.typed, running=bool(instead.typed.adding))
    there = _state(bench, job).weighing_at(instead.swapped) if instead.swapped else None
    if there is not None:
        other = cmd.Correct(
            version=there.version, net_g=instead.swapped_g, reason="the readings were swapped"
        )
        bench.do(job, other)
    return answer


def _read_running(
    bench: Bench, job: str, address: str, typed: Typed, at: Moment | None, *, stands: bool
) -> Answer:
    reading_g, state = read_several(typed.weight)[0].value_g, _state(bench, job)
    step = check_step(state, address)
    before = state.running.get(step.address, ())
    asked = wrong_material(step, before, reading_g, typed, say_in(bench.settings.units))
    if asked is not None and not stands:
        raise asked
    made = cmd.ReadScale(
        address=address, reading_g=reading_g, text=typed.weight, adding=typed.adding, at=at
    )
    bench.do(job, made)
    return Answer(_to_go(bench, job, address))


def _doubt(bench: Bench, it: _Reading, typed: Typed) -> Doubtful | None:
    """What a weight should be asked about before it counts."""
    scales, say = scales_of(bench), say_in(bench.settings.units)
    finer = finer_than_scale(typed, it.read, it.known.name, say)
    if it.step is None:
        return finer
    tare_g = _mean(it.tare) if it.tare else None
    read = Read(it.net_g, it.known.u_g, tare_g, in_ounces(typed))
    asked = question_of(it.state, it.step, read, scales, say)
    asked = asked or far_from_plan(it.step, it.net_g, say)
    if asked is None:
        return finer
    return Doubtful(asked, instead_of(it.state, it.step, asked, typed, it.read, scales))


def _check_above_zero(it: _Reading) -> None:
    """A piece weighs something, whatever is said; what a step added is asked about."""
    whole = it.step is not None and it.step.weigh is not None and it.step.weigh.kind == "whole"
    if whole and it.net_g < 0.0:
        raise Refused("A weight below zero? Zero the scale and weigh again.")


def _state(bench: Bench, job: str) -> JobState:
    state = bench.job(job)
    if state is None:
        raise Refused(f"There is no job “{job[:40]}”.")
    return state


def read_several(text: str) -> tuple[TypedReading, ...]:
    """One reading, or several of the same load: "118.4 g; 118.6 g; 118.5 g"."""
    parts = [p for p in text.split(";") if p.strip()] or [text]
    return tuple(parse_reading(p) for p in parts)


def _mean(readings: Sequence[TypedReading]) -> float:
    return sum(r.value_g for r in readings) / len(readings)


def _texts(readings: Sequence[TypedReading]) -> tuple[str, ...]:
    return tuple(r.text for r in readings)


def _net(
    readings: Sequence[TypedReading],
    tare: Sequence[TypedReading],
    running: tuple[Running, ...],
    step: Step | None,
) -> float:
    """Net weight: less the tare; in a pour on the scale, less the reading it began with."""
    gross = _mean(readings)
    if tare:
        return gross - _mean(tare)
    if running and step and step.weigh and step.weigh.kind == "gain":
        return gross - running[0].reading_g
    return gross


def _said(bench: Bench, net: float, plan: float | None, found: Judgement | None) -> str:
    units = bench.settings.units
    text = show_mass(net, units)
    if plan is None:
        return text
    text += f", plan {show_mass(plan, units)}"
    return f"{text}: {found.said(say_in(units))}" if found else text


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
        parts.append(", ".join(split_said(what, g, units) for what, g in split.items()))
    return "; ".join(parts)


def split_said(what: str, grams: float, units: Units) -> str:
    """ "101 g shot"; what the scale shows as less was taken out again, or misread."""
    text = f"{show_mass(abs(grams), units)} {what}"
    return f"{text} less than before" if grams < 0 else text


__all__ = [
    "ASSUMED_DIVISION_G",
    "Answer",
    "Doubtful",
    "Instead",
    "Preview",
    "Typed",
    "preview",
    "record_instead",
    "record_weight",
    "scale_of",
    "split_said",
    "weigh_in",
    "weigh_point",
]
