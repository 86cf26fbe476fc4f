"""A process that appends as fast as it can and says each event's name once it is recorded.

`python -m tests.faults.writer FOLDER NAME SECONDS`: every event goes to a stream of its own or to
one that all writers share, and some to both at once. The name of what was recorded goes to stdout
only after `append` returned, one line each, unbuffered.
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

from benchmate.journal import Journal, NewRow, StaleVersion

SHARED = "place:shop"


def main(folder: Path, name: str, seconds: float) -> None:
    end = time.monotonic() + seconds
    with Journal.open(folder) as journal:
        number = 0
        while time.monotonic() < end:
            number += 1
            event = f"{name}-{number}"
            record(journal, streams_for(name, number), event)
            os.write(1, f"{event}\n".encode())


def streams_for(name: str, number: int) -> list[str]:
    return [[f"job:{name}"], [SHARED], [f"job:{name}", SHARED]][number % 3]


def record(journal: Journal, streams: list[str], event: str) -> None:
    """Append one event to each stream, deciding again for as long as others are first."""
    rows = [NewRow(stream, event.encode()) for stream in streams]
    versions = {info.stream: info.version for info in journal.streams()}
    while True:
        expected = {stream: versions.get(stream, 0) for stream in streams}
        try:
            journal.append(rows, expected)
            return
        except StaleVersion as stale:
            versions[stale.stream] = stale.actual


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], float(sys.argv[3]))
