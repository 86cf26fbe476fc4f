"""Whatever was changed, lost or cut off is named, and nothing is made worse by looking."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmate.journal import Damaged, Journal, JournalError, JournalNewer, NewRow, verify
from benchmate.journal.chain import link, stream_check

from .journal_help import add, filled


def edit(folder: Path, *statements: str) -> None:
    """Change the closed journal behind its back, with SQLite's own consent."""
    database = sqlite3.connect(folder / "journal.db", isolation_level=None)
    database.create_function("link", 4, link)
    database.create_function(
        "guard", 3, lambda s, v, is_open: stream_check(s, v, is_open=bool(is_open))
    )
    for statement in statements:
        database.execute(statement)
    database.close()


CHANGED = "Entry 8 (job:1, its number 3) is not what was recorded"
CHANGES = [
    pytest.param("UPDATE events SET data = data || 'x' WHERE seq = 8", CHANGED, id="bytes"),
    pytest.param("UPDATE events SET data = 'text' WHERE seq = 8", CHANGED, id="type"),
    pytest.param("UPDATE events SET hash = zeroblob(32) WHERE seq = 8", CHANGED, id="hash"),
    pytest.param("UPDATE events SET stream = 'job:9' WHERE seq = 8", "job:9", id="stream"),
    pytest.param("UPDATE events SET version = 99 WHERE seq = 8", "its number 99", id="version"),
    pytest.param("DELETE FROM events WHERE seq = 8", "Entry 8 is missing", id="gone"),
    pytest.param("DELETE FROM events WHERE seq = 1", "Entry 1 is missing", id="first gone"),
    pytest.param(
        "DELETE FROM events WHERE seq = 20", "last entry of the logbook is missing", id="last"
    ),
    pytest.param(
        "DELETE FROM events WHERE seq > 17", "last 3 entries of the logbook are missing", id="tail"
    ),
    pytest.param("DELETE FROM events", "last 20 entries of the logbook are missing", id="all gone"),
    pytest.param("UPDATE streams SET is_open = 0 WHERE stream = 'job:0'", "job:0", id="open flag"),
    pytest.param("UPDATE streams SET version = 3 WHERE stream = 'job:1'", "job:1", id="place"),
    pytest.param("DELETE FROM streams WHERE stream = 'job:1'", "job:1", id="stream unlisted"),
    pytest.param("DROP TABLE streams", "can't be read", id="table dropped"),
    pytest.param("DROP TABLE migrations", "not a logbook", id="something else"),
]


@pytest.mark.parametrize(("change", "said"), CHANGES)
def test_a_whole_check_names_what_was_changed(tmp_path: Path, change: str, said: str) -> None:
    filled(tmp_path, 20).close()
    assert verify(tmp_path).ok
    edit(tmp_path, change)
    verdict = verify(tmp_path)
    assert not verdict.ok
    assert said in verdict.sentence


def test_rows_that_lost_their_numbers_are_damage(tmp_path: Path) -> None:
    filled(tmp_path, 20).close()
    edit(
        tmp_path,
        "PRAGMA writable_schema = 1",
        "UPDATE sqlite_master SET sql = replace(sql, 'seq INTEGER PRIMARY', 'seq FLOAT PRIMARY')"
        " WHERE name = 'events'",
    )
    with pytest.raises(Damaged, match="benchmate logbook"):
        Journal.open(tmp_path)
    assert not verify(tmp_path).ok


def test_a_verdict_points_at_the_first_bad_event(tmp_path: Path) -> None:
    filled(tmp_path, 20).close()
    edit(tmp_path, "UPDATE events SET data = x'00' WHERE seq IN (8, 15)")
    verdict = verify(tmp_path)
    assert (verdict.seq, verdict.stream, verdict.version) == (8, "job:1", 3)
    assert verdict.events == 7


def test_a_row_forged_with_its_own_hash_breaks_the_chain_after_it(tmp_path: Path) -> None:
    filled(tmp_path, 20).close()
    edit(
        tmp_path,
        """UPDATE events SET data = x'00', hash = link(
            (SELECT hash FROM events p WHERE p.seq = 7), stream, version, x'00') WHERE seq = 8""",
    )
    verdict = verify(tmp_path)
    assert (verdict.ok, verdict.seq, verdict.events) == (False, 9, 8)


def test_versions_out_of_order_are_named_though_every_hash_fits(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        add(journal, "job:a", "1")
    edit(
        tmp_path,
        """INSERT INTO events SELECT 2, 'job:a', 3, link(hash, 'job:a', 3, x'32'), x'32'
            FROM events WHERE seq = 1""",
        "UPDATE streams SET version = 3, guard = guard('job:a', 3, 0)",
    )
    verdict = verify(tmp_path)
    assert "number 3 of job:a, out of its order" in verdict.sentence


READS: list[tuple[str, Callable[[Journal], object]]] = [
    ("stream", lambda journal: journal.read_stream("job:0")),
    ("open", lambda journal: journal.read_open()),
    ("since", lambda journal: journal.read_since(0)),
]


@pytest.mark.parametrize("read", [pytest.param(read, id=name) for name, read in READS])
@pytest.mark.parametrize(
    "change",
    [
        pytest.param("UPDATE events SET data = x'00' WHERE seq = 7", id="bytes"),
        pytest.param("UPDATE events SET hash = zeroblob(32) WHERE seq = 7", id="hash"),
        pytest.param("UPDATE events SET hash = 'x' WHERE seq = 7", id="hash's type"),
        pytest.param("DELETE FROM events WHERE seq = 7", id="gone"),
        pytest.param("DELETE FROM events WHERE seq = 1", id="first gone"),
    ],
)
def test_every_way_of_reading_notices_a_changed_event(
    tmp_path: Path, change: str, read: Callable[[Journal], object]
) -> None:
    filled(tmp_path, 20).close()
    edit(tmp_path, change)
    with Journal.open(tmp_path) as journal, pytest.raises(Damaged):
        read(journal)


@pytest.mark.parametrize(
    ("change", "read"),
    [
        ("UPDATE streams SET version = 9 WHERE stream = 'job:0'", READS[0][1]),
        ("DELETE FROM streams WHERE stream = 'job:0'", READS[0][1]),
        ("DELETE FROM events WHERE seq = 16", READS[0][1]),
        ("DELETE FROM events WHERE seq = 16", READS[1][1]),
        ("UPDATE streams SET is_open = 0 WHERE stream = 'job:0'", READS[1][1]),
    ],
)
def test_a_stream_shorter_or_longer_than_listed_is_noticed_on_reading(
    tmp_path: Path, change: str, read: Callable[[Journal], object]
) -> None:
    filled(tmp_path, 20).close()
    edit(tmp_path, change)
    with Journal.open(tmp_path) as journal, pytest.raises(Damaged):
        read(journal)


def test_a_stream_with_the_right_versions_but_a_surplus_row_is_noticed(tmp_path: Path) -> None:
    filled(tmp_path, 20).close()
    edit(
        tmp_path,
        "UPDATE streams SET version = 6, guard = guard('job:0', 6, 1) WHERE stream = 'job:0'",
    )
    with Journal.open(tmp_path) as journal, pytest.raises(Damaged, match="more entries"):
        journal.read_stream("job:0")


@pytest.mark.parametrize("read_only", [False, True], ids=["to write", "to read"])
@pytest.mark.parametrize(
    ("change", "said"),
    [
        pytest.param("DELETE FROM events WHERE seq > 17", "numbers 18 to 20", id="tail"),
        pytest.param(
            "UPDATE events SET hash = zeroblob(32) WHERE seq = 20", "Entry 20 isn't", id="other end"
        ),
        pytest.param("UPDATE events SET data = x'00' WHERE seq = 20", "Entry 20 ", id="last event"),
    ],
)
def test_opening_refuses_a_journal_whose_end_is_wrong(
    tmp_path: Path, change: str, said: str, *, read_only: bool
) -> None:
    filled(tmp_path, 20).close()
    edit(tmp_path, change)
    with pytest.raises(Damaged, match="Nothing was overwritten") as caught:
        Journal.open(tmp_path, read_only=read_only)
    assert said in str(caught.value)


def copy_of_open_journal(source: Path, target: Path) -> Path:
    """The files as a power cut would leave them: events in the log, no index beside it."""
    target.mkdir()
    for name in ("journal.db", "journal.db-wal", "journal.head"):
        shutil.copy(source / name, target / name)
    return target


@pytest.mark.parametrize("read_only", [False, True], ids=["to write", "to read"])
@pytest.mark.parametrize(
    "spoil",
    [
        pytest.param(lambda log: log[: len(log) // 2], id="cut short"),
        pytest.param(lambda log: log[:-500] + bytes(500), id="last page zeroed"),
        pytest.param(lambda log: b"", id="emptied"),
        pytest.param(lambda log: None, id="deleted"),
        pytest.param(lambda log: bytes([log[0] ^ 1]) + log[1:], id="header flipped"),
    ],
)
def test_a_log_that_lost_its_end_is_named_and_left_as_it_is(
    tmp_path: Path, spoil: Callable[[bytes], bytes | None], *, read_only: bool
) -> None:
    with Journal.open(tmp_path / "live") as journal:
        for number in range(20):
            add(journal, "job:a", str(number))
        folder = copy_of_open_journal(tmp_path / "live", tmp_path / "copy")
    log = folder / "journal.db-wal"
    spoiled = spoil(log.read_bytes())
    if spoiled is None:
        log.unlink()
    else:
        log.write_bytes(spoiled)
    kept = {path.name: path.read_bytes() for path in folder.iterdir() if path.stat().st_size}

    # Cut to half or emptied, SQLite itself sees nothing wrong with what is left.
    with pytest.raises(Damaged):
        Journal.open(folder, read_only=read_only)
    assert {name: (folder / name).read_bytes() for name in kept} == kept


def test_an_unspoiled_copy_of_an_open_journal_has_every_event(tmp_path: Path) -> None:
    with filled(tmp_path / "live", 20) as live:
        folder = copy_of_open_journal(tmp_path / "live", tmp_path / "copy")
        with Journal.open(folder) as copy:
            assert copy.read_since(0) == live.read_since(0)


def test_a_head_one_commit_behind_is_filled_in_on_opening(tmp_path: Path) -> None:
    with filled(tmp_path, 5) as journal:
        behind = (tmp_path / "journal.head").read_bytes()
        add(journal, "job:a", "killed before the note")
    (tmp_path / "journal.head").write_bytes(behind)
    assert verify(tmp_path).ok
    Journal.open(tmp_path).close()
    edit(tmp_path, "DELETE FROM events WHERE seq = 6")
    with pytest.raises(Damaged, match="last entry of the logbook is missing"):
        Journal.open(tmp_path)


@pytest.mark.parametrize("read_only", [False, True], ids=["to write", "to read"])
def test_a_missing_head_is_named(tmp_path: Path, *, read_only: bool) -> None:
    filled(tmp_path, 5).close()
    (tmp_path / "journal.head").unlink()
    with pytest.raises(Damaged, match=r"journal\.head is missing"):
        Journal.open(tmp_path, read_only=read_only)
    assert not (tmp_path / "journal.head").exists()
    assert not verify(tmp_path).ok


def test_a_missing_journal_is_not_replaced_by_an_empty_one(tmp_path: Path) -> None:
    filled(tmp_path, 5).close()
    (tmp_path / "journal.db").unlink()
    with pytest.raises(Damaged, match=r"is gone, though journal\.head beside it remembers 5"):
        Journal.open(tmp_path)
    assert not (tmp_path / "journal.db").exists()
    assert not verify(tmp_path).ok


def test_the_head_of_another_journal_is_noticed(tmp_path: Path) -> None:
    filled(tmp_path / "a", 5).close()
    with Journal.open(tmp_path / "b") as other:
        for _ in range(5):
            add(other, "job:a", "something else")
    shutil.copy(tmp_path / "b" / "journal.head", tmp_path / "a" / "journal.head")
    with pytest.raises(Damaged, match="don't belong together"):
        Journal.open(tmp_path / "a")


def test_an_end_lost_while_the_journal_is_open_stops_the_next_act(tmp_path: Path) -> None:
    with filled(tmp_path, 5) as journal:
        edit(tmp_path, "DELETE FROM events WHERE seq > 3")
        with pytest.raises(Damaged, match="lost its end while it was open"):
            journal.append([NewRow("job:new", b"")], {"job:new": 0})
        with pytest.raises(Damaged, match="Entry 5 is gone"):
            journal.read_since(5)


@pytest.mark.parametrize(
    "content", [b"not a database at all", bytes(4096), b"SQLite format 3\0" + b"\xff" * 4080]
)
def test_a_file_that_is_no_journal_is_refused_and_kept(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "journal.db").write_bytes(content)
    for read_only in (False, True):
        with pytest.raises(JournalError):
            Journal.open(tmp_path, read_only=read_only)
    assert (tmp_path / "journal.db").read_bytes() == content


def test_another_program_s_database_is_refused_and_kept(tmp_path: Path) -> None:
    other = sqlite3.connect(tmp_path / "journal.db")
    other.execute("CREATE TABLE recipes (name TEXT)")
    other.commit()
    other.close()
    with pytest.raises(Damaged, match="not a logbook"):
        Journal.open(tmp_path)


def test_a_journal_of_a_newer_layout_is_left_alone(tmp_path: Path) -> None:
    filled(tmp_path, 5).close()
    edit(tmp_path, "INSERT INTO migrations (name) VALUES ('third layout')")
    for read_only in (False, True):
        with pytest.raises(JournalNewer, match=r"newer benchmate.*'third layout'"):
            Journal.open(tmp_path, read_only=read_only)


def test_progress_is_told_up_to_the_end(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        journal.append([NewRow("job:a", b"%d" % n) for n in range(2500)], {"job:a": 0})
        told: list[tuple[int, int]] = []
        journal.verify(lambda done, total: told.append((done, total)))
    assert told == [(1000, 2500), (2000, 2500), (2500, 2500)]


@pytest.mark.parametrize("read_only", [False, True], ids=["to write", "to read"])
def test_damage_that_sqlite_quotes_in_undecodable_words_is_still_a_sentence(
    tmp_path: Path, *, read_only: bool
) -> None:
    filled(tmp_path, 5).close()
    content = (tmp_path / "journal.db").read_bytes()
    spoiled = content.replace(b"CREATE TABLE events", b"CREATE T\xc5BLE events")
    assert spoiled != content
    (tmp_path / "journal.db").write_bytes(spoiled)
    with pytest.raises(Damaged, match="can't be read"):
        Journal.open(tmp_path, read_only=read_only)
