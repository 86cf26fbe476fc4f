"""Layouts change by named steps, each with its record, all or none."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.journal import Journal, JournalUnwritable, schema
from benchmate.journal.database import Database
from benchmate.journal.schema import applied, pending

from .journal_help import filled, texts


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
    with pytest.raises(JournalUnwritable, match="older benchmate"):
        Journal.open(tmp_path, read_only=True)
    with Journal.open(tmp_path) as journal:
        assert len(texts(journal.read_since(0))) == 5
        assert journal.verify().ok
    database = look(tmp_path)
    assert applied(database)[-1] == "second layout"
    assert database.run("SELECT count(tries) FROM deliveries") == [(0,)]
    database.close()


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
