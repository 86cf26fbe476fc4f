"""`benchmate clock`: the clocks of a material, with no job and no file."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench.next_line import clock_of
from benchmate.bench.shelf.materials import own_material
from benchmate.bench.shelf.materials_for_job import USUAL, against_of
from benchmate.bench.shelf.shelf import cautions_of, rough_windows, start_clock
from benchmate.cli.opening import at_option, job_option, moment_from, the_bench
from benchmate.cli.saying import put
from benchmate.job.words.phrases import window_text
from benchmate.quantities import parse_mass_g


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
    """Start the clocks of a MATERIAL by what you DID: mixed, spread, closed, clamped, coated …"""
    with the_bench(home) as bench:
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
