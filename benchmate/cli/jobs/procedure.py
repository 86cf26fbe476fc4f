"""`benchmate procedure`: which procedures there are; new ones, proofread, and what they taught."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.cli.saying import put
from benchmate.cli.verbs import Verbs
from benchmate.settings import find_folders

_VERBS = {
    "new": ("benchmate.cli.jobs.new", "Write a commented procedure file to begin with."),
    "check": ("benchmate.cli.jobs.check", "Find what is wrong in procedure files."),
    "lessons": ("benchmate.cli.jobs.lessons", "What earlier jobs teach the next one."),
}


@click.group(cls=Verbs, later=_VERBS, invoke_without_command=True)
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_context
def procedure(ctx: click.Context, as_json: bool) -> None:
    """Your procedures and those that came along. Without a word it lists them."""
    if ctx.invoked_subcommand is None:
        list_procedures(ctx.obj, as_json=as_json)


def list_procedures(home: Path | None, *, as_json: bool) -> None:
    """List the procedures, shipped and your own."""
    from benchmate.procedure.finding import describe, find_all

    folder = find_folders(home).procedures
    rows = [(f, *describe(f)) for f in find_all(folder.parent)]
    if as_json:
        # Only here: checking a file needs no bench, and is quicker without one.
        from benchmate.cli.opening import say_json

        say_json(
            [
                {
                    "name": f.name,
                    "title": title,
                    "about": about,
                    "file": str(f.path),
                    "own": not f.shipped,
                }
                for f, title, about in rows
            ]
        )
        return
    width = max((len(f.name) for f, *_ in rows), default=0)
    for found, title, about in rows:
        own = "" if found.shipped else "  (yours)"
        put(f"{found.name:<{width}}  {about or title}{own}")
    put(f"\nYour own are in {folder}.", err=True)
