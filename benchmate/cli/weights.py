"""Commands that record weights: weigh, correct."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.bench.weighing import Typed, record_weight, weigh_point
from benchmate.cli.acts import answer_back
from benchmate.cli.opening import at_option, fail, job_option, moment_from, pick_job, the_bench
from benchmate.job import commands as cmd
from benchmate.job.state import JobState
from benchmate.quantities import parse_mass_g


@click.command()
@click.argument("weight")
@click.argument("address", required=False, default="")
@click.option("--tare", default="", help="The reading before, or the empty vessel's.")
@click.option("--adding", default="", help="A running reading: what was being added before it.")
@click.option("--running", is_flag=True, help="A running reading, with more to come.")
@click.option("--scale", default="", help="Which scale, where several are described.")
@click.option("--stands", is_flag=True, help="It is right, though it looks wrong.")
@click.option("--piece", default="", help="Which piece, in a job without a plan.")
@click.option("--what", default="", help="What stands on the scale, in a job without a plan.")
@job_option
@at_option
@click.pass_obj
def weigh(
    home: Path | None, weight: str, address: str, tare: str, adding: str, running: bool,
    scale: str, stands: bool, piece: str, what: str, job: str | None, at: str | None,
) -> None:  # fmt: skip
    """Record a WEIGHT ("118.4 g") and hear how it compares with the plan.

    Without ADDRESS it belongs to the weigh point that is due.
    """
    with the_bench(home) as bench:
        state = pick_job(bench, job, address)
        typed = Typed(weight, tare, scale, adding, piece, what)
        said = record_weight(
            bench, state.job, address or _due(bench, state), typed,
            running=running or bool(adding), stands=stands, at=moment_from(bench, at),
        )  # fmt: skip
        answer_back(bench, said)


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
        answer_back(bench, f"Corrected to {weight}; the old weight stays in the logbook.")
