"""`benchmate procedures`: which procedures there are."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.cli.opening import json_option, say_json
from benchmate.cli.saying import put
from benchmate.settings import find_folders


@click.command()
@json_option
@click.pass_obj
def procedures(home: Path | None, as_json: bool) -> None:
    """List the procedures, shipped and your own."""
    from benchmate.procedure.finding import describe, find_all

    folder = find_folders(home).procedures
    rows = [(f, *describe(f)) for f in find_all(folder.parent)]
    if as_json:
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
    put(f"\nYour own lie in {folder}.", err=True)
