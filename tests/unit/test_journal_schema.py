"""Layouts change by named steps, each with its record, all or none."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.journal import Damaged, Journal, JournalUnwritable, opening, schema
from benchmate.journal.database import Database
from benchmate.journal.schema import applied, pending
from tests.hand_made import in_state

from .journal_help import filled, texts
from .test_journal_damage import edit


def second_layout(database: Database) -> None:
    database.run("ALTER TABLE deliveries ADD COLUMN tries INTEGER NOT NULL DEFAULT 0")


def half_a_layout(database: Database) -> None:
    database.run("CREATE TABLE halfway (x)")
    database.run("CREATE TABLE halfway (x)")


def later(monkeypatch: pytest.MonkeyPatch, *more: schema.Migration) -> None:
    steps = tuple((step.__name__.replace("_", " "), step) for step in more)
    monkeypatch.setattr(schema, "MIGRATIONS", schema.MIGRATIONS + steps)


def look(folder: Path) -> Database:
    return Database.connect(folder / "journal.db", read_only=True)


def test_a_new_journal_has_every_layout_applied(tmp_path: Path) -> None:
    filled(tmp_path, 1).close()
    database = look(tmp_path)
    assert applied(database) == [name for name, _ in schema.MIGRATIONS]
    assert pending(database) == []
    database.close()


def test_an_older_journal_is_brought_up_to_date_and_keeps_its_events(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(tmp_path, 5).close()
    later(monkeypatch, second_layout)
    with Journal.open(tmp_path) as journal:
        assert len(texts(journal.read_since(0))) == 5
        assert journal.verify().ok
    database = look(tmp_path)
    assert applied(database)[-1] == "second layout"
    assert database.run("SELECT count(tries) FROM deliveries") == [(0,)]
    database.close()


def test_an_older_layout_that_reads_as_well_is_read_as_it_is(tmp_path: Path) -> None:
    """`next` after an upgrade, in a folder that may even be read-only."""
    filled(tmp_path, 5).close()
    take_last_layout_back(tmp_path)
    before = (tmp_path / "journal.db").read_bytes()
    with Journal.open(tmp_path, read_only=True) as journal:
        assert len(texts(journal.read_since(0))) == 5
        assert len(texts(journal.read_stream("job:0"))) == len(texts(journal.read_open())) == 2
        assert [info.version for info in journal.streams()] == [2, 2, 1]
        assert journal.deliveries.since(0.0) == []
        assert in_state(journal.deliveries, "sent") == []
        assert journal.verify().ok
    assert (tmp_path / "journal.db").read_bytes() == before
    database = look(tmp_path)
    assert pending(database) != []
    database.close()
    Journal.open(tmp_path).close()
    database = look(tmp_path)
    assert pending(database) == []
    database.close()


def take_last_layout_back(folder: Path) -> None:
    """The journal as the benchmate before the index on the deliveries' times left it."""
    assert [name for name, _ in schema.MIGRATIONS] == ["first layout", "deliveries by time"]
    edit(
        folder,
        "DROP INDEX deliveries_by_time",
        "DELETE FROM migrations WHERE name = 'deliveries by time'",
    )


def test_a_damaged_end_of_an_older_layout_is_named_before_anything_is_changed(
    tmp_path: Path,
) -> None:
    filled(tmp_path, 5).close()
    take_last_layout_back(tmp_path)
    edit(tmp_path, "DELETE FROM events WHERE seq = 5")
    for read_only in (True, False):
        with pytest.raises(Damaged, match="The last entry of the logbook is missing"):
            Journal.open(tmp_path, read_only=read_only)
    database = look(tmp_path)
    assert pending(database) != []
    database.close()


def test_a_layout_that_can_t_be_read_as_it_is_is_brought_up_to_date_by_who_only_reads(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(tmp_path, 5).close()
    later(monkeypatch, second_layout)
    with Journal.open(tmp_path, read_only=True) as journal:
        assert len(texts(journal.read_since(0))) == 5
    database = look(tmp_path)
    assert pending(database) == []
    database.close()


def test_where_that_is_refused_a_sentence_says_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(tmp_path, 5).close()
    later(monkeypatch, second_layout)

    def refuse(folder: Path, *, create: bool) -> None:
        raise JournalUnwritable(f"The logbook in {folder} can't be written.")

    monkeypatch.setattr(opening, "open_to_write", refuse)
    with pytest.raises(JournalUnwritable, match=r"older benchmate .* refused: The logbook in"):
        Journal.open(tmp_path, read_only=True)


def test_a_layout_that_fails_halfway_leaves_the_one_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(tmp_path, 5).close()
    with monkeypatch.context() as patch:
        later(patch, half_a_layout)
        with pytest.raises(Exception, match="halfway"):
            Journal.open(tmp_path)
    with Journal.open(tmp_path) as journal:
        assert len(journal.read_since(0)) == 5
    database = look(tmp_path)
    assert applied(database) == [name for name, _ in schema.MIGRATIONS]
    assert database.run("SELECT 1 FROM sqlite_master WHERE name = 'halfway'") == []
    database.close()


def test_a_file_made_but_never_laid_out_is_finished_by_the_next_to_open_it(tmp_path: Path) -> None:
    (tmp_path / "journal.db").touch()
    with Journal.open(tmp_path) as journal:
        assert journal.read_since(0) == []
        assert journal.verify().ok
