"""What a durable weighing costs beside the least that SQLite can do for one.

Bare: one row of the same bytes into a table of one column, in its own transaction, write-ahead
log, synchronous FULL, on the same disk in the same run. Ours adds the chain, the version, the
list of streams, the index that guards against two writers, and the head.
"""

from __future__ import annotations

import sqlite3
import statistics
import time
from collections.abc import Callable
from pathlib import Path

from benchmate.journal import Journal, NewRow
from tests.speed.disk import file_system, folder_on_disk
from tests.speed.harness import Measure, against, alternately

ROUNDS = 400
BURST = 300
TARGET_RATIO = 1.5
EVENT = (
    b'{"kind":"weighed","schema":1,"id":"01JDKQ3F7Z8Y","step":"bookends-1/B/block/layer 2",'
    b'"happened":{"wall":1795786920.25,"boot_id":"5f0c","boot_ns":9051200123456},'
    b'"recorded":{"wall":1795786921.75,"boot_id":"5f0c","boot_ns":9052700123456},'
    b'"gross_text":"518.4 g","gross_g":518.4,"tare_g":400.0,"scale":"kitchen","by":"key"}'
)


def bare_append(path: Path) -> Callable[[], None]:
    """Append one event to a plain table, synced."""
    database = sqlite3.connect(path, isolation_level=None)
    assert database.execute("PRAGMA journal_mode=WAL").fetchone() == ("wal",)
    database.execute("PRAGMA synchronous=FULL")
    database.execute("CREATE TABLE bare (seq INTEGER PRIMARY KEY, data BLOB)")

    def append() -> None:
        database.execute("BEGIN IMMEDIATE")
        database.execute("INSERT INTO bare (data) VALUES (?)", (EVENT,))
        database.execute("COMMIT")

    return append


def journal_append(journal: Journal) -> Callable[[], None]:
    """Append one event to one of 20 open jobs in turn, among 200."""
    names = [f"job:bookends-{number}" for number in range(200)]
    rows = [NewRow(name, EVENT) for name in names]
    opened = {name: number < 20 for number, name in enumerate(names)}
    journal.append(rows, dict.fromkeys(names, 0), open_streams=opened)
    versions = dict.fromkeys(names[:20], 1)
    turn = 0

    def append() -> None:
        nonlocal turn
        name = names[turn % 20]
        journal.append([NewRow(name, EVENT)], {name: versions[name]})
        versions[name] += 1
        turn += 1

    return append


def measure() -> list[Measure]:
    """One append with time to breathe after it, as in a shop; then appends without a break."""
    with folder_on_disk() as folder, Journal.open(folder / "data") as journal:
        bare, ours = bare_append(folder / "bare.db"), journal_append(journal)
        # The pause outlasts the head's deferred sync, which else would slow the bare commits.
        bare_ms, ours_ms = alternately([bare, ours], ROUNDS, pause_s=0.03)
        # On a busy machine a wait for the disk ends at a tick of the scheduler, 2 or 4 ms late, and
        # a median jumps from tick to tick. The quickest tenth is what nobody disturbed.
        bare_quick, ours_quick = (statistics.quantiles(ms, n=10)[0] for ms in (bare_ms, ours_ms))
        bare_burst, ours_burst = per_act(bare), per_act(ours)
        kind = file_system(folder)
        return [
            against(
                f"durable append of {len(EVENT)} bytes, median of {ROUNDS}",
                statistics.median(ours_ms),
                statistics.median(bare_ms),
                "ms",
                f"bare WAL+FULL commit on {kind},",
                target_ratio=TARGET_RATIO,
            ),
            against(
                "the same, quickest tenth", ours_quick, bare_quick, "ms", "bare, quickest tenth,"
            ),
            against(
                f"the same, {BURST} without a break, mean",
                ours_burst,
                bare_burst,
                "ms",
                "bare, without a break,",
                target_ratio=TARGET_RATIO,
            ),
            open_append_close(folder, ours_ms),
        ]


def per_act(act: Callable[[], None]) -> float:
    """The mean time in ms of an act done over and over; whatever it defers is in it."""
    start = time.perf_counter()
    for _ in range(BURST):
        act()
    return (time.perf_counter() - start) * 1000 / BURST


def open_append_close(folder: Path, ours_ms: list[float]) -> Measure:
    """What a command does: open an existing journal, append once, close it with its head synced."""
    versions = iter(range(10_000))

    def command() -> None:
        with Journal.open(folder / "command") as journal:
            journal.append([NewRow("job:a", EVENT)], {"job:a": next(versions)})

    command()
    (times,) = alternately([command], 60)
    return against(
        "open, append, close, as a command does",
        statistics.median(times),
        statistics.median(ours_ms),
        "ms",
        "append to an open one,",
    )
