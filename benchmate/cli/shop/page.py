"""`benchmate page`: the clocks and the next step on a phone or tablet in the local network."""

from __future__ import annotations

import queue
import signal
from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchmate.cli.opening import fail, the_bench
from benchmate.cli.saying import put

if TYPE_CHECKING:
    from benchmate.bench.page.serving import Serving

LOOK_S = 1.0
OPEN_NETWORK = (
    "Whoever is in this network can read what the page shows and, by listening, press OK in your "
    "place. Nobody can change the logbook. In a network shared with strangers leave it off."
)
MISSING = "The page needs two packages more: pip install 'benchmate[page]'."


@click.command()
@click.option("--address", default="", help="This machine's address in the local network.")
@click.option("--port", type=click.IntRange(1024, 65535), default=8765, show_default=True)
@click.option("--forget", is_flag=True, help="Forget all paired devices.")
@click.option("--for", "span", type=float, metavar="SECONDS", help="Serve only so long.")
@click.pass_obj
def page(home: Path | None, address: str, port: int, forget: bool, span: float | None) -> None:
    """Serve a page for a phone or tablet in the local network, until Ctrl+C.

    It shows the next step, what is left, all clocks and what reminds; its one button says OK.
    Nothing listens unless this runs. A code pairs one device, once.
    """
    try:
        from benchmate.bench.page.serving import Serving, devices_of
    except ImportError:
        fail(MISSING)
    with the_bench(home) as bench:
        if forget:
            put(f"{devices_of(bench).forget()} devices forgotten; pair them anew.")
            return
        serving = Serving(bench, address, port)
        serving.server.begin()
        _say(serving)
        stop: queue.SimpleQueue[bool] = queue.SimpleQueue()
        for name in ("SIGTERM", "SIGINT", "SIGHUP"):
            number = getattr(signal, name, None)
            if number is not None:
                signal.signal(number, lambda *_: stop.put(True))
        looks = 0
        while not _told(stop) and (span is None or looks * LOOK_S < span):
            looks += 1
            bench.refresh()
            bench.mind_clock()
            serving.look()
            if looks > 1 and not serving.server.is_up:
                fail(
                    f"Nothing can listen at {serving.link}: the port is taken. Try another --port."
                )
        serving.server.end()


def _told(stop: queue.SimpleQueue[bool]) -> bool:
    try:
        return stop.get(timeout=LOOK_S)
    except queue.Empty:
        return False


def _say(serving: Serving) -> None:
    code = serving.devices.open_code()
    put(f"The page: {serving.link}  ({serving.devices.count()} devices paired)")
    put(f"To pair a device, open it there and type {code[:4]} {code[4:]} (ten minutes), or scan:")
    try:
        import segno
    except ImportError:
        put("(the code to scan needs segno)")
    else:
        import io

        drawn = io.StringIO()
        segno.make(f"{serving.link}#{code}", error="m").terminal(drawn, compact=True)
        put(drawn.getvalue())
    put(OPEN_NETWORK)
