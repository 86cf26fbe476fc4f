"""A disk with no room: a sentence, nothing acknowledged lost, and all well once there is room."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.journal import Journal, JournalFull, JournalUnwritable, NewRow, verify
from benchmate.journal.keeping.rescue import restore

from .mounts import tiny_disk

EVENT = b'{"kind": "weighed", "note": "' + b"x" * 260 + b'"}'


def append_until_refused(journal: Journal, version: int = 0) -> tuple[int, JournalUnwritable]:
    """How many events were acknowledged, and the refusal."""
    while True:
        try:
            journal.append([NewRow("job:a", EVENT)], {"job:a": version})
        except JournalUnwritable as refusal:
            return version, refusal
        version += 1


def test_a_disk_that_fills_up_refuses_the_act_and_keeps_all_before_it(tmp_path: Path) -> None:
    with tiny_disk(tmp_path / "disk", 600) as disk:
        filler = disk / "somebody else's file"
        filler.write_bytes(bytes(200_000))
        with Journal.open(disk / "data") as journal:
            acknowledged, refusal = append_until_refused(journal)
            assert isinstance(refusal, JournalFull)
            assert "is full. Nothing was recorded. Make some room" in str(refusal)
            assert acknowledged > 5
            assert len(journal.read_stream("job:a")) == acknowledged
            assert journal.verify().ok

            # Still full, it refuses again rather than doing half of it.
            assert append_until_refused(journal, acknowledged)[0] == acknowledged

            filler.unlink()
            journal.append([NewRow("job:a", EVENT)], {"job:a": acknowledged})
            assert journal.verify().events == acknowledged + 1
        assert verify(disk / "data").ok
        with Journal.open(disk / "data") as again:
            assert len(again.read_stream("job:a")) == acknowledged + 1


def test_opening_or_making_a_journal_on_a_full_disk_is_told_in_a_sentence(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "data") as journal:
        journal.append([NewRow("job:a", EVENT)], {"job:a": 0})
        backup = journal.backup(tmp_path / "out").path
    with tiny_disk(tmp_path / "disk", 200) as disk:
        restore(backup, disk / "data")
        fill_up(disk)
        for folder in (disk / "data", disk / "new", disk):
            with pytest.raises(JournalUnwritable, match="Nothing was recorded"):
                Journal.open(folder)
        (disk / "filler").unlink()
        for folder in (disk / "data", disk / "new"):
            with Journal.open(folder) as journal:
                assert journal.verify().ok


def fill_up(disk: Path) -> None:
    with (disk / "filler").open("wb", buffering=0) as filler:
        try:
            while True:
                filler.write(bytes(4096))
        except OSError:
            pass


def test_a_backup_or_a_restore_that_finds_no_room_leaves_everything_as_it_was(
    tmp_path: Path,
) -> None:
    with Journal.open(tmp_path / "data") as journal:
        rows = journal.append([NewRow("job:a", EVENT) for _ in range(1000)], {"job:a": 0})
        backup = journal.backup(tmp_path / "out").path
        with tiny_disk(tmp_path / "disk", 200) as disk:
            with pytest.raises(JournalFull):
                journal.backup(disk / "out")
            assert list(disk.iterdir()) == []
            with Journal.open(disk) as small:
                small.append([NewRow("job:b", EVENT)], {"job:b": 0})
            with pytest.raises(JournalUnwritable):
                restore(backup, disk)
            with Journal.open(disk) as small:
                assert len(small.read_since(0)) == 1
        assert tuple(journal.read_since(0)) == rows
