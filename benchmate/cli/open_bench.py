"""Opening the bench on the screen."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.cli.exits import Exit
from benchmate.cli.opening import code_of
from benchmate.journal import JournalError
from benchmate.settings import find_folders, load


def open_bench(home: Path | None) -> int:
    """Open the bench; the exit code."""
    if not sys.stdout.isatty():
        click.echo("The bench needs a terminal; `benchmate next` says what is next.", err=True)
        return Exit.MISSING
    folders = find_folders(home)
    settings, trouble = load(folders)
    try:
        bench = Bench.open(folders, settings)
    except JournalError as error:
        click.echo(str(error), err=True)
        return code_of(error)
    return run_app(bench, trouble)


def run_app(bench: Bench, trouble: str = "", pace: float = 1.0, *, demo: bool = False) -> int:
    """Run the screens over an open bench; the exit code. A demo reminds on its screen alone."""
    from benchmate.bench.minding import Minding
    from benchmate.tui.app import BenchApp

    app = BenchApp(bench, pace=pace, trouble=trouble)
    app.makes = partial(Minding, kinds=("terminal",)) if demo else Minding
    app.tells_away = not demo
    try:
        app.run(mouse=True)
    finally:
        bench.close()
    return app.return_code or Exit.OK
