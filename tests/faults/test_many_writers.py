"""Four processes write to one journal: none lost, none twice, the chain good."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from benchmate.journal import Journal, verify

from .campaign import scaled, start, tell
from .writer import streams_for

WRITERS = ("a", "b", "c", "d")
SECONDS = scaled(2, 20)


def test_four_processes_lose_nothing_and_write_nothing_twice(tmp_path: Path) -> None:
    """They also make the journal: all four start on an empty folder at once."""
    writers = [start("writer", tmp_path, name, SECONDS) for name in WRITERS]
    outputs = [writer.communicate(timeout=SECONDS + 60)[0] for writer in writers]
    assert [writer.returncode for writer in writers] == [0] * len(WRITERS)

    acknowledged = [output.split() for output in outputs]
    assert all(len(events) > 10 for events in acknowledged)
    expected: Counter[tuple[str, str]] = Counter()
    for name, events in zip(WRITERS, acknowledged, strict=True):
        for event in events:
            number = int(event.rpartition("-")[2])
            expected.update((stream, event) for stream in streams_for(name, number))

    with Journal.open(tmp_path) as journal:
        rows = journal.read_since(0)
    assert Counter((row.stream, row.data.decode()) for row in rows) == expected
    assert verify(tmp_path).ok
    tell(
        f"4 writers, {SECONDS} s: {sum(map(len, acknowledged))} commits "
        f"({'/'.join(str(len(events)) for events in acknowledged)}), {len(rows)} events"
    )
