"""`benchmate demo`: the bench on a throw-away journal, in full swing."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.bench.trying.demo import make_demo
from benchmate.cli.opening import fail
from benchmate.cli.saying import put
from benchmate.clock import PacedClock, SystemClock
from benchmate.settings import Settings


@click.command()
@click.option(
    "--speed",
    type=click.FloatRange(0.01, 10_000),
    default=1.0,
    show_default=True,
    help="How many times faster its clock runs.",
)
@click.option(
    "--into",
    type=click.Path(path_type=Path, file_okay=False),
    help="Write the demo's logbook here, and open nothing.",
)
def demo(speed: float, into: Path | None) -> None:
    """Open the bench on a throw-away shop with 20 running clocks."""
    if into is not None:
        if into.exists() and any(into.iterdir()):
            fail(f"{into} is not empty; name an empty or a new folder.")
        put(f"The demo's logbook is in {make_demo(into).data}.")
        return
    if not sys.stdout.isatty():
        fail("The demo opens the bench, which needs a terminal. --into writes its logbook only.")
    from benchmate.cli.open_bench import run_app
    from benchmate.tui.ending import end_in_order

    end_in_order()  # its folder goes whatever ends it, while it is still being filled too
    folder = tempfile.TemporaryDirectory(prefix="benchmate-demo-", ignore_cleanup_errors=True)
    with folder as name:
        folders = make_demo(Path(name))
        system = SystemClock()
        clock = system if speed == 1.0 else PacedClock(system, speed)
        bench = Bench.open(folders, Settings(), clock=clock)
        raise SystemExit(run_app(bench, pace=speed, demo=True, last=folder.cleanup))
