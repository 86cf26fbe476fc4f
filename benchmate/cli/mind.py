"""`benchmate mind`: reminding without a screen."""

from __future__ import annotations

import signal
import threading
from pathlib import Path

import click

from benchmate.bench.air_watch import AirWatch
from benchmate.bench.reminding import minder_of
from benchmate.cli.opening import the_bench
from benchmate.localtime import show_clock
from benchmate.remind.edges import Reminder


@click.command()
@click.option("--for", "span", type=float, default=None, help="Stop after so many seconds.")
@click.pass_obj
def mind(home: Path | None, span: float | None) -> None:
    """Remind without a screen, until stopped, and follow the air's file where settings name one.

    Another bench that reminds has the word.
    """
    stop = threading.Event()
    for name in ("SIGTERM", "SIGINT", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None:
            signal.signal(number, lambda *_: stop.set())
    with the_bench(home) as bench:

        def show(reminder: Reminder) -> None:
            click.echo(f"{show_clock(bench.now().wall_s)}  {reminder.text}")

        minder = minder_of(bench, show)
        worker = threading.Thread(target=minder.run, args=(stop,), daemon=True)
        worker.start()
        air = AirWatch(bench)
        air.start()
        waited = 0.0
        while not stop.wait(1.0):
            # The shop is read here, in the thread that owns the bench; the minder only looks at
            # the frozen picture of it.
            seen = bench.shop
            fresh = bench.refresh()
            bench.mind_clock()
            for said in air.take(foreign=fresh):
                click.echo(f"{show_clock(bench.now().wall_s)}  {said}")
            if bench.shop is not seen:
                minder.poke()
            waited += 1.0
            if span is not None and waited >= span:
                stop.set()
        air.stop()
        worker.join(2.0)
