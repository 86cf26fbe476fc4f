"""The page served beside an open bench: pictures made in the bench's thread, OK from any."""

from __future__ import annotations

from pathlib import Path
from threading import Lock
from typing import Any

from benchmate.bench.page.picture import picture_of
from benchmate.bench.reminding.reminding import hush
from benchmate.bench.service import Bench
from benchmate.page.app import Shown, make_app
from benchmate.page.devices import Devices
from benchmate.page.server import PORT, PageServer, private_address

FILE = "page-devices.json"
PLACE = "page"


def devices_of(bench: Bench) -> Devices:
    """The devices of this shop."""
    return Devices(Path(bench.folders.data) / FILE, lambda: bench.now().wall_s)


class Serving:
    """One server. `look` is called by the thread that owns the bench, once a second or so."""

    def __init__(self, bench: Bench, address: str = "", port: int = PORT) -> None:
        self.bench, self.devices = bench, devices_of(bench)
        self.address, self.port = private_address(address), port
        self._lock, self._picture = Lock(), picture_of(bench)
        host = f"{self.address}:{port}"
        shown = Shown(self._current, self._ok, lambda: bench.now().wall_s)
        self.server = PageServer(make_app(shown, self.devices, host), self.address, port)

    @property
    def link(self) -> str:
        """Where the page is."""
        return f"http://{self.address}:{self.port}/"

    def look(self) -> None:
        """Draw the picture anew."""
        drawn = picture_of(self.bench)
        with self._lock:
            self._picture = drawn

    def _current(self) -> dict[str, Any]:
        with self._lock:
            return self._picture

    def _ok(self) -> int:
        """Only a row among the deliveries: any thread may."""
        count = hush(self.bench, PLACE)
        with self._lock:
            self._picture = {**self._picture, "standing": []}
        return count
