"""`benchmate papers`: lists to cut and to buy from, of a procedure or of a job."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchmate.cli.jobs.start import values_of
from benchmate.cli.opening import fail, json_option, the_bench
from benchmate.cli.saying import echo
from benchmate.settings import find_folders

if TYPE_CHECKING:
    from benchmate.lists.records import Buying, Cutting

WHICH = ("cutting", "buying")


@click.command()
@click.argument("which", type=click.Choice(WHICH), metavar="cutting|buying")
@click.argument("name", metavar="PROCEDURE|JOB")
@click.option("--pieces", type=int, metavar="N", help="For so many pieces.")
@click.option(
    "--set", "sets", multiple=True, metavar="NAME=VALUE", help="A parameter's value, as in start."
)
@click.option("--inch", is_flag=True, help="In inches and ounces, whatever the settings say.")
@json_option
@click.pass_obj
def papers(
    home: Path | None,
    which: str,
    name: str,
    pieces: int | None,
    sets: tuple[str, ...],
    inch: bool,
    as_json: bool,
) -> None:
    """Print a list of a procedure or a job.

    cutting: each part with its sizes, the boards it comes from, and what to make first.
    buying: materials against the shelf, and what to have to hand.
    """
    from benchmate.bench.starting import listing
    from benchmate.fields.problem import ProcedureError
    from benchmate.lists.saying import buying_lines, cutting_lines

    # Before anything is recorded there is no journal to read, and lists are wanted all the same.
    fresh = not any(find_folders(home).data.glob("*"))
    with the_bench(home, write=fresh) as bench:
        made: Cutting | Buying
        units = "inch" if inch else bench.settings.units
        try:
            if which == "cutting":
                made = listing.cutting(bench, name, values_of(sets), pieces)
                lines = cutting_lines(made, units)
            else:
                made = listing.buying(bench, name, values_of(sets), pieces)
                lines = buying_lines(made, units)
        except ProcedureError as error:
            fail(str(error))
        echo(_json(made) if as_json else "\n".join(lines))


def _json(made: Cutting | Buying) -> str:
    import msgspec

    return msgspec.json.format(msgspec.json.encode(made), indent=2).decode()
