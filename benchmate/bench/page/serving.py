"""The page, served by the process that gives the reminders, in a thread beside it."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from threading import Lock
from typing import Any

from benchmate.bench.page.picture import picture_of
from benchmate.bench.reminding.reminding import hush
from benchmate.bench.service import Bench
from benchmate.clock import Clock, steady_s
from benchmate.page.app import Shown, make_app
from benchmate.page.devices import Devices
from benchmate.page.server import PageServer, private_address
from benchmate.refusal import Refused
from benchmate.remind.rules.edges import Reminder
from benchmate.scales.published import published_file, read_published

FILE = "page-devices.json"
PLACE = "page"
REDRAW_S, MOVED_S = 1.0, 10.0


def devices_in(data: Path, clock: Clock) -> Devices:
    """The devices of the shop that lives in a folder."""
    return Devices(data / FILE, lambda: clock.now().wall_s)


class Serving:
    """One server. `look` is called by the thread that minds the edges, at each of its rounds.

    Raises Refused where there is no private address to serve at.
    """

    def __init__(self, bench: Bench) -> None:
        wanted = bench.settings.page
        self.bench, self.devices = bench, devices_in(bench.folders.data, bench.clock)
        self.address, self.port = private_address(wanted.address), wanted.port
        self._lock, self._drawn_s = Lock(), float("-inf")
        self._picture: dict[str, Any] = {}
        self._asked_s = steady_s()
        self._standing: object = None
        self._scale = published_file(bench.folders.data) if bench.settings.scale.port else None
        scheme = "https" if wanted.certificate else "http"
        self.link = f"{scheme}://{self.address}:{self.port}/"
        shown = Shown(self._current, self._ok, lambda: bench.now().wall_s)
        app = make_app(shown, self.devices, f"{self.address}:{self.port}")
        self.look(())
        self.server = PageServer(app, self.address, self.port, wanted.certificate, wanted.key)

    def look(self, standing: Sequence[Reminder]) -> None:
        """Draw the picture anew, where a second has passed or what stands is another."""
        stands, now_s = [(r.key, r.text) for r in standing], steady_s()
        if stands == self._standing and now_s - self._drawn_s < REDRAW_S:
            return
        drawn = picture_of(self.bench, standing, f"Process {os.getpid()} reminds.")
        with self._lock:
            self._picture, self._standing, self._drawn_s = drawn, stands, now_s

    @property
    def has_moved(self) -> bool:
        """Whether this machine has another address by now; looked at now and then."""
        now_s = steady_s()
        if now_s - self._asked_s < MOVED_S or self.bench.settings.page.address:
            return False
        self._asked_s = now_s
        try:
            return private_address() != self.address
        except Refused:
            return True

    def _current(self) -> dict[str, Any]:
        """The picture, with what is live on the scale: that changes faster than a picture."""
        with self._lock:
            picture = self._picture
        if self._scale is None:
            return picture
        live = read_published(self._scale, steady_s())
        return {**picture, "scale": {"text": live.text, "state": live.state}}

    def _ok(self) -> int:
        """Only a row among the deliveries: any thread may."""
        count = hush(self.bench, PLACE)
        with self._lock:
            self._picture = {**self._picture, "standing": []}
        return count
