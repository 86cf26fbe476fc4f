"""`benchmate begin` and `benchmate cup`: hands laid on, what was mixed, what is left."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench.shelf.cups import newest_cup, say_amounts
from benchmate.cli.acts import answer_back
from benchmate.cli.opening import at_option, fail, job_option, moment_from, pick_job, the_bench
from benchmate.cli.saying import put
from benchmate.job.deciding import commands as cmd
from benchmate.job.weights.cups import cup_in_hand
from benchmate.job.words.event_text import tell


@click.command()
@click.argument("address")
@job_option
@at_option
@click.pass_obj
def begin(home: Path | None, address: str, job: str | None, at: str | None) -> None:
    """Say that hands are laid on a step: its time counts from now."""
    with the_bench(home) as bench:
        state = pick_job(bench, job, address)
        made = bench.do(state.job, cmd.Begin(address=address, at=moment_from(bench, at)))
        put(f"Recorded: {tell(made[0].event)}.")


@click.command()
@click.argument("address", required=False, default="")
@click.option("--left", metavar="GRAMS", help="What is left in the cup.")
@click.option("--mixed", metavar="GRAMS", help="How much was mixed.")
@click.option(
    "--used", multiple=True, metavar="WHAT=GRAMS", help="How much of a material an act used."
)
@job_option
@click.pass_obj
def cup(
    home: Path | None,
    address: str,
    left: str | None,
    mixed: str | None,
    used: tuple[str, ...],
    job: str | None,
) -> None:
    """Say of a mix (by default the last) what is left in the cup, or how much was mixed."""
    parts = [f"mixed {mixed}"] if mixed else []
    parts += [text.replace("=", " ") for text in used] + ([f"left {left}"] if left else [])
    if not parts:
        fail("Say --left and grams, --mixed and grams, or --used and WHAT=GRAMS.")
    with the_bench(home) as bench:
        if address or job:
            state = pick_job(bench, job, address, also_clocks=True)
            where = address or cup_in_hand(state)
            if not where:
                fail(f"No cup has been mixed in {state.title} yet.")
        else:
            state, where = newest_cup(bench)
        answer_back(bench, say_amounts(bench, state, where, "; ".join(parts)))
