"""A folder that can't be written: a sentence when writing was meant, all events when reading."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.journal import Journal, JournalUnwritable, NewRow, verify

from .mounts import read_only_view


def fill(folder: Path) -> Journal:
    journal = Journal.open(folder)
    for version in range(5):
        journal.append([NewRow("job:a", b"%d" % version)], {"job:a": version})
    return journal


def test_a_closed_journal_in_a_read_only_folder_can_be_read_and_checked(tmp_path: Path) -> None:
    fill(tmp_path / "data").close()
    with read_only_view(tmp_path / "data", tmp_path / "view") as view:
        with pytest.raises(JournalUnwritable, match=r"can't be (written|opened)"):
            Journal.open(view)
        with Journal.open(view, read_only=True) as journal:
            assert len(journal.read_stream("job:a")) == 5
        assert verify(view).ok


def test_a_journal_open_elsewhere_can_be_read_through_a_read_only_folder(tmp_path: Path) -> None:
    with fill(tmp_path / "data"), read_only_view(tmp_path / "data", tmp_path / "view") as view:
        with Journal.open(view, read_only=True) as journal:
            assert len(journal.read_stream("job:a")) == 5
        with pytest.raises(JournalUnwritable):
            Journal.open(view)


def test_a_new_journal_can_t_be_made_in_a_read_only_folder(tmp_path: Path) -> None:
    (tmp_path / "data").mkdir()
    with read_only_view(tmp_path / "data", tmp_path / "view") as view:
        for folder in (view, view / "deeper"):
            with pytest.raises(JournalUnwritable, match="Make the folder writable"):
                Journal.open(folder)


def test_a_log_left_by_a_killed_writer_is_never_passed_over_in_silence(tmp_path: Path) -> None:
    """With no room for the log's index SQLite can't read the log: all of it or a sentence."""
    with fill(tmp_path / "live"):
        (tmp_path / "data").mkdir()
        for name in ("journal.db", "journal.db-wal", "journal.head"):
            (tmp_path / "data" / name).write_bytes((tmp_path / "live" / name).read_bytes())
    with read_only_view(tmp_path / "data", tmp_path / "view") as view:
        assert read_or_refusal(view) in (5, "refused")


def read_or_refusal(folder: Path) -> int | str:
    try:
        with Journal.open(folder, read_only=True) as journal:
            return len(journal.read_stream("job:a"))
    except JournalUnwritable:
        return "refused"
