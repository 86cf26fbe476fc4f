"""Reads a serial port in a thread of its own and keeps the latest of what it heard.

The port is exclusive: a second reader is told so at once. Unplugged and silent are two things: a
port that is gone is tried again each second, one that says nothing is only waited for.
"""

from __future__ import annotations

import errno
import sys
import threading
from collections.abc import Callable

import serial

from benchmate.clock import steady_s
from benchmate.scales.cable import Cable
from benchmate.scales.lines import LineForm, Lines
from benchmate.scales.reading import GONE, SILENT, Live
from benchmate.scales.steady import SILENT_S, Steady

AGAIN_S = 1.0
LOOK_S = 0.1
UNREAD_S = 3.0
NO_FORM = "The scale sends, but no line fits: speed or form? Try benchmate scale listen."
DENIED = "The scale's port may not be opened; on Linux join the group dialout."
BUSY = "Another bench has the scale's port."


def open_port(cable: Cable) -> serial.Serial:
    """The port, for this process alone. Raises OSError (serial's own errors are such)."""
    # Where the system has no such lock (Windows), a port opens only once anyway.
    exclusive = None if sys.platform == "win32" else True
    return serial.Serial(
        cable.port, cable.speed, timeout=LOOK_S, write_timeout=1.0, exclusive=exclusive
    )


class SerialReader:
    """The latest wins: `latest` is looked at, never waited for."""

    def __init__(
        self,
        cable: Cable,
        tell: Callable[[Live], None] = lambda live: None,
        raw: Callable[[bytes], None] = lambda data: None,
    ) -> None:
        """Raises Refused for a form that can't be read. `tell` and `raw` are called in the
        thread, with what is live and with the bytes as they came."""
        self.cable, self._tell, self._raw = cable, tell, raw
        self._form = (
            LineForm(cable.line, unit=cable.unit, comma=cable.comma, divide=cable.divide)
            if cable.line
            else None
        )
        self.latest = GONE
        self.busy = False
        """Whether somebody else has the port."""
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._run, name="scale", daemon=True)

    def begin(self) -> None:
        """Start reading."""
        self._thread.start()

    def end(self) -> None:
        """Stop, and free the port."""
        self._over.set()
        self._thread.join(3.0)

    def look(self) -> Live:
        """What is live now: an old weight never is, whatever else came on the line since."""
        live = self.latest
        if live.state in ("gone", "silent", "fault") or steady_s() - live.at_s <= SILENT_S:
            return live
        return SILENT

    def _run(self) -> None:
        while not self._over.is_set():
            try:
                self._listen()
            except OSError as error:
                self.busy = _is_busy(error)
                self._say(Live("gone", why=_why(error)))
            except Exception as error:  # A dead thread would look like a scale at rest.
                self._say(Live("fault", why=f"The scale's reader stumbled: {error!r}."))
            self._over.wait(AGAIN_S)
        self.latest = GONE

    def _say(self, live: Live) -> None:
        """Keep it, then pass it on; whoever listens may stumble without harm to what is kept."""
        self.latest = live
        try:
            self._tell(live)
        except Exception as error:
            self.latest = Live("fault", why=f"What the scale says can't be passed on: {error!r}.")

    def _listen(self) -> None:
        with open_port(self.cable) as port:
            self.busy = False
            lines, steady = Lines(), Steady()
            asked_s, unread_s = 0.0, 0.0
            while not self._over.is_set():
                if self.cable.ask and steady_s() - asked_s >= self.cable.every_s:
                    asked_s = steady_s()
                    port.write(self.cable.ask.encode("ascii", "replace"))
                data = port.read(max(1, min(port.in_waiting, 4096)))
                now_s = steady_s()
                if data:
                    self._raw(data)
                    fits = self._hear(lines.feed(data), steady, now_s)
                    unread_s = 0.0 if fits else unread_s or now_s
                    if unread_s and now_s - unread_s > UNREAD_S:
                        self._say(Live("fault", at_s=now_s, why=NO_FORM))
                elif self.latest.state != "fault" or now_s - self.latest.at_s > SILENT_S:
                    self._say(steady.look(now_s))

    def _hear(self, whole: list[str | None], steady: Steady, now_s: float) -> bool:
        """Judge whole lines; whether one was of the scale's form."""
        fits = False
        for line in whole:
            if line is None:
                # Something is missing here: what comes is compared with nothing before it.
                steady.forget()
                continue
            reading = self._form.read(line) if self._form else None
            if reading is not None:
                fits = True
                self._say(steady.hear(reading, now_s))
        return fits


def _why(error: OSError) -> str:
    """A sentence, where it isn't just unplugged."""
    if _is_busy(error):
        return BUSY
    return DENIED if error.errno == errno.EACCES else ""


def _is_busy(error: OSError) -> bool:
    """By the lock's own word: the library wraps the number that the system gives."""
    return error.errno in (errno.EAGAIN, errno.EACCES, errno.EBUSY) and "lock" in str(error).lower()
