"""Reads a scale on a serial port. The port is exclusive: a second reader is told so at once."""

from __future__ import annotations

import errno
import sys
from collections.abc import Callable

import serial

from benchmate.clock import steady_s
from benchmate.scales.cable import Cable
from benchmate.scales.hearing import Hearing
from benchmate.scales.reader import LOOK_S, Reader
from benchmate.scales.reading import Live

DENIED = "The scale's port may not be opened; on Linux join the group dialout."
BUSY = "Another bench has the scale's port."


class SerialReader(Reader):
    """Asks the scale, if it must be asked, and hears what it sends."""

    def __init__(
        self,
        cable: Cable,
        tell: Callable[[Live], None] = lambda live: None,
        raw: Callable[[bytes], None] = lambda data: None,
    ) -> None:
        """Raises Refused for a form that can't be read. `raw` is called in the thread with the
        bytes as they came."""
        super().__init__(tell)
        Hearing(cable)
        self.cable, self._raw = cable, raw

    def _listen(self) -> None:
        with _open(self.cable) as port:
            self.busy = False
            hearing, asked_s = Hearing(self.cable), 0.0
            while not self.over.is_set():
                if self.cable.ask and steady_s() - asked_s >= self.cable.every_s:
                    asked_s = steady_s()
                    port.write(self.cable.ask.encode("ascii", "replace"))
                data = port.read(max(1, min(port.in_waiting, 4096)))
                if data:
                    self._raw(data)
                    for live in hearing.feed(data, steady_s()):
                        self.say(live)
                else:
                    self.say(hearing.idle(steady_s()))

    def _why(self, error: OSError) -> str:
        self.busy = _is_busy(error)
        if self.busy:
            return BUSY
        return DENIED if error.errno == errno.EACCES else ""


def _open(cable: Cable) -> serial.Serial:
    """The port, for this process alone. Raises OSError (serial's own errors are such)."""
    # Where the system has no such lock (Windows), a port opens only once anyway.
    exclusive = None if sys.platform == "win32" else True
    return serial.Serial(
        cable.port, cable.speed, timeout=LOOK_S, write_timeout=1.0, exclusive=exclusive
    )


def _is_busy(error: OSError) -> bool:
    """By the lock's own word: the library wraps the number that the system gives."""
    return error.errno in (errno.EAGAIN, errno.EACCES, errno.EBUSY) and "lock" in str(error).lower()
