"""`benchmate scale listen`: what a scale on a cable sends, and a form proposed from three looks."""

from __future__ import annotations

import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from benchmate.bench.weights.live_scale import MISSING, cable_of
from benchmate.cli.opening import fail
from benchmate.cli.saying import put
from benchmate.refusal import Refused
from benchmate.settings import find_folders, load
from benchmate.settings.writing import Value, keep_values

if TYPE_CHECKING:
    from benchmate.scales.cable import Cable
    from benchmate.scales.proposing import Proposal
    from benchmate.scales.reading import Live

LOOKS = (
    "Empty the scale; when it stands still, press Enter.",
    "Put something on; when it stands still, press Enter.",
    "Take it off; when it stands still, press Enter.",
)
MOST_LINES = 2000


class Ear:
    """Called in the reader's thread: shows each line that differs, and keeps the latest."""

    def __init__(self) -> None:
        from benchmate.scales.lines import Lines

        self._lines, self._said = Lines(), ""
        self.look: list[str] = []

    def hear(self, data: bytes) -> None:
        """Bytes as they came, escapes visible."""
        shown = repr(data)[2:-1]
        if shown != self._said:
            self._said = shown
            put(f"  {shown}")
        self.look += [line for line in self._lines.feed(data) if line is not None]
        del self.look[:-MOST_LINES]

    def turn(self) -> list[str]:
        """The lines of a look that is over."""
        over, self.look = self.look, []
        return over


def listen(home: Path | None, port: str, speed: int | None) -> None:
    """Show what comes, propose the form, and keep it in the settings file where wanted."""
    try:
        from benchmate.scales.proposing import propose
        from benchmate.scales.serial_reader import SerialReader
        from benchmate.scales.usb_reader import is_usb
    except ImportError:
        fail(MISSING)
    folders = find_folders(home)
    settings, _ = load(folders)
    cable = cable_of(settings.scale)
    cable = cable._replace(port=port or cable.port or _only_port(), speed=speed or cable.speed)
    if is_usb(cable.port):
        _listen_usb(folders.settings_file, cable.port)
        return
    ear = Ear()
    reader = SerialReader(cable._replace(line=""), raw=ear.hear)
    put(f"Listening at {cable.port}, speed {cable.speed}. Ctrl+C ends.")
    reader.begin()
    try:
        looks = [_look(ear, text) for text in LOOKS]
    finally:
        reader.end()
    if not any(looks):
        fail(f"Nothing readable came from {cable.port}. Is it on? Is --speed right?")
    try:
        found = propose(*looks)
    except Refused as refusal:
        fail(str(refusal))
    _keep(folders.settings_file, cable, found, looks[1][-1])


def _look(ear: Ear, text: str) -> list[str]:
    put(text)
    if not sys.stdin.readline():
        fail("Nobody pressed Enter: nothing was proposed.")
    return ear.turn()


def _keep(file: Path, cable: Cable, found: Proposal, example: str) -> None:
    """Show what the form reads, and write it down if that is right."""
    from benchmate.scales.lines import LineForm

    values: dict[str, Value] = {"port": cable.port, "speed": cable.speed, "line": found.line}
    unit = ""
    if not found.has_unit:
        put("Its lines name no unit. Which does it show: g, kg, oz or lb?")
        unit = sys.stdin.readline().strip().lower()
        values["unit"] = unit
    if found.comma:
        values["comma"] = True
    try:
        read = LineForm(found.line, unit=unit, comma=found.comma).read(example)
    except Refused as refusal:
        fail(str(refusal))
    put(f"Its lines would be read by: {found.line}")
    put(f"“{example.strip()}” is {read.text if read else 'nothing'}. Keep it? y/n")
    if sys.stdin.readline().strip().lower() not in ("y", "yes"):
        put("Nothing was kept.")
        return
    keep_values(file, "scale", values)
    put(f"Kept in {file}. The weigh prompt shows the scale from now on.")
    if read is not None and read.division_g:
        put(f"Describe it too: benchmate scale NAME --division {read.division_g:g}g")


def _listen_usb(file: Path, port: str) -> None:
    """A weighing device on USB needs no form: show what it reads, and keep its name."""
    from benchmate.scales.usb_reader import UsbReader, devices, name_of

    try:
        found = devices(port)
    except ImportError:
        fail(MISSING)
    if not found:
        fail("No scale on USB names itself one. One with a serial port: --port PORT.")
    said: list[str] = []

    def tell(live: Live) -> None:
        text = (
            f"  {live.text or live.why or live.state}  {live.state if live.text else ''}".rstrip()
        )
        if text not in said[-1:]:
            said.append(text)
            put(text)

    reader = UsbReader(name_of(found[0]), tell)
    put(f"Listening at {name_of(found[0])}. Put something on; press Enter when it reads right.")
    reader.begin()
    read = sys.stdin.readline()
    live = reader.look()
    reader.end()
    if not read or live.grams is None:
        fail(live.why or "Nothing was read: nothing is kept.")
    keep_values(file, "scale", {"port": name_of(found[0])})
    put(f"Kept in {file}. The weigh prompt shows the scale from now on.")
    put(f"Describe it too: benchmate scale NAME --division {live.division_g:g}g")


def _only_port() -> str:
    """The one port there is, serial or USB; by its lasting name where the system gives one."""
    from serial.tools.list_ports import comports

    from benchmate.scales.usb_reader import devices, name_of

    by_id = Path("/dev/serial/by-id")
    found = sorted(map(str, by_id.iterdir())) if by_id.is_dir() else [p.device for p in comports()]
    with suppress(ImportError):
        found += [name_of(it) for it in devices()]
    if len(found) != 1:
        there = f" There are: {', '.join(found)}." if found else ""
        fail(f"Which port? benchmate scale listen --port PORT.{there}")
    return found[0]
