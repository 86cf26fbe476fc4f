"""`benchmate papers`: what leaves the screen, of a procedure, a job or the whole shop."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from benchmate.cli.jobs.start import values_of
from benchmate.cli.opening import fail, json_option, the_bench
from benchmate.cli.saying import echo, put
from benchmate.refusal import Refused
from benchmate.settings import find_folders

if TYPE_CHECKING:
    from benchmate.bench import Bench
    from benchmate.bench.papers.making import Format, PapersAsked
    from benchmate.lists.records import Buying, Cutting
    from benchmate.papers.drawing.pages import Correction

LISTS = ("cutting", "buying")


@click.command()
@click.argument("words", nargs=-1, metavar="[PROCEDURE|JOB] [WHICH …]")
@click.option("--pdf", "form", flag_value="pdf", help="As PDF (the usual way; needs typst).")
@click.option("--html", "form", flag_value="html", help="As one HTML file, for screen and paper.")
@click.option("--svg", "form", flag_value="svg", help="Labels and templates as drawings.")
@click.option("--csv", "form", flag_value="csv", help="The tables, for a spreadsheet.")
@click.option("--md", "form", flag_value="md", help="As Markdown text.")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", help="Paper size.")
@click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), help="Folder to write into."
)
@click.option("--pieces", type=int, metavar="N", help="Lists for so many pieces.")
@click.option(
    "--set", "sets", multiple=True, metavar="NAME=VALUE", help="A parameter's value, as in start."
)
@click.option("--from-label", type=int, default=1, metavar="N", help="First free label.")
@click.option("--guides", is_flag=True, help="Draw the labels' outlines.")
@click.option(
    "--measured",
    metavar="98.7x99.1",
    help="What the check lines measured (mm): corrects a printer that is off.",
)
@click.option("--maker", default="", help="Your line on the card that goes with a piece.")
@click.option("--inch", is_flag=True, help="In inches and ounces, whatever the settings say.")
@json_option
@click.pass_obj
def papers(
    home: Path | None,
    words: tuple[str, ...],
    form: str | None,
    paper: str,
    out: Path | None,
    pieces: int | None,
    sets: tuple[str, ...],
    from_label: int,
    guides: bool,
    measured: str | None,
    maker: str,
    inch: bool,
    as_json: bool,
) -> None:
    """Write papers of a procedure or a job.

    WHICH: card (pinned up, both sides), labels, templates (true size), cutting, buying; of a job
    also report and handover (goes with the piece); of the shop days and family. Without WHICH: the
    card. cutting and buying are printed here unless a form or --out is given.
    """
    from benchmate.bench.papers.making import PapersAsked, usual_form
    from benchmate.fields.problem import ProcedureError

    which, name = _meant(words)
    # Before anything is recorded there is no journal to read, and lists are wanted all the same.
    fresh = not any(find_folders(home).data.glob("*"))
    with the_bench(home, write=fresh) as bench:
        if inch:
            import msgspec

            bench.settings = msgspec.structs.replace(bench.settings, units="inch")
        asked = PapersAsked(
            values=values_of(sets),
            pieces=pieces,
            paper="letter" if paper == "letter" else "a4",
            start=from_label,
            guides=guides,
            correction=_correction(measured),
            maker=maker,
        )
        try:
            if form is None and out is None and set(which) <= set(LISTS):
                for one in which:
                    _print_list(bench, name, one, asked, as_json=as_json)
                return
            for one in which:
                _write(
                    bench, name, one, cast("Format", form or usual_form(one)), asked, out or Path()
                )
        except ProcedureError as error:
            fail(str(error))


def _meant(words: tuple[str, ...]) -> tuple[list[str], str]:
    """Which papers, and of what; the words may come in any order."""
    from benchmate.bench.papers.making import OF_THE_SHOP, WHICH

    which = [word for word in words if word in WHICH]
    names = [word for word in words if word not in WHICH]
    if len(names) > 1:
        fail(f"One job or procedure at a time; which papers there are: {', '.join(WHICH)}.")
    if not names and not (which and set(which) <= set(OF_THE_SHOP)):
        fail("Name a job or a procedure; days and family are of the whole shop.")
    return which or ["card"], names[0] if names else ""


def _correction(measured: str | None) -> Correction:
    from benchmate.papers.drawing.pages import Correction

    if measured is None:
        return Correction()
    found = re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*[x×]\s*(\d+(?:[.,]\d+)?)\s*(?:mm)?\s*", measured)
    across, down = (float(t.replace(",", ".")) for t in found.groups()) if found else (0.0, 0.0)
    if not (90.0 <= across <= 110.0 and 90.0 <= down <= 110.0):
        raise Refused(
            f"“{measured[:30]}” can't be what two lines of 100 mm measured; write 98.7x99.1 "
            "(across x down)."
        )
    return Correction(across, down)


def _write(
    bench: Bench, name: str, which: str, form: Format, asked: PapersAsked, folder: Path
) -> None:
    from benchmate.bench.papers.making import make

    files = make(bench, name, which, form, asked)
    folder.mkdir(parents=True, exist_ok=True)
    for file, data in files.items():
        path = folder / file
        path.write_bytes(data)
        put(f"Written: {path}")


def _print_list(bench: Bench, name: str, which: str, asked: PapersAsked, *, as_json: bool) -> None:
    from benchmate.bench.starting import listing
    from benchmate.lists.saying import buying_lines, cutting_lines

    units = bench.settings.units
    made: Cutting | Buying
    if which == "cutting":
        made = listing.cutting(bench, name, asked.values, asked.pieces)
        lines = cutting_lines(made, units)
    else:
        made = listing.buying(bench, name, asked.values, asked.pieces)
        lines = buying_lines(made, units)
    echo(_json(made) if as_json else "\n".join(lines))


def _json(made: Cutting | Buying) -> str:
    import msgspec

    return msgspec.json.format(msgspec.json.encode(made), indent=2).decode()
