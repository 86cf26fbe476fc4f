"""`benchmate starter`: a commented procedure file to begin with."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.cli.exits import Exit
from benchmate.cli.opening import fail, the_bench
from benchmate.job.address import slug
from benchmate.settings import find_folders


@click.command()
@click.argument("name")
@click.option("--from", "job", metavar="JOB", help="Write it from what was done in this job.")
@click.pass_obj
def starter(home: Path | None, name: str, job: str | None) -> None:
    """Write a commented procedure NAME into your folder, and print its path."""
    if job is not None:
        from benchmate.bench.starter import write_starter

        with the_bench(home, write=False) as bench:
            click.echo(str(write_starter(bench, job, name.removesuffix(".toml"))))
        return
    from benchmate.procedure.starter import starter_text

    path = find_folders(home).procedures / f"{slug(name.removesuffix('.toml'))}.toml"
    write_new(path, starter_text(name.removesuffix(".toml")))
    click.echo(str(path))


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
