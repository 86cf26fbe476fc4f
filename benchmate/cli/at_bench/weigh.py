"""`benchmate weigh`: a weight, what was left in a cup, and a weight put right."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import NoReturn

import click

from benchmate.bench import Bench
from benchmate.bench.weights.weighing import Doubtful, Typed, weigh_in, weigh_point
from benchmate.cli.at_bench.cup import correct_weight, say_of_cup
from benchmate.cli.opening import (
    answer_back,
    at_option,
    fail,
    job_option,
    keep_option,
    moment_from,
    pick_job,
    the_bench,
)
from benchmate.job.deciding.guards import check_step
from benchmate.job.state.state import JobState
from benchmate.landing.verdict import Judgement, Verdict


@click.command()
@click.argument("weight", required=False, default="")
@click.argument("address", required=False, default="")
@click.option("--tare", default="", help="The reading before, or the empty vessel's.")
@click.option("--adding", default="", help="While pouring: what was being added before it.")
@click.option("--running", is_flag=True, help="A reading while pouring, with more to come.")
@click.option("--scale", default="", help="The scale, where more than one is described.")
@keep_option
@click.option("--again", is_flag=True, help="It was weighed once more: this weight counts.")
@click.option("--why", is_flag=True, help="Say what the verdict rests on, even when it is on plan.")
@click.option("--piece", default="", help="The piece, in a job without a plan.")
@click.option("--what", default="", help="What is on the scale, in a job without a plan.")
@click.option("--left", metavar="GRAMS", help="Of a cup: what is left in it.")
@click.option("--mixed", metavar="GRAMS", help="Of a cup: how much was mixed.")
@click.option("--used", multiple=True, metavar="WHAT=GRAMS", help="What a step really used.")
@click.option(
    "--correct", metavar="ENTRY", help="Put a recorded weight right; the old one is kept."
)
@click.option("--reason", default="", help="With --correct: why.")
@job_option
@at_option
@click.pass_obj
def weigh(
    home: Path | None,
    weight: str,
    address: str,
    tare: str,
    adding: str,
    running: bool,
    scale: str,
    keep: bool,
    again: bool,
    why: bool,
    piece: str,
    what: str,
    left: str | None,
    mixed: str | None,
    used: tuple[str, ...],
    correct: str | None,
    reason: str,
    job: str | None,
    at: str | None,
) -> None:
    """Record a WEIGHT ("118.4 g") and compare it with the plan.

    Separate several readings of one load by semicolons: "118.4; 118.6; 118.5 g". Without ADDRESS
    it belongs to the weighing that is due. With --left, --mixed or --used no weight is given: they
    are about the last cup, or the one at ADDRESS.
    """
    if left or mixed or used:
        say_of_cup(home, weight, address, left, mixed, used, job)
        return
    if correct is not None:
        correct_weight(home, correct, weight, reason, job)
        return
    if not weight.strip():
        fail("Give the weight that the scale shows, for instance 118.4g.")
    with the_bench(home) as bench:
        state = pick_job(bench, job, address)
        typed = Typed(weight, tare, scale, adding, piece, what)
        where = address or _due(bench, state)
        unchecked = _scale_unchecked(bench, state)
        try:
            answer = weigh_in(
                bench,
                state.job,
                where,
                typed,
                running=running or bool(adding),
                stands=keep,
                again=again,
                at=moment_from(bench, at),
            )
        except Doubtful as asked:
            _ask(asked, state, where)
        more = [] if running or adding else _what_follows(bench, state.job, where)
        told = [answer.said, *_reasons(answer.judgement, why=why), *more, *unchecked]
        answer_back(bench, "\n".join(told))


def _scale_unchecked(bench: Bench, state: JobState) -> list[str]:
    """At a job's first weighing: the known weight, where it hasn't been put on for this job."""
    from benchmate.bench.weights.scales import check_due

    due = check_due(bench, state)
    if due is None:
        return []
    known = "500g" if due.nominal_g is None else f"{due.nominal_g:g}g"
    how = shlex.join(["benchmate", "scale", due.name, "--known", known, "--read"])
    return [f"The scale wasn't checked for this job. Put a known weight on: {how} WEIGHT"]


def _reasons(found: Judgement | None, *, why: bool) -> list[str]:
    """The verdict's two lines, where they are asked for or it isn't simply on plan."""
    if found is None or (found.verdict is Verdict.ON_PLAN and not why):
        return []
    return [f"  {line}" for line in found.lines]


def _what_follows(bench: Bench, job: str, where: str) -> list[str]:
    """What the piece will weigh now, and the adjustment that would bring it to its target."""
    from benchmate.bench.weights.will_weigh import after_weighing

    state = bench.job(job)
    if state is None or state.plan is None or not where:
        return []
    return list(after_weighing(bench, state, check_step(state, where).piece))


def _ask(asked: Doubtful, state: JobState, where: str) -> NoReturn:
    """Nothing is recorded before the maker says what it is."""
    lines = [str(asked), "Nothing is recorded yet. Add --keep to record it as it is."]
    if asked.instead is not None:
        words = ["benchmate", "weigh", asked.instead.typed.weight, check_step(state, where).address]
        words += ["--tare", asked.instead.typed.tare] if asked.instead.typed.tare else []
        words += ["--adding", asked.instead.typed.adding] if asked.instead.typed.adding else []
        lines.append(f"If that is what it was: {shlex.join(words)}")
        swapped = state.weighing_at(asked.instead.swapped)
        if swapped is not None:
            there = f"{asked.instead.swapped_g:.6g} g"
            words = ["benchmate", "weigh", there, "--correct", str(swapped.version)]
            words += ["--job", state.job]
            lines.append(f"and for the other one: {shlex.join(words)}")
    fail("\n".join(lines))


def _due(bench: Bench, state: JobState) -> str:
    if state.plan is None:
        return ""
    found = weigh_point(bench, state.job)
    if found is None:
        fail("No weight is due. Name the step that it belongs to.")
    return found.address
