"""`benchmate start`: a job from a procedure, or without one."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench.starting import start_free, start_job
from benchmate.cli.acts import answer_back
from benchmate.cli.opening import fail, the_bench


@click.command()
@click.argument("procedure", required=False, default="")
@click.option("--set", "sets", multiple=True, metavar="NAME=VALUE", help="A parameter's value.")
@click.option("--free", metavar="TITLE", help="Without a procedure: a job of this name.")
@click.option("--job", help="The job's id; by default the procedure's name and a number.")
@click.pass_obj
def start(
    home: Path | None, procedure: str, sets: tuple[str, ...], free: str | None, job: str | None
) -> None:
    """Start a job of PROCEDURE (a name or a file), frozen to what it says now."""
    from benchmate.procedure.problem import ProcedureError

    if bool(procedure) == bool(free):
        fail("Name a procedure, or --free and a title. `benchmate procedures` lists them.")
    with the_bench(home) as bench:
        if free:
            made = start_free(bench, free)
        else:
            try:
                made = start_job(bench, procedure, dict(_pair(s) for s in sets), job)
            except ProcedureError as error:
                fail(str(error))
        answer_back(bench, f"Started: {made}.")


def _pair(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals or not name.strip():
        fail(f"“{text[:40]}” is no NAME=VALUE.")
    return name.strip(), value.strip()
