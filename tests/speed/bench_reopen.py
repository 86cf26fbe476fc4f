"""What it costs to open the bench on years of jobs: 200 jobs of 500 events, 20 of them open.

Bare: read the data of all 100,000 rows with plain SQLite and make each an object with `json`. The
bench reads only what is open, but checks every row it reads.
"""

from __future__ import annotations

import json
import sqlite3
import statistics
from collections.abc import Callable, Sequence
from pathlib import Path

from benchmate.journal import Journal, NewRow, StoredRow
from tests.speed.disk import folder_on_disk
from tests.speed.harness import Measure, against, alternately

JOBS, EVENTS, OPEN = 200, 500, 20
ROUNDS = 7
TARGET_RATIO = 1.0

Fold = Callable[[Sequence[StoredRow]], object]
FOLDS: dict[str, Fold] = {"parsed as JSON": lambda rows: [json.loads(row.data) for row in rows]}
"""What is done with the rows of the open jobs once they are read: a place for the core's fold."""


def event(job: int, number: int) -> bytes:
    """About 300 bytes that look like an event."""
    return json.dumps(
        {
            "kind": ("weighed", "act done", "air read", "noted")[number % 4],
            "schema": 1,
            "id": f"{job:04}-{number:06}",
            "step": f"bookends-{job}/{'AB'[number % 2]}/block/layer {number % 4 + 1}",
            "happened": {"wall": 1795786920.25 + number, "boot_id": "5f0c", "boot_ns": number},
            "recorded": {"wall": 1795786921.75 + number, "boot_id": "5f0c", "boot_ns": number},
            "gross_text": f"{400 + number % 300}.4 g",
            "gross_g": 400.4 + number % 300,
            "tare_g": 400.0,
            "scale": "kitchen",
        }
    ).encode()


def write_years(folder: Path) -> None:
    """The jobs in turn, as makers work: a few at once, so that their events lie mixed."""
    with Journal.open(folder) as journal:
        for first in range(0, JOBS, 10):
            jobs = range(first, first + 10)
            rows = [NewRow(f"job:{j}", event(j, n)) for n in range(EVENTS) for j in jobs]
            names = [f"job:{job}" for job in jobs]
            opened = {f"job:{job}": job >= JOBS - OPEN for job in jobs}
            journal.append(rows, dict.fromkeys(names, 0), open_streams=opened)


def read_bare(folder: Path) -> list[object]:
    """All rows' data as objects, unchecked."""
    database = sqlite3.connect(folder / "journal.db")
    try:
        return [json.loads(data) for (data,) in database.execute("SELECT data FROM events")]
    finally:
        database.close()


def reopen(folder: Path, fold: Fold) -> object:
    """Open the journal to write, read and check the open jobs, and fold them."""
    with Journal.open(folder) as journal:
        return fold(journal.read_open())


def measure() -> list[Measure]:
    """Reopening with each fold, then a whole check, against the same bare reading."""
    with folder_on_disk() as folder:
        write_years(folder)
        acts: dict[str, Callable[[], object]] = {"bare": lambda: read_bare(folder)}
        for name, fold in FOLDS.items():
            acts[f"reopen, open jobs {name}"] = lambda fold=fold: reopen(folder, fold)  # type: ignore[misc]
        acts["reopen, open jobs only read and checked"] = lambda: reopen(folder, len)
        acts["verify everything"] = lambda: verify_all(folder)
        times = alternately(list(acts.values()), ROUNDS)
        medians = dict(zip(acts, map(statistics.median, times), strict=True))
        bare = medians.pop("bare")
        words = f"plain read and JSON of all {JOBS * EVENTS:,} rows,"
        return [
            against(
                what,
                value,
                bare,
                "ms",
                words,
                target_ratio=TARGET_RATIO if what.startswith("reopen") else None,
            )
            for what, value in medians.items()
        ]


def verify_all(folder: Path) -> None:
    """The whole check, which the bench runs in a worker after its first frame."""
    with Journal.open(folder, read_only=True) as journal:
        assert journal.verify().events == JOBS * EVENTS
