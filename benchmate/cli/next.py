"""`benchmate next`: one line, fast enough for a shell prompt."""

from __future__ import annotations

import os
import sys

from benchmate.bench import Bench
from benchmate.bench.errors import Damaged, JournalError, JournalMissing
from benchmate.bench.next_line import NOTHING, agenda_data, next_line
from benchmate.cli.exits import Exit, code_of
from benchmate.cli.saying import harmless, put
from benchmate.settings import find_folders, load


def quick() -> int:
    """Say the line for the usual folders; the exit code. With no job it says so and is well."""
    try:
        return _quick()
    except BrokenPipeError:
        # Whoever read it has gone: Python must not try once more at its end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return Exit.OK
    except OSError as error:
        sys.stderr.write(f"What there was to say can't be written out ({error.strerror}).\n")
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return Exit.UNSAID


def _quick() -> int:
    folders = find_folders(None)
    settings, _ = load(folders)
    try:
        bench = Bench.open(folders, settings, create=False, read_only=True)
    except JournalMissing:
        _say(NOTHING)
        return Exit.OK
    except Damaged:
        return _whole()
    except JournalError as error:
        sys.stderr.write(f"{error}\n")
        return code_of(error)
    _say(harmless(next_line(bench)))
    return Exit.OK


def _whole() -> int:
    """The line by what is whole of a damaged journal; the longer way round says the rest."""
    from benchmate.cli.opening import the_bench

    try:
        with the_bench(None, write=False) as bench:
            _say(harmless(next_line(bench)))
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else Exit.DAMAGED
    return Exit.OK


def _say(text: str) -> None:
    if sys.stdout is not None:  # it may have been closed
        sys.stdout.write(text + "\n")
        sys.stdout.flush()


def _command() -> object:
    """The click command, for when there are options to read; `quick` never needs it."""
    import click

    from benchmate.bench.keeping.rescue import is_missing
    from benchmate.cli.opening import json_option, say_json, the_bench

    @click.command("next")
    @json_option
    @click.pass_obj
    def command(home: object, as_json: bool) -> None:
        """Say in one line what is next, and when."""
        if is_missing(find_folders(home).data):  # type: ignore[arg-type]
            say_json(None) if as_json else put(NOTHING)
            return
        with the_bench(home, write=False) as bench:  # type: ignore[arg-type]
            if as_json:
                say_json(agenda_data(bench, bench.agenda()))
            else:
                put(next_line(bench))

    return command


def __getattr__(name: str) -> object:
    if name == "command":
        return _command()
    raise AttributeError(name)
