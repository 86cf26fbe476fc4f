"""The scale on a cable, for as long as a bench is open: who owns its port, and who reads along."""

from __future__ import annotations

from collections.abc import Callable
from threading import Thread

from benchmate.bench.service import Bench
from benchmate.clock import steady_s
from benchmate.quantities import parse_duration_s
from benchmate.refusal import Refused
from benchmate.scales.cable import Cable
from benchmate.scales.published import Publisher, published_file, read_published
from benchmate.scales.reader import Reader
from benchmate.scales.reading import Live
from benchmate.settings.model import ScaleDefaults

MISSING = "A scale on a cable needs three packages more: pip install 'benchmate[scales]'."


def cable_of(it: ScaleDefaults) -> Cable:
    """What the settings say of the cable."""
    every_s = max(0.1, parse_duration_s(it.every))
    return Cable(it.port, it.speed, it.line, it.unit, it.comma, it.ask, every_s, it.divide)


class LiveScale:
    """Reads the port, or what the bench that has the port writes down. `end` frees it."""

    def __init__(self, bench: Bench) -> None:
        """Raises Refused with a sentence: packages missing, or a form that can't be read."""
        self._file = published_file(bench.folders.data)
        self._publisher = Publisher(self._file)
        try:
            self._reader = self._made(cable_of(bench.settings.scale))
        except ImportError:
            raise Refused(MISSING) from None
        self._reader.begin()

    def _made(self, cable: Cable) -> Reader:
        from benchmate.scales.usb_reader import UsbReader, is_usb

        if is_usb(cable.port):
            return UsbReader(cable.port, self._publish)
        from benchmate.scales.serial_reader import SerialReader

        if not cable.line:
            raise Refused("The scale's lines are not known yet: benchmate scale listen.")
        return SerialReader(cable, self._publish)

    def _publish(self, live: Live) -> None:
        # Whoever only reads along must not write over the owner's word.
        if not self._reader.busy:
            self._publisher.publish(live, steady_s())

    def look(self) -> Live:
        """What is live now."""
        if self._reader.busy:
            return read_published(self._file, steady_s())
        return self._reader.look()

    def now_s(self) -> float:
        """Now, by the clock that its readings are stamped with."""
        return steady_s()

    def end(self) -> None:
        """Stop reading."""
        self._reader.end()


def ring(bench: Bench, tone: int, bell: Callable[[], None]) -> None:
    """A tone beside the pour, in a thread of its own: 1 a tenth is left, 2 nothing is. The bell
    where tones aren't wanted or can't be heard."""
    from benchmate.remind.channels.playing import play
    from benchmate.remind.channels.tones import POURING, as_wav, render

    reminders = bench.settings.reminders

    def sounded() -> None:
        wav = as_wav(render(POURING[tone], reminders.volume))
        if "sound" not in reminders.channels or not play(wav).ok:
            bell()

    Thread(target=sounded, name="tone", daemon=True).start()


def live_elsewhere(bench: Bench) -> Live:
    """What a bench that is open hears of the scale."""
    return read_published(published_file(bench.folders.data), steady_s())
