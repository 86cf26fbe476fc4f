"""`benchmate page`: the clocks and the next step on a phone or tablet in the local network."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchmate.bench.page.kept import MISSING
from benchmate.cli.opening import fail, the_bench
from benchmate.cli.saying import put
from benchmate.settings.writing import keep_values

if TYPE_CHECKING:
    from benchmate.bench import Bench

OPEN_NETWORK = (
    "Whoever is in this network can read what the page shows and, by listening, press OK in your "
    "place. Nobody can change the logbook. In a network shared with strangers leave it off."
)


@click.command()
@click.option("--on/--off", "turn", default=None, help="Switch it on or off in the settings.")
@click.option("--forget", is_flag=True, help="Forget all paired devices.")
@click.pass_obj
def page(home: Path | None, turn: bool | None, forget: bool) -> None:
    """Show a link and a code that pairs one phone or tablet in the local network, once.

    Whatever gives the reminders (the bench, or `benchmate remind run`) serves the page: the next
    step, what is left, all clocks and what reminds; its one button says OK. Off, nothing listens.
    """
    with the_bench(home) as bench:
        if turn is not None:
            keep_values(bench.folders.settings_file, "page", {"on": turn})
            put(f"The page is {'on' if turn else 'off'} for what is opened from now on.")
        if turn is False:
            return
        try:
            from benchmate.bench.page.serving import devices_in
            from benchmate.page.server import private_address
        except ImportError:
            fail(MISSING)
        if forget:
            gone = devices_in(bench.folders.data, bench.clock).forget()
            put(f"{gone} devices forgotten; pair them anew.")
            return
        if not (turn or bench.settings.page.on):
            put("The page is off: nothing listens. `benchmate page --on` switches it on.")
            put(OPEN_NETWORK)
            return
        _pair(bench, private_address(bench.settings.page.address))


def _pair(bench: Bench, address: str) -> None:
    from benchmate.bench.page.serving import devices_in

    wanted, devices = bench.settings.page, devices_in(bench.folders.data, bench.clock)
    link = f"{'https' if wanted.certificate else 'http'}://{address}:{wanted.port}/"
    code = devices.open_code()
    put(f"The page: {link}  ({devices.count()} devices paired)")
    put(f"To pair a device, open it there and type {code[:4]} {code[4:]} (ten minutes), or scan:")
    try:
        import segno
    except ImportError:
        put("(the code to scan needs segno)")
    else:
        import io

        drawn = io.StringIO()
        segno.make(f"{link}#{code}", error="m").terminal(drawn, compact=True)
        for line in drawn.getvalue().splitlines():
            # In its own colours: on a light terminal it would be a negative that few phones read.
            click.secho(line, fg="bright_white", bg="black")
    put("It is there while the bench is open, or `benchmate remind run` runs.")
    put(OPEN_NETWORK)
