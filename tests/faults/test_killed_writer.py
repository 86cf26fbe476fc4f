"""A writing process is killed at random moments: every acknowledged event is there."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from benchmate.journal import Journal, verify

from .campaign import scaled, seeded, start, tell
from .writer import streams_for

KILLS = scaled(20, 200)
LATEST_KILL_S = 0.35


@pytest.mark.skipif(os.name == "nt", reason="kill -9 is POSIX")
@pytest.mark.timeout(600)
def test_a_killed_writer_loses_no_acknowledged_event(tmp_path: Path) -> None:
    """From before the journal is opened to well into the writing; always the same journal."""
    chance = seeded("killed writer")
    acknowledged: set[tuple[str, str]] = set()
    while_writing = unacknowledged = 0
    for kill in range(KILLS):
        writer = start("writer", tmp_path, f"w{kill}", 60)
        assert writer.stdout is not None
        # Every other one is killed once it writes, however slow this machine is to start it.
        first = writer.stdout.readline() if kill % 2 else ""
        time.sleep(chance.uniform(0, LATEST_KILL_S))
        writer.kill()
        events = (first + writer.communicate()[0]).split()
        assert writer.returncode == -9
        for event in events:
            number = int(event.rpartition("-")[2])
            acknowledged |= {(stream, event) for stream in streams_for(f"w{kill}", number)}
        while_writing += bool(events)

        if (tmp_path / "journal.db").exists():
            verdict = verify(tmp_path)
            assert verdict.ok, verdict.sentence
        with Journal.open(tmp_path) as journal:
            present = [(row.stream, row.data.decode()) for row in journal.read_since(0)]
        assert len(present) == len(set(present)), "an event is there twice"
        assert acknowledged <= set(present)
        # At most the commit that was in flight was recorded and never said: two rows of one event.
        unsaid = set(present) - acknowledged
        assert len({event for _, event in unsaid}) <= 1
        unacknowledged += bool(unsaid)
        acknowledged |= unsaid
    assert while_writing > KILLS // 4, "too few of the kills hit a writing process"
    tell(
        f"{KILLS} kills, {while_writing} of them while writing: {len(acknowledged)} rows all "
        f"there, {unacknowledged} times a commit was recorded but not yet acknowledged"
    )
