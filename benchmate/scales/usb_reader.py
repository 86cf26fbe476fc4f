"""Reads a weighing device on USB (HID usage page 0x8D) by its reports: it needs no form.

Such a device isn't exclusive: each bench reads it for itself.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping
from typing import Any

from benchmate.clock import steady_s
from benchmate.scales.hid import LONGEST_REPORT, USAGE_PAGE, read_report, report_id_of
from benchmate.scales.reader import Reader
from benchmate.scales.reading import Live
from benchmate.scales.steady import Steady

PLACE = "usb"
"""A port of this name is the first such device there is; "usb:1234:5678" the one of that vendor
and product, in hexadecimal."""
LOOK_MS = 300
"""Some send on a change alone: after so long one is asked what it shows."""
DENIED = (
    "The scale may not be read. As root write this line into /etc/udev/rules.d/70-scale.rules, "
    'then unplug it and plug it in: KERNEL=="hidraw*", ATTRS{{idVendor}}=="{vendor_id:04x}", '
    'ATTRS{{idProduct}}=="{product_id:04x}", TAG+="uaccess"'
)


def devices(port: str = PLACE) -> list[Mapping[str, Any]]:
    """The weighing devices there are, of those that a port means. Raises ImportError."""
    wanted = port.lower().split(":")[1:]
    return [
        it
        for it in _library().enumerate()
        if it["usage_page"] == USAGE_PAGE and name_of(it).split(":")[1:][: len(wanted)] == wanted
    ]


def name_of(device: Mapping[str, Any]) -> str:
    """The port's name by which this device is found again."""
    return f"{PLACE}:{device['vendor_id']:04x}:{device['product_id']:04x}"


def is_usb(port: str) -> bool:
    """Whether a port of the settings means a weighing device on USB."""
    return port.lower().split(":")[0] == PLACE


class UsbReader(Reader):
    """Waits for reports, and asks for one where none comes by itself."""

    def __init__(self, port: str, tell: Callable[[Live], None] = lambda live: None) -> None:
        """Raises ImportError where the library is missing."""
        super().__init__(tell)
        self._port, self._denied = port, ""
        _library()

    def _listen(self) -> None:
        found = devices(self._port)
        if not found:
            self._denied = ""
            raise OSError("no such device")
        may = sys.platform != "linux" or os.access(os.fsdecode(found[0]["path"]), os.R_OK)
        self._denied = "" if may else DENIED.format(**found[0])
        device = _library().device()
        device.open_path(found[0]["path"])
        try:
            self._hear(device)
        finally:
            device.close()

    def _hear(self, device: Any) -> None:
        report_id = report_id_of(bytes(device.get_report_descriptor()))
        steady = Steady()
        while not self.over.is_set():
            report = device.read(LONGEST_REPORT, LOOK_MS) or self._asked(device, report_id)
            now_s, reading = steady_s(), read_report(bytes(report), report_id)
            self.say(steady.look(now_s) if reading is None else steady.hear(reading, now_s))

    def _asked(self, device: Any, report_id: int | None) -> list[int]:
        """What it shows, if it answers at all; where it is gone the next read says so."""
        try:
            asked: list[int] = device.get_input_report(report_id or 0, LONGEST_REPORT)
        except (OSError, ValueError):
            return []
        return asked if report_id is not None else asked[-LONGEST_REPORT + 1 :]

    def _why(self, error: OSError) -> str:
        return self._denied


def _library() -> Any:
    """The library, on Linux by the kernel's own driver, which leaves the device to others too."""
    if sys.platform == "linux":
        import hidraw

        return hidraw
    import hid

    return hid
