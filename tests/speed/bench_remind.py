"""How late a reminder's channel is called: a thousand reminders, twenty windows live at a time.

The minder runs in its thread over the journal's own table, each announcement and each outcome
synced to the disk, as at a bench; only the channel is a stand-in that notes when it is called.
It is held against a bare thread that sleeps until the same times and does nothing else.

And how long it takes until another speaks when the process that reminds is killed.
"""

from __future__ import annotations

import random
import statistics
import subprocess
import sys
import threading
import time
from collections.abc import Sequence
from pathlib import Path

from whenever import Instant

from benchmate.journal import Journal
from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.dispatcher import Dispatcher
from benchmate.remind.minding import LISTENING_SLEEP_S, Minder
from benchmate.remind.rows import TableLog
from benchmate.remind.rules.edges import EdgeAhead, Now, Reminder
from benchmate.remind.rules.settings import RemindSettings
from benchmate.remind.voice import OneVoice
from tests.remind_help import MemoryLog
from tests.speed.disk import folder_on_disk
from tests.speed.harness import Measure

REMINDERS = 1000
LIVE = 20
MEAN_GAP_S = 0.03
TARGET_S = 0.3
GIVE_UP_S = 60.0
TAKEOVERS = 12
TAKEOVER_TARGET_S = 2.0
HOLD = """
import sys, time
from pathlib import Path
from tests.remind_help import MemoryLog
from benchmate.remind.voice import OneVoice
voice = OneVoice(Path(sys.argv[1]))
print(voice.take() and "held", flush=True)
time.sleep(60)
"""


class Stopwatch:
    """A channel that notes how late it is called."""

    name = "sound"

    def __init__(self) -> None:
        self.late_s: dict[str, float] = {}
        self.all_said = threading.Event()

    def available(self) -> Availability:
        return Availability(ok=True, sentence="a stopwatch")

    def send(self, reminder: Reminder) -> Outcome:
        self.late_s.setdefault(reminder.key, time.time() - reminder.edge.at_s)
        if len(self.late_s) == REMINDERS:
            self.all_said.set()
        return SENT


def measure() -> list[Measure]:
    """Lateness of reminders and of a change of voice, in ms."""
    return [*_lateness(), _change_of_voice()]


def _lateness() -> list[Measure]:
    """Median, 99th percentile and worst."""
    offsets_s = offsets_of_all()
    bare = sorted(_bare(offsets_s))
    late = sorted(late_by(offsets_s))
    marks = {
        "median": (statistics.median(late), statistics.median(bare)),
        "p99": (p99(late), p99(bare)),
        "worst": (late[-1], bare[-1]),
    }
    return [
        Measure(
            what=f"lateness of {len(late)} reminders, {LIVE} windows live, {name}",
            value=value * 1000,
            unit="ms",
            against=f"a bare sleep's lateness {bare_value * 1000:.3g} ms",
            target=TARGET_S * 1000 if name == "p99" else None,
            ok=value <= TARGET_S if name == "p99" else None,
        )
        for name, (value, bare_value) in marks.items()
    ]


def _change_of_voice() -> Measure:
    """The worst of several: from the kill of the one that reminds to another's first word."""
    with folder_on_disk() as folder:
        taken = [_takeover(folder / f"{n}.lock") for n in range(TAKEOVERS)]
    return Measure(
        what=f"another reminds after a kill, worst of {TAKEOVERS}",
        value=max(taken) * 1000,
        unit="ms",
        against=f"it asks every {LISTENING_SLEEP_S * 1000:.0f} ms",
        target=TAKEOVER_TARGET_S * 1000,
        ok=max(taken) <= TAKEOVER_TARGET_S,
    )


def _takeover(lock: Path) -> float:
    holder = subprocess.Popen([sys.executable, "-c", HOLD, str(lock)], stdout=subprocess.PIPE)
    assert holder.stdout is not None
    assert holder.stdout.readline() == b"held\n"
    stop, spoke = threading.Event(), threading.Event()
    edges = _edges([0.0], time.time())
    minder = Minder(
        edges=lambda: edges,
        now=_now,
        log=MemoryLog(),
        sender=Dispatcher([Shout(spoke)]),
        settings=lambda: RemindSettings(quiet=None),
        voice=OneVoice(lock),
    )
    thread = threading.Thread(target=minder.run, args=(stop,), daemon=True)
    thread.start()
    time.sleep(random.uniform(0.5, 1.0))
    killed_at = time.monotonic()
    holder.kill()
    spoke.wait(GIVE_UP_S)
    took_s = time.monotonic() - killed_at
    stop.set()
    minder.poke()
    thread.join(GIVE_UP_S)
    holder.communicate()
    return took_s


class Shout:
    """A channel that says when it is first called."""

    name = "sound"

    def __init__(self, spoke: threading.Event) -> None:
        self._spoke = spoke

    def available(self) -> Availability:
        return Availability(ok=True, sentence="a shout")

    def send(self, reminder: Reminder) -> Outcome:
        self._spoke.set()
        return SENT


def offsets_of_all() -> list[float]:
    chance = random.Random(1000)
    at_s, offsets = 1.0, []
    for _ in range(REMINDERS):
        at_s += chance.expovariate(1 / MEAN_GAP_S)
        offsets.append(at_s)
    return offsets


def p99(ordered: Sequence[float]) -> float:
    return ordered[min(len(ordered) - 1, round(0.99 * len(ordered)))]


def _bare(offsets_s: Sequence[float]) -> list[float]:
    start_s, late, never = time.time(), [], threading.Event()
    for offset_s in offsets_s:
        at_s = start_s + offset_s
        never.wait(max(0.0, at_s - time.time()))
        late.append(time.time() - at_s)
    return late


def late_by(offsets_s: Sequence[float]) -> list[float]:
    with folder_on_disk() as folder, Journal.open(folder / "data") as journal:
        return _minded(offsets_s, journal, folder)


def _minded(offsets_s: Sequence[float], journal: Journal, folder: Path) -> list[float]:
    watch, stop = Stopwatch(), threading.Event()
    edges = _edges(offsets_s, time.time())
    minder = Minder(
        edges=lambda: _live(edges, watch),
        now=_now,
        log=TableLog(journal.deliveries),
        sender=Dispatcher([watch]),
        settings=lambda: RemindSettings(quiet=None),
        voice=OneVoice(folder / "voice.lock"),
    )
    thread = threading.Thread(target=minder.run, args=(stop,), daemon=True)
    thread.start()
    watch.all_said.wait(offsets_s[-1] + GIVE_UP_S)
    stop.set()
    minder.poke()
    thread.join(GIVE_UP_S)
    if len(watch.late_s) != len(offsets_s):
        raise RuntimeError(f"{len(offsets_s) - len(watch.late_s)} reminders were lost")
    return list(watch.late_s.values())


def _live(edges: Sequence[EdgeAhead], watch: Stopwatch) -> list[EdgeAhead]:
    """The first twenty that were not said yet: a window that was told is met at once."""
    first = max(0, len(watch.late_s) - LIVE)
    unsaid = (edge for edge in edges[first:] if edge.key not in watch.late_s)
    return [edge for edge, _ in zip(unsaid, range(LIVE), strict=False)]


def _edges(offsets_s: Sequence[float], start_s: float) -> list[EdgeAhead]:
    return [
        EdgeAhead(
            key=f"window-{n}",
            job="job",
            address=f"job/all/all/step#{n}",
            label=f"window {n}",
            edge="opens",
            at_s=start_s + offset_s,
            begun_s=start_s,
        )
        for n, offset_s in enumerate(offsets_s)
    ]


def _now() -> Now:
    wall_ns = time.time_ns()
    return Now(wall_ns / 1e9, Instant.from_timestamp(wall_ns, unit="nanosecond").to_tz("UTC"))
