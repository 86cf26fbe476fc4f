"""`benchmate logbook`: list, chart, verify, backup, restore, salvage, export, calendar."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchmate.bench.errors import JournalError
from benchmate.bench.history.logbook import entries
from benchmate.bench.keeping.rescue import verify
from benchmate.bench.papers.photos import FOLDER, beside, copy_photos
from benchmate.cli.exits import Exit, code_of
from benchmate.cli.opening import fail, json_option, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.cli.verbs import Verbs
from benchmate.job.state.shop import JOB
from benchmate.localtime import show_stamp
from benchmate.settings import find_folders

if TYPE_CHECKING:
    from benchmate.bench.keeping.rescue import Rescue


_CHART = {
    "chart": ("benchmate.cli.record.chart", "Charts over your records or any column of numbers.")
}


@click.group(cls=Verbs, later=_CHART, invoke_without_command=True)
@click.pass_context
def logbook(ctx: click.Context) -> None:
    """What was recorded: list, chart, verify, back up, restore, export. Without a word it lists."""
    if ctx.invoked_subcommand is None:
        ctx.invoke(list_entries)


@logbook.command("list")
@click.option("--job", help="Only this job.")
@click.option("--stream", help="Only one stream: scales, stores, place:shop …")
@click.option("--last", type=int, default=0, help="Only so many of the last.")
@json_option
@click.pass_obj
def list_entries(
    home: Path | None,
    job: str | None = None,
    stream: str | None = None,
    last: int = 0,
    as_json: bool = False,
) -> None:
    """List what was recorded, with what was undone."""
    with the_bench(home, write=False, everything=True) as bench:
        found = list(entries(bench, JOB + job if job else stream))[-last:]
        if as_json:
            say_json(
                [
                    {
                        "seq": e.seq,
                        "stream": e.stream,
                        "event": e.version,
                        "kind": e.kind,
                        "happened": e.happened_s,
                        "recorded": e.recorded_s,
                        "text": e.text,
                        "taken_back": e.taken_back,
                    }
                    for e in found
                ]
            )
            return
        for e in found:
            when = show_stamp(e.happened_s) if e.happened_s is not None else "?"
            back = "  (undone)" if e.taken_back else ""
            put(f"{when}  {e.stream}  {e.version}  {e.text}{back}")


@logbook.command("verify")
@click.pass_obj
def verify_all(home: Path | None) -> None:
    """Check every entry and the file itself; name the first fault."""
    folder = find_folders(home).data
    try:
        verdict = verify(folder, _progress if sys.stderr.isatty() else None)
    except JournalError as error:
        fail(str(error), code_of(error))
    if verdict.ok:
        put(verdict.sentence)
        return
    from benchmate.bench.keeping.safekeeping import with_advice_of

    fail(with_advice_of(verdict, folder), Exit.DAMAGED)


def _progress(done: int, total: int) -> None:
    click.echo(f"\r{done} of {total} entries checked", nl=done >= total, err=True)


@logbook.command("backup")
@click.argument("target", type=click.Path(path_type=Path))
@click.pass_obj
def backup(home: Path | None, target: Path) -> None:
    """Write a checked copy of the logbook to TARGET, its photos into a folder beside it."""
    with the_bench(home, write=False) as bench:
        info = bench.backup(target)
        copy_photos(bench.folders.data / FOLDER, beside(info.path))
        put(f"{info.events} entries are backed up in {info.path}.{_photos(beside(info.path))}")


def _photos(folder: Path) -> str:
    count = len(list(folder.iterdir())) if folder.is_dir() else 0
    return f" {count} {'photo lies' if count == 1 else 'photos lie'} in {folder}." if count else ""


@logbook.command("restore")
@click.argument("source", type=click.Path(path_type=Path, exists=True), required=False)
@click.pass_obj
def restore(home: Path | None, source: Path | None) -> None:
    """Put a backup in the logbook's place.

    Without SOURCE it is the last good one that was made by itself. What is there is set aside,
    never overwritten. Close every bench first.
    """
    from benchmate.bench.keeping.rescue import last_good
    from benchmate.bench.keeping.rescue import restore as put_back

    folder = find_folders(home).data
    found = None if source else last_good(folder)
    if source is None and found is None:
        fail(
            f"There is no good backup in {folder / 'backups'}. Name one, or keep what can be "
            "read with `benchmate logbook salvage`."
        )
    _rescue(lambda: put_back(source or found.path, folder))  # type: ignore[union-attr]
    if source is not None:
        _bring(beside(source), folder)


def _bring(photos: Path, folder: Path) -> None:
    if copy_photos(photos, folder / FOLDER):
        put(_photos(folder / FOLDER).strip())


@logbook.command("salvage")
@click.pass_obj
def salvage(home: Path | None) -> None:
    """Keep the entries of a damaged logbook that are whole.

    It says which are lost. The damaged files are set aside, never overwritten. Close every bench
    first.
    """
    from benchmate.bench.keeping.rescue import salvage as keep_good

    folder = find_folders(home).data
    try:
        verdict = verify(folder)
    except JournalError as error:
        fail(str(error), code_of(error))
    if verdict.ok:
        put(f"Nothing to salvage. {verdict.sentence}")
        return
    _rescue(lambda: keep_good(folder))


def _rescue(do: Callable[[], Rescue]) -> None:
    try:
        done = do()
    except JournalError as error:
        fail(str(error), code_of(error))
    aside = f" What was there lies in {done.set_aside}." if done.set_aside else ""
    if done.lost:
        many = "1 entry is" if len(done.lost) == 1 else f"{len(done.lost)} entries are"
        named = ", ".join(str(n) for n in done.lost[:8]) + (" …" if done.lost[8:] else "")
        put(
            f"{done.events} of {done.total} entries are back in their place; {many} lost (number "
            f"{named}).{aside}"
        )
    elif done.events:
        put(f"{done.events} entries are back in their place.{aside}")
    else:
        put(f"No entry could be read; the logbook begins anew.{aside}")


@logbook.command("export")
@click.pass_obj
def export(home: Path | None) -> None:
    """Print every stored entry as a line of JSON."""
    from benchmate.bench.keeping.rescue import export_lines

    with the_bench(home, write=False, everything=True) as bench:
        for row in export_lines(bench.journal):
            put(row)


@logbook.command("import")
@click.argument("source", type=click.Path(path_type=Path, dir_okay=False, exists=True))
@click.option(
    "--photos",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="The photos: the other home's folder, or the one beside a backup.",
)
@click.pass_obj
def import_(home: Path | None, source: Path, photos: Path | None) -> None:
    """Fill an empty home from a file that `logbook export` wrote.

    This is how a shop moves to another laptop; give its photos too, or move by `logbook backup`
    and `logbook restore`, which take them along.
    """
    from benchmate.bench.keeping.rescue import import_lines

    try:
        with source.open(encoding="utf-8") as lines:
            done = import_lines(lines, find_folders(home).data)
    except JournalError as error:
        fail(str(error), code_of(error))
    except UnicodeDecodeError:
        fail(f"{source} isn't text; give a file that `logbook export` wrote.")
    put(f"{done.events} entries are in their place.")
    if photos is not None:
        _bring(photos, find_folders(home).data)


@logbook.command("calendar")
@click.argument("target", type=click.Path(path_type=Path))
@click.pass_obj
def calendar(home: Path | None, target: Path) -> None:
    """Save upcoming reminders as a calendar file, so that your phone reminds you too.

    Save to the same FILE again later: what has moved is brought up to date, what is gone cancelled.
    """
    from benchmate.bench.reminding.reminding import write_calendar

    with the_bench(home) as bench:
        put(write_calendar(bench, target))
