"""`benchmate clock` and `did`: a material's windows, and other acts, with no file."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench.next_line import clock_of
from benchmate.bench.shelf.materials_for_job import against_of
from benchmate.bench.shelf.shelf import cautions_of, find_material, rough_windows, start_clock
from benchmate.cli.opening import at_option, fail, job_option, moment_from, pick_job, the_bench
from benchmate.cli.saying import put
from benchmate.job.deciding import commands as cmd
from benchmate.job.words.event_text import tell
from benchmate.job.words.phrases import window_text
from benchmate.quantities import parse_mass_g


@click.command()
@click.argument("material")
@click.argument("act")
@click.option("--name", default="", help="What it is for: lamp foot, lid …")
@click.option("--piece", default="", help="The piece, in a job without a plan.")
@click.option("--grams", help="What the cup holds.")
@job_option
@at_option
@click.pass_obj
def clock(
    home: Path | None,
    material: str,
    act: str,
    name: str,
    piece: str,
    grams: str | None,
    job: str | None,
    at: str | None,
) -> None:
    """Start the clocks of an ACT (mixed, spread, closed, clamped, coated …) with a MATERIAL."""
    with the_bench(home) as bench:
        found = find_material(bench, material)
        put(
            start_clock(
                bench,
                found,
                act,
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
            put(f"  {window_text(view, clock_of(bench))}")
        if fresh:
            put("Times no label gave are common practice, no source: see the data sheet.")


@click.command()
@click.argument("act")
@click.option("--name", default="", help="What it was done to: lid, base …")
@click.option("--piece", default="", help="The piece.")
@job_option
@at_option
@click.pass_obj
def did(
    home: Path | None, act: str, name: str, piece: str, job: str | None, at: str | None
) -> None:
    """Note an ACT without a material (sanded, turned, fitted …) in a job without a plan."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        if state.plan is not None:
            fail(f"{state.title} has a plan: `benchmate mark` says that a step of it is done.")
        made = bench.do(
            state.job, cmd.DoFreely(act=act, name=name, piece=piece, at=moment_from(bench, at))
        )
        put(f"Recorded: {tell(made[0].event)}.")
