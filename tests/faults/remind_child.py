"""A process that minds edges over the real journal's table, made to be killed.

    python -m tests.faults.remind_child FOLDER COUNT FIRST_S SPACING_S [POINT NTH]

Three edges open at FIRST_S, three at FIRST_S + SPACING_S … (Unix seconds). Each call of its one
channel is a line in FOLDER/calls. With a POINT it kills itself there the NTH time it comes by:
"announcing" (before the "about to" is written), "announced" (after it), "called" (after the
channel's call), "noted" (after the "sent" is written).
"""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Sequence
from pathlib import Path

from whenever import Instant

from benchmate.journal import Journal
from benchmate.remind import minding
from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.dispatcher import Dispatcher
from benchmate.remind.minding import Minder
from benchmate.remind.rows import TableLog
from benchmate.remind.rules.edges import EdgeAhead, Now, Reminder
from benchmate.remind.rules.said import Delivery
from benchmate.remind.rules.settings import RemindSettings
from benchmate.remind.voice import OneVoice


class Point:
    """Where this process dies, if anywhere."""

    def __init__(self, name: str = "", nth: str = "1") -> None:
        self.name, self.left = name, int(nth)

    def pass_by(self, name: str) -> None:
        if name == self.name:
            self.left -= 1
            if self.left == 0:
                os.kill(os.getpid(), signal.SIGKILL)


class Log(TableLog):
    """The real log, with points to die at around each write."""

    point: Point

    def record(self, deliveries: Sequence[Delivery]) -> None:
        states = {line.state for line in deliveries}
        if "about to" in states:
            self.point.pass_by("announcing")
        super().record(deliveries)
        self.point.pass_by("announced" if "about to" in states else "noted")


class FileChannel:
    """A channel whose calls are lines in a file, written in one go."""

    name = "sound"

    def __init__(self, file: Path, point: Point) -> None:
        self._descriptor = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        self._point = point

    def available(self) -> Availability:
        return Availability(ok=True, sentence="a file")

    def send(self, reminder: Reminder) -> Outcome:
        again = "again" if reminder.again else "first"
        line = f"{reminder.key} {again} {os.getpid()} {time.time() - reminder.due_s:.4f}\n"
        os.write(self._descriptor, line.encode())
        self._point.pass_by("called")
        return SENT


def edges_of(count: int, first_s: float, spacing_s: float) -> list[EdgeAhead]:
    """Edges that open three at a time."""
    return [
        EdgeAhead(
            key=f"edge-{n}",
            job="job",
            address="job/all/all/step#1",
            label=f"window-{n}",
            edge="opens",
            at_s=first_s + n // 3 * spacing_s,
        )
        for n in range(count)
    ]


def now() -> Now:
    wall_ns = time.time_ns()
    return Now(wall_ns / 1e9, Instant.from_timestamp(wall_ns, unit="nanosecond").to_tz("UTC"))


def main(folder: Path, count: int, first_s: float, spacing_s: float, point: Point) -> None:
    minding.LISTENING_SLEEP_S = 0.02
    edges = edges_of(count, first_s, spacing_s)
    with Journal.open(folder) as journal:
        log = Log(journal.deliveries)
        log.point = point
        minder = Minder(
            edges=lambda: edges,
            now=now,
            log=log,
            sender=Dispatcher([FileChannel(folder / "calls", point)], most_waiting=count),
            settings=lambda: RemindSettings(quiet=None),
            voice=OneVoice(folder / "voice.lock"),
        )
        minder.run(threading.Event())


if __name__ == "__main__":
    main(
        Path(sys.argv[1]),
        int(sys.argv[2]),
        float(sys.argv[3]),
        float(sys.argv[4]),
        Point(*sys.argv[5:]),
    )
