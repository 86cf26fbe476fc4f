"""The scale on a cable, for as long as somebody weighs: who owns its port, and who reads along."""

from __future__ import annotations

from benchmate.bench.service import Bench
from benchmate.clock import steady_s
from benchmate.quantities import parse_duration_s
from benchmate.refusal import Refused
from benchmate.scales.cable import Cable
from benchmate.scales.reading import Live
from benchmate.settings.model import ScaleDefaults

MISSING = "A scale on a cable needs two packages more: pip install 'benchmate[scales]'."


def cable_of(it: ScaleDefaults) -> Cable:
    """What the settings say of the cable."""
    every_s = max(0.1, parse_duration_s(it.every))
    return Cable(it.port, it.speed, it.line, it.unit, it.comma, it.ask, every_s, it.divide)


class LiveScale:
    """Reads the port, or what the bench that has the port writes down. `end` frees it."""

    def __init__(self, bench: Bench) -> None:
        """Raises Refused with a sentence: packages missing, or a form that can't be read."""
        try:
            from benchmate.scales.published import Publisher, published_file, read_published
            from benchmate.scales.serial_reader import SerialReader
        except ImportError:
            raise Refused(MISSING) from None
        cable = cable_of(bench.settings.scale)
        if not cable.line:
            raise Refused("The scale's lines are not known yet: benchmate scale listen.")
        self._file, self._read_published = published_file(bench.folders.data), read_published
        self._publisher = Publisher(self._file)
        self._reader = SerialReader(cable, self._publish)
        self._reader.begin()

    def _publish(self, live: Live) -> None:
        # Whoever only reads along must not write over the owner's word.
        if not self._reader.busy:
            self._publisher.publish(live, steady_s())

    def look(self) -> Live:
        """What is live now."""
        if self._reader.busy:
            return self._read_published(self._file, steady_s())
        return self._reader.look()

    def end(self) -> None:
        """Stop reading."""
        self._reader.end()
