"""The reminders' commands, and a shop where one cup is mixed."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner, Result

from benchmate.cli.group import cli
from benchmate.settings import Settings
from tests.minding_help import (
    MIX,
    mark,
    open_bench,
    start_plan,
)


def run(home: Path, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--home", str(home), *words])


def mixed(home: Path) -> None:
    """A job with a cup of resin, mixed at nine o'clock."""
    bench = open_bench(home, Settings())
    start_plan(bench)
    mark(bench, MIX)
    bench.close()
