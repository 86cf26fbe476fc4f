"""`benchmate weights`: what each piece will weigh, and the adjustment that would land it."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.bench.weights.will_weigh import (
    aim_data,
    aims,
    doubt_text,
    offer_data,
    offer_of,
    offer_texts,
    take_offer,
    why_no_offer,
    will_weigh_text,
)
from benchmate.cli.opening import (
    answer_back,
    job_option,
    json_option,
    pick_job,
    say_json,
    the_bench,
)
from benchmate.cli.saying import put
from benchmate.job.state.state import JobState
from benchmate.landing.words import say_in


@click.command()
@click.option("--accept", "accepts", is_flag=True, help="Put the adjustment into the plan.")
@click.option(
    "--void",
    metavar="PIECE=MEASURE",
    help='A void measured before the pour: "A=46 mm" (deep), "A=31 mm wide", "A=98 ml", '
    '"A=98.4 g" (of water), "A=460 g shot".',
)
@click.option("--plot", is_flag=True, help="Draw each piece's weight over the steps.")
@job_option
@json_option
@click.pass_obj
def weights(
    home: Path | None,
    accepts: bool,
    void: str | None,
    plot: bool,
    job: str | None,
    as_json: bool,
) -> None:
    """Say what each piece will weigh when it is finished, how sure that is, and what would land it.

    Worked out from what was weighed, what is planned, and what is still to come off and go on.
    """
    with the_bench(home, write=accepts) as bench:
        state = pick_job(bench, job)
        if void:
            from benchmate.cli.jobs.measured import say_measured

            say_measured(bench, state, void, takes=accepts, as_json=as_json)
        elif accepts:
            lines = take_offer(bench, state.job)
            answer_back(bench, "\n".join(["The plan is changed:", *(f"  {x}" for x in lines)]))
        elif as_json:
            found = [aim_data(aim) for aim in aims(bench, state)]
            offer = offer_data(offer_of(bench, state))
            say_json({"job": state.job, "pieces": found, "adjustment": offer})
        else:
            say_will_weigh(bench, state, plot=plot)


def say_will_weigh(bench: Bench, state: JobState, *, plot: bool) -> None:
    """Every piece in a few lines, then the adjustment."""
    say = say_in(bench.settings.units)
    found = aims(bench, state)
    for aim in found:
        put(f"{will_weigh_text(aim, say)}.")
        if doubt := doubt_text(aim.will_weigh):
            put(f"  {doubt}")
        if aim.last is not None:
            put(f"  {aim.last.sentence.partition(', ')[2]}")
        if plot:
            from benchmate.cli.jobs.course_plot import plot_text

            put(plot_text(aim.plot, say))
    if not found:
        put(f"{state.title} has no plan that says what its pieces weigh.")
        return
    offer = offer_of(bench, state)
    for text in offer_texts(offer) if offer is not None else (why_no_offer(bench, state),):
        put(text)
    if offer is not None and any(p.changes for p in offer.pieces):
        put("To accept it: `benchmate weights --accept`")
