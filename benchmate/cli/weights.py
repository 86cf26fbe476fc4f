"""Commands that record weights: weigh, correct."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import NoReturn

import click

from benchmate.bench import Bench
from benchmate.bench.weights.weighing import Doubtful, Typed, weigh_in, weigh_point
from benchmate.cli.acts import answer_back
from benchmate.cli.opening import at_option, fail, job_option, moment_from, pick_job, the_bench
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.guards import check_step
from benchmate.job.state.state import JobState
from benchmate.landing.verdict import Judgement, Verdict
from benchmate.quantities import parse_mass_g, show_mass


@click.command()
@click.argument("weight")
@click.argument("address", required=False, default="")
@click.option("--tare", default="", help="The reading before, or the empty vessel's.")
@click.option("--adding", default="", help="A running reading: what was being added before it.")
@click.option("--running", is_flag=True, help="A running reading, with more to come.")
@click.option("--scale", default="", help="Which scale, where several are described.")
@click.option("--stands", is_flag=True, help="It is right, though it looks wrong.")
@click.option("--again", is_flag=True, help="It was weighed once more: this weight counts.")
@click.option("--why", is_flag=True, help="Say what the verdict rests on, though it is on plan.")
@click.option("--piece", default="", help="Which piece, in a job without a plan.")
@click.option("--what", default="", help="What stands on the scale, in a job without a plan.")
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
    stands: bool,
    again: bool,
    why: bool,
    piece: str,
    what: str,
    job: str | None,
    at: str | None,
) -> None:
    """Record a WEIGHT ("118.4 g") and hear how it compares with the plan.

    Several readings of one load are parted by semicolons: "118.4; 118.6; 118.5 g". Without
    ADDRESS it belongs to the weigh point that is due.
    """
    with the_bench(home) as bench:
        state = pick_job(bench, job, address)
        typed = Typed(weight, tare, scale, adding, piece, what)
        where = address or _due(bench, state)
        try:
            answer = weigh_in(
                bench,
                state.job,
                where,
                typed,
                running=running or bool(adding),
                stands=stands,
                again=again,
                at=moment_from(bench, at),
            )
        except Doubtful as asked:
            _ask(asked, state, where)
        more = [] if running or adding else _what_follows(bench, state.job, where)
        answer_back(bench, "\n".join([answer.said, *_reasons(answer.judgement, why=why), *more]))


def _reasons(found: Judgement | None, *, why: bool) -> list[str]:
    """The verdict's two lines, where they are asked for or it isn't simply on plan."""
    if found is None or (found.verdict is Verdict.ON_PLAN and not why):
        return []
    return [f"  {line}" for line in found.lines]


def _what_follows(bench: Bench, job: str, where: str) -> list[str]:
    """Where the piece is heading now, and the adjustment that would land it."""
    from benchmate.bench.weights.will_weigh import after_weighing

    state = bench.job(job)
    if state is None or state.plan is None or not where:
        return []
    return list(after_weighing(bench, state, check_step(state, where).piece))


def _ask(asked: Doubtful, state: JobState, where: str) -> NoReturn:
    """Nothing is recorded before the maker says what it is."""
    lines = [str(asked), "Nothing is recorded yet. With --stands it is recorded as it is."]
    if asked.instead is not None:
        words = ["benchmate", "weigh", asked.instead.typed.weight, check_step(state, where).address]
        words += ["--tare", asked.instead.typed.tare] if asked.instead.typed.tare else []
        words += ["--adding", asked.instead.typed.adding] if asked.instead.typed.adding else []
        lines.append(f"If that is what it was: {shlex.join(words)}")
        swapped = state.weighing_at(asked.instead.swapped)
        if swapped is not None:
            there = f"{asked.instead.swapped_g:.6g} g"
            words = ["benchmate", "correct", str(swapped.version), there, "--job", state.job]
            lines.append(f"and for the other one: {shlex.join(words)}")
    fail("\n".join(lines))


def _due(bench: Bench, state: JobState) -> str:
    if state.plan is None:
        return ""
    found = weigh_point(bench, state.job)
    if found is None:
        fail("No weight is due. Name a weigh point: its step's address.")
    return found.address


@click.command()
@click.argument("event", type=int)
@click.argument("weight")
@click.option("--reason", default="")
@job_option
@click.pass_obj
def correct(home: Path | None, event: int, weight: str, reason: str, job: str | None) -> None:
    """Correct the weight recorded by EVENT (its number in the logbook)."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        value = parse_mass_g(weight, "g")
        bench.do(state.job, cmd.Correct(version=event, net_g=value, reason=reason, text=weight))
        said = show_mass(value, bench.settings.units)
        answer_back(bench, f"Corrected to {said}; the old weight stays in the logbook.")
