"""How late reminders are while the page serves four phones and somebody floods it.

The server runs in a thread beside the minder, as in the process that has the word; the phones and
the flood are processes of their own.
"""

from __future__ import annotations

import json
import socket
import statistics
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager

from msgspec import structs

from benchmate.bench.page.serving import Serving
from benchmate.settings.model import PageSettings
from tests.speed.bench_remind import TARGET_S, late_by, offsets_of_all, p99
from tests.speed.disk import folder_on_disk
from tests.speed.harness import Measure
from tests.unit.loop_help import Worked

PHONES = 4
ASK = """
import http.client, sys
host, path, cookie, streams = sys.argv[1:]
asked = 0
try:
    while True:
        connection = http.client.HTTPConnection(host, timeout=30)
        for _ in range(1 if streams == "yes" else 500):
            connection.request("GET", path, headers={"Cookie": cookie})
            answer = connection.getresponse()
            while answer.read1(65536) and streams == "yes":
                pass
            answer.read()
            asked += 1
except KeyboardInterrupt:
    print(asked)
except OSError:
    print(asked)
"""


def measure() -> list[Measure]:
    """Lateness with the page off, and with it on under streams and a flood, in ms."""
    offsets_s = offsets_of_all()
    off = sorted(late_by(offsets_s))
    with _flooded() as asked:
        on = sorted(late_by(offsets_s))
    return [
        Measure(
            what=f"lateness with the page on, {PHONES} streams and a flood, {name}",
            value=of(on) * 1000,
            unit="ms",
            against=f"page off {of(off) * 1000:.3g} ms; {asked[0]} requests meanwhile",
            target=TARGET_S * 1000 if name == "p99" else None,
            ok=of(on) <= TARGET_S if name == "p99" else None,
        )
        for name, of in (("median", statistics.median), ("p99", p99), ("worst", max))
    ]


@contextmanager
def _flooded() -> Iterator[list[int]]:
    """Four streams and a flood; how much the flood asked stands in the list afterwards."""
    with folder_on_disk() as folder:
        shop = Worked(folder)
        shop.start()
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            port = probe.getsockname()[1]
        page = PageSettings(on=True, address="127.0.0.1", port=port)
        shop.bench.settings = structs.replace(shop.bench.settings, page=page)
        serving = Serving(shop.bench)
        serving.server.begin()
        while not serving.server.is_up:
            pass
        cookie = _paired(serving, f"127.0.0.1:{port}")
        asked = [0]
        clients = [_client(port, "/events", cookie, "yes") for _ in range(PHONES)]
        flood = _client(port, "/now", cookie, "no")
        try:
            yield asked
        finally:
            flood.send_signal(2)
            asked[0] = int(flood.communicate()[0] or 0)
            for client in clients:
                client.kill()
                client.communicate()
            serving.server.end()
            shop.bench.close()


def _client(port: int, path: str, cookie: str, streams: str) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-c", ASK, f"127.0.0.1:{port}", path, cookie, streams],
        stdout=subprocess.PIPE,
    )


def _paired(serving: Serving, host: str) -> str:
    """A device's cookie."""
    request = urllib.request.Request(
        f"http://{host}/pair",
        json.dumps({"code": serving.devices.open_code()}).encode(),
        {"Origin": f"http://{host}", "Content-Type": "application/json"},
    )
    with urllib.request.urlopen(request) as answer:
        return str(answer.headers["set-cookie"]).partition(";")[0]
