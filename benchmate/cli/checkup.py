"""`benchmate checkup`: what of all this works on this machine."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import click

from benchmate.bench.reminding import channels_of
from benchmate.cli.opening import the_bench
from benchmate.localtime import local
from benchmate.remind.checkup import check_clock, check_terminal, exit_code, lines_of
from benchmate.remind.checkup import checkup as look_over


@click.command()
@click.option("--aloud", is_flag=True, help="Send a real trial reminder by every channel.")
@click.pass_obj
def checkup(home: Path | None, aloud: bool) -> None:
    """Try every channel, the folders, the terminal and the clock; say how to mend what fails."""
    with the_bench(home) as bench:
        bench.folders.procedures.mkdir(parents=True, exist_ok=True)
        folders = {"data": bench.folders.data, "procedures": bench.folders.procedures}
        size = tuple(shutil.get_terminal_size())
        terminal = check_terminal(
            os.environ, (size[0], size[1]), sys.stdout.encoding or "",
            is_terminal=sys.stdout.isatty(),
        )  # fmt: skip
        wall = local(bench.now().wall_s)
        clock = check_clock(wall.year, wall.tz_id, through_sleep=bench.now().boot_id is not None)
        found = look_over(channels_of(bench, None), folders, terminal, clock, aloud=aloud)
    for line in lines_of(found):
        click.echo(line)
    raise SystemExit(exit_code(found))
