"""`benchmate starter`: a commented procedure file to begin with."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchmate.cli.exits import Exit
from benchmate.cli.opening import fail, the_bench
from benchmate.job.address import slug
from benchmate.settings import find_folders

if TYPE_CHECKING:
    from benchmate.bench import Bench


@click.command()
@click.argument("name")
@click.option("--from", "job", metavar="JOB", help="Write it from what was done in this job.")
@click.pass_obj
def starter(home: Path | None, name: str, job: str | None) -> None:
    """Write a commented procedure NAME into your folder, and print its path."""
    from benchmate.procedure.starter import starter_text

    if job is None:
        text = starter_text(name)
    else:
        with the_bench(home, write=False) as bench:
            text = text_from(bench, name, job)
    path = find_folders(home).procedures / f"{slug(name.removesuffix('.toml'))}.toml"
    write_new(path, text)
    click.echo(str(path))


def text_from(bench: Bench, name: str, job: str) -> str:
    """A procedure's text from a job that was worked without a plan."""
    from benchmate.bench.recorded import acts_of
    from benchmate.bench.starting import tins_of
    from benchmate.procedure.starter import starter_from

    state = bench.job(job)
    if state is None:
        fail(f"There is no job “{job[:40]}”. `benchmate jobs` lists them.")
    notes = [n.event.text for n in state.notes if n.event.text]
    return starter_from(name, acts_of(state, bench.now_s), tins_of(bench), notes)


def write_new(path: Path, text: str) -> None:
    """Write a file that isn't there yet; one that is there is never overwritten."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        fail(f"{path} is there already; choose another name, or edit that one.")
    except OSError as error:
        why = (error.strerror or "the disk refuses").lower()
        fail(f"{path} can't be written: {why}.", Exit.UNWRITABLE)
