"""What goes in comes out, in order, or nothing goes in."""

from __future__ import annotations

import hashlib
import os
import sqlite3
import stat
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmate.journal import (
    Journal,
    JournalMissing,
    JournalUnwritable,
    NewRow,
    StaleVersion,
    StreamInfo,
)
from benchmate.journal.keeping.backup import write_automatic
from benchmate.journal.keeping.export import export_lines

from .journal_help import add, filled, texts


def test_a_row_comes_back_with_its_place_and_its_bytes(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        (stored,) = journal.append([NewRow("job:a", b"\x00\xff{}")], {"job:a": 0})
        assert (stored.seq, stored.stream, stored.version) == (1, "job:a", 1)
        assert journal.read_stream("job:a") == [stored]
    with Journal.open(tmp_path, create=False) as journal:
        assert journal.read_since(0) == [stored]
        assert journal.read_stream("job:a")[0].data == b"\x00\xff{}"


def test_one_append_writes_several_streams_at_once(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        rows = [NewRow("job:a", b"1"), NewRow("stores", b"2"), NewRow("job:a", b"3")]
        stored = journal.append(rows, {"job:a": 0, "stores": 0}, open_streams={"job:a": True})
        assert [(r.seq, r.stream, r.version) for r in stored] == [
            (1, "job:a", 1),
            (2, "stores", 1),
            (3, "job:a", 2),
        ]
        assert journal.streams() == [
            StreamInfo("job:a", 2, True),
            StreamInfo("stores", 1, False),
        ]


@pytest.mark.parametrize(
    "expected",
    [
        pytest.param({"job:a": 1, "stores": 0}, id="the stream written has moved on"),
        pytest.param({"job:a": 3, "stores": 0}, id="the stream written isn't there yet"),
        pytest.param({"job:a": 2, "stores": 1}, id="another stream it rested on differs"),
    ],
)
def test_a_stale_decision_records_nothing_at_all(tmp_path: Path, expected: dict[str, int]) -> None:
    with Journal.open(tmp_path) as journal:
        add(journal, "job:a", "1", "2")
        with pytest.raises(StaleVersion):
            journal.append([NewRow("job:a", b"3")], expected)
        assert texts(journal.read_since(0)) == ["1", "2"]
        add(journal, "job:a", "3")
        assert journal.verify().ok


def test_a_stale_version_says_where_the_stream_stands(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        add(journal, "job:a", "1", "2")
        with pytest.raises(StaleVersion) as caught:
            journal.append([NewRow("job:a", b"x")], {"job:a": 1})
    assert (caught.value.stream, caught.value.expected, caught.value.actual) == ("job:a", 1, 2)


@pytest.mark.parametrize(
    ("rows", "flags"),
    [
        pytest.param([NewRow("job:b", b"")], {}, id="row"),
        pytest.param([], {"job:b": True}, id="flag"),
    ],
)
def test_writing_to_a_stream_with_no_expected_version_is_a_mistake_in_the_program(
    tmp_path: Path, rows: list[NewRow], flags: dict[str, bool]
) -> None:
    with Journal.open(tmp_path) as journal, pytest.raises(ValueError, match="job:b"):
        journal.append(rows, {"job:a": 0}, open_streams=flags)


def test_a_stream_can_be_shut_and_opened_with_no_event(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        add(journal, "job:a", "1", is_open=True)
        assert journal.append([], {"job:a": 1}, open_streams={"job:a": False}) == ()
        assert journal.read_open() == []
        journal.append([], {"job:a": 1}, open_streams={"job:a": True})
        assert texts(journal.read_open()) == ["1"]


def test_a_stream_stays_open_until_it_is_told_otherwise(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        add(journal, "job:a", "1", is_open=True)
        add(journal, "job:a", "2")
        assert texts(journal.read_open()) == ["1", "2"]


def test_reading_open_streams_gives_only_those_in_the_order_recorded(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        add(journal, "job:a", "a1", is_open=True)
        add(journal, "job:b", "b1", is_open=False)
        add(journal, "job:c", "c1", is_open=True)
        add(journal, "job:a", "a2")
        assert texts(journal.read_open()) == ["a1", "c1", "a2"]


def test_reading_on_gives_only_what_is_newer(tmp_path: Path) -> None:
    with filled(tmp_path, 10) as journal:
        assert [row.seq for row in journal.read_since(7)] == [8, 9, 10]
        assert [row.seq for row in journal.read_since(2, limit=3)] == [3, 4, 5]
        assert [row.seq for row in journal.read_since(0, limit=2)] == [1, 2]
        assert journal.read_since(10) == []
        assert [row.version for row in journal.read_stream("job:0", 2)] == [3, 4]
        assert journal.read_stream("job:0", 4) == []
        assert journal.read_stream("job:none") == []


def test_the_chain_is_what_it_is_said_to_be(tmp_path: Path) -> None:
    """Worked out here with nothing but hashlib: previous, length, version, name, bytes."""
    with Journal.open(tmp_path) as journal:
        first = add(journal, "job:é", "1")
        second = add(journal, "place:box", "2")
    name = "job:é".encode()
    one = hashlib.sha256(
        bytes(32) + len(name).to_bytes(4, "big") + (1).to_bytes(8, "big") + name + b"1"
    ).digest()
    two = hashlib.sha256(
        one + (9).to_bytes(4, "big") + (1).to_bytes(8, "big") + b"place:box" + b"2"
    ).digest()
    assert (first.hash, second.hash) == (one, two)


def test_another_process_s_commit_changes_the_data_version(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as mine, Journal.open(tmp_path) as other:
        before = mine.data_version()
        add(mine, "job:a", "mine")
        assert mine.data_version() == before
        add(other, "job:a", "other")
        assert mine.data_version() != before
        assert texts(mine.read_since(1)) == ["other"]


def test_two_writers_of_one_journal_see_each_other_s_versions(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as mine, Journal.open(tmp_path) as other:
        add(mine, "job:a", "1")
        with pytest.raises(StaleVersion):
            other.append([NewRow("job:a", b"too late")], {"job:a": 0})
        add(other, "job:a", "2")
        add(mine, "job:a", "3")
        assert texts(other.read_stream("job:a")) == ["1", "2", "3"]
        assert mine.verify().ok


def test_every_commit_is_in_write_ahead_mode_and_synced(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        run = journal._database.run
        assert run("PRAGMA journal_mode") == [("wal",)]
        assert run("PRAGMA synchronous") == [(2,)]
        assert run("PRAGMA busy_timeout")[0][0] >= 5000


def test_a_file_system_without_write_ahead_logs_is_refused_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from benchmate.journal.database import Database

    real = Database.run

    def answer_delete(self: Database, sql: str, values: tuple[object, ...] = ()) -> object:
        return [("delete",)] if "journal_mode=WAL" in sql else real(self, sql, values)

    monkeypatch.setattr(Database, "run", answer_delete)
    with pytest.raises(JournalUnwritable, match=r"can't hold a logbook safely.*'delete'"):
        Journal.open(tmp_path)


@pytest.mark.skipif(os.name == "nt", reason="POSIX file modes")
def test_files_are_the_owner_s_alone(tmp_path: Path) -> None:
    old = os.umask(0)
    try:
        with filled(tmp_path / "data") as journal:
            write_automatic(journal.folder, "2026-11-26")
            files = [path for path in (tmp_path / "data").rglob("*") if path.is_file()]
            folders = [tmp_path / "data", tmp_path / "data" / "backups"]
            assert len(files) == 5
            assert {stat.S_IMODE(path.stat().st_mode) for path in files} == {0o600}
            assert {stat.S_IMODE(path.stat().st_mode) for path in folders} == {0o700}
    finally:
        os.umask(old)


def test_a_journal_that_isn_t_there_is_made_only_when_asked(tmp_path: Path) -> None:
    with pytest.raises(JournalMissing):
        Journal.open(tmp_path / "none", create=False)
    with pytest.raises(JournalMissing):
        Journal.open(tmp_path / "none", read_only=True)
    assert not (tmp_path / "none").exists()


def test_a_read_only_journal_reads_everything_and_writes_nothing(tmp_path: Path) -> None:
    filled(tmp_path, 6).close()
    before = (tmp_path / "journal.db").read_bytes()
    with Journal.open(tmp_path, read_only=True) as journal:
        assert len(journal.read_since(0)) == 6
        assert len(journal.read_open()) == 2
        with pytest.raises(JournalUnwritable):
            journal.append([NewRow("job:a", b"")], {"job:a": 0})
    assert (tmp_path / "journal.db").read_bytes() == before


def test_a_folder_that_can_t_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(JournalUnwritable, match="file"):
        Journal.open(tmp_path / "file" / "data")


def test_an_export_says_enough_to_work_out_the_chain_again(tmp_path: Path) -> None:
    import base64
    import json

    with Journal.open(tmp_path) as journal:
        journal.append(
            [NewRow("job:a", '{"note": "é\n"}'.encode()), NewRow("job:a", b"\xff\x00")],
            {"job:a": 0},
        )
        *records, last = [json.loads(line) for line in export_lines(journal)]
        stored = journal.read_since(0)
    assert last == {"closed": ["job:a"]}
    previous = bytes(32)
    for record, row in zip(records, stored, strict=True):
        data = (
            record["data"].encode() if "data" in record else base64.b64decode(record["data_base64"])
        )
        name = record["stream"].encode()
        head = len(name).to_bytes(4, "big") + record["version"].to_bytes(8, "big")
        previous = hashlib.sha256(previous + head + name + data).digest()
        assert record["hash"] == previous.hex() == row.hash.hex()


def test_an_export_streams_more_rows_than_one_batch(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        journal.append([NewRow("job:a", b"%d" % n) for n in range(2500)], {"job:a": 0})
        lines = list(export_lines(journal))
        assert len(lines) == 2500 + 1, "and the streams that are closed"
        assert '"seq": 2500' in lines[-2]
        assert len(list(export_lines(journal, after_seq=2490))) == 10 + 1


_streams = st.sampled_from(["job:a", "job:b", "place:box", "clock"])
_commits = st.lists(
    st.tuples(
        st.lists(st.tuples(_streams, st.binary(max_size=40)), min_size=1, max_size=4),
        st.booleans(),
    ),
    max_size=12,
)


@settings(max_examples=25, deadline=None)
@given(commits=_commits)
def test_any_commits_read_back_as_a_plain_list_would_hold_them(
    tmp_path_factory: pytest.TempPathFactory, commits: list[tuple[list[tuple[str, bytes]], bool]]
) -> None:
    model: list[tuple[str, bytes]] = []
    opened: dict[str, bool] = {}
    with Journal.open(tmp_path_factory.mktemp("any")) as journal:
        for rows, is_open in commits:
            names = {stream for stream, _ in rows}
            expected = {name: sum(s == name for s, _ in model) for name in names}
            flags = {rows[0][0]: is_open}
            journal.append([NewRow(*row) for row in rows], expected, open_streams=flags)
            model += rows
            opened |= flags
        assert [(r.stream, r.data) for r in journal.read_since(0)] == model
        assert [(r.stream, r.data) for r in journal.read_open()] == [
            row for row in model if opened.get(row[0])
        ]
        for name in {stream for stream, _ in model}:
            assert [r.data for r in journal.read_stream(name)] == [
                data for stream, data in model if stream == name
            ]
        verdict = journal.verify()
        assert (verdict.ok, verdict.events) == (True, len(model))


def test_the_database_is_one_that_any_tool_can_read(tmp_path: Path) -> None:
    filled(tmp_path, 5).close()
    plain = sqlite3.connect(tmp_path / "journal.db")
    try:
        assert plain.execute("SELECT count(*), max(seq) FROM events").fetchone() == (5, 5)
        assert plain.execute("SELECT sum(version) FROM streams").fetchone() == (5,)
    finally:
        plain.close()
