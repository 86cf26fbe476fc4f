"""`benchmate clock`: the clocks of a material, with no job and no file."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench.next_line import clock_of
from benchmate.bench.shelf.materials import own_material
from benchmate.bench.shelf.materials_for_job import USUAL, against_of
from benchmate.bench.shelf.shelf import cautions_of, rough_windows, start_clock
from benchmate.cli.opening import (
    answer_back,
    at_option,
    job_option,
    moment_from,
    pick_job,
    the_bench,
)
from benchmate.cli.saying import put
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.guards import clocks_named
from benchmate.job.words.event_text import tell
from benchmate.job.words.phrases import window_text
from benchmate.quantities import parse_mass_g

TESTED = {"ready": True, "not ready": False}


@click.command()
@click.argument("material")
@click.argument("did")
@click.option("--name", default="", help="What it is for: lamp foot, lid …")
@click.option("--piece", default="", help="The piece, in a job without a plan.")
@click.option("--grams", help="What the cup holds.")
@job_option
@at_option
@click.pass_obj
def clock(
    home: Path | None,
    material: str,
    did: str,
    name: str,
    piece: str,
    grams: str | None,
    job: str | None,
    at: str | None,
) -> None:
    """Start the clocks of a MATERIAL by what you DID: mixed, spread, closed, clamped, coated …

    Or say what a test of a running one showed: benchmate clock "hard oil" "not ready" (or ready).
    """
    with the_bench(home) as bench:
        if did in TESTED:
            state = pick_job(bench, job, material, fits=lambda j: bool(clocks_named(j, material)))
            test = cmd.Try(window=material, ready=TESTED[did], at=moment_from(bench, at))
            answer_back(bench, f"Recorded: {tell(bench.do(state.job, test)[0].event)}.")
            return
        found = own_material(bench, material)
        put(
            start_clock(
                bench,
                found,
                did,
                name=name,
                piece=piece,
                job=job or "",
                grams=parse_mass_g(grams, "g") if grams else None,
                at=moment_from(bench, at),
            )
        )
        for text in (*against_of(bench, found), *cautions_of(found)):
            put(text)
        rough = set(rough_windows(found))
        fresh = [v for v in bench.agenda().windows if v.window.name in rough]
        for view in bench.agenda().windows:
            mark = "~" if view.window.name in rough else " "
            put(f"{mark} {window_text(view, clock_of(bench))}")
        if fresh:
            put(f"{USUAL}: go by the data sheet.")
