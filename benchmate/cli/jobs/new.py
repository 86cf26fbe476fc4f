"""`benchmate procedure new`: a commented procedure file to begin with."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.cli.opening import fail, the_bench
from benchmate.cli.saying import put
from benchmate.plan.address import slug
from benchmate.refusal import Refused
from benchmate.settings import find_folders


@click.command()
@click.argument("name")
@click.option("--job", metavar="JOB", help="Write it from what was done in this job.")
@click.pass_obj
def new(home: Path | None, name: str, job: str | None) -> None:
    """Write a commented procedure NAME into your folder, and print its path."""
    from benchmate.bench.starting.starter import write_new, write_starter

    if job is not None:
        with the_bench(home, write=False) as bench:
            put(str(write_starter(bench, job, name.removesuffix(".toml"))))
        return
    from benchmate.procedure.finding import find
    from benchmate.procedure.writing.starter import starter_text

    if not name.removesuffix(".toml").strip():
        fail("Give the procedure a name.")
    shipped = find(slug(name.removesuffix(".toml")))
    if shipped is not None and shipped.shipped:
        fail(f"{shipped.path} came with benchmate; give yours another name.")
    path = find_folders(home).procedures / f"{slug(name.removesuffix('.toml'))}.toml"
    try:
        write_new(path, starter_text(name.removesuffix(".toml")))
    except Refused as error:
        fail(str(error))
    put(str(path))
