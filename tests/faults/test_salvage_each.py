"""A journal of 45 events, each damaged in turn: the others come back, and how many is said."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from benchmate.bench import Bench
from benchmate.bench.keeping.rescue import salvage
from benchmate.bench.starting.starting import start_job
from benchmate.bench.trying.rehearsal import Rehearsal
from benchmate.cli.exits import Exit
from benchmate.cli.group import cli
from benchmate.clock import SetClock
from benchmate.job.events import stored as ev
from benchmate.journal import Journal, JournalUnwritable, StoredRow, verify
from benchmate.settings import Settings, find_folders
from tests.tui.benches import START

EVENTS = 45
DATA = "UPDATE events SET data = zeroblob(length(data)) WHERE seq = ?"
HASH = "UPDATE events SET hash = zeroblob(32) WHERE seq = ?"
STREAM = "UPDATE events SET stream = stream || 'x' WHERE seq = ?"
VERSION = "UPDATE events SET version = version + 700 WHERE seq = ?"
NUMBER = "UPDATE events SET seq = seq + 4096 WHERE seq = ?"
GONE = "DELETE FROM events WHERE seq = ?"


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home with a real job's first 45 events."""
    home = tmp_path_factory.mktemp("whole")
    clock = SetClock(START)
    bench = Bench.open(find_folders(home), Settings(), clock=clock)
    start_job(bench, "matched-bookends")
    hands = Rehearsal(bench, clock)
    while bench.journal.end < EVENTS:
        act = bench.agenda().next
        if act is None:
            clock.tick(bench.agenda().later[0].ready_at - bench.now_s() + 1.0)
        else:
            hands.do(act)
    bench.close()
    folder = find_folders(home).data
    with sqlite3.connect(folder / "journal.db") as database:
        surplus = database.execute("SELECT count(*) FROM events").fetchone()[0] - EVENTS
    assert surplus < 3
    return home


@pytest.fixture
def home(whole: Path, tmp_path: Path) -> Iterator[Path]:
    copy = tmp_path / "home"
    shutil.copytree(whole, copy)
    yield copy
    shutil.rmtree(copy)


def rows_of(home: Path) -> list[StoredRow]:
    with Journal.open(find_folders(home).data, read_only=True) as journal:
        return journal.read_since(0)


def damage(home: Path, statement: str, seq: int) -> None:
    path = find_folders(home).data / "journal.db"
    database = sqlite3.connect(path, isolation_level=None)
    database.execute("PRAGMA foreign_keys=OFF")
    database.execute(statement, (seq,))
    database.close()


def again(whole: Path, home: Path) -> None:
    """The files as they were, over the ones that a try has left."""
    folder = find_folders(home).data
    shutil.rmtree(folder)
    shutil.copytree(find_folders(whole).data, folder)


def run(home: Path, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--home", str(home), *words])


@pytest.mark.parametrize(
    ("statement", "lost"),
    [
        pytest.param(DATA, 1, id="its bytes"),
        pytest.param(STREAM, 1, id="its stream"),
        pytest.param(VERSION, 1, id="its version"),
        pytest.param(HASH, 0, id="its hash: the next one bears it out, or the head"),
        pytest.param(NUMBER, 0, id="its number: its hash finds its place"),
    ],
)
def test_each_event_damaged_in_turn_costs_itself_at_most(
    whole: Path, home: Path, statement: str, lost: int
) -> None:
    before = rows_of(whole)
    folder = find_folders(home).data
    for seq in range(1, len(before) + 1):
        again(whole, home)
        damage(home, statement, seq)
        assert not verify(folder).ok
        done = salvage(folder)
        assert (done.events, done.total) == (len(before) - lost, len(before)), seq
        assert done.lost == ((seq,) if lost else ())
        assert verify(folder).ok
        assert done.set_aside is not None
        kept = {(r.stream, r.version): r.data for r in rows_of(home)}
        for row in before:
            if row.seq != seq or not lost:
                assert kept[row.stream, row.version] == row.data
        bench = Bench.open(find_folders(home), Settings(), clock=SetClock(START))
        assert len(bench.shop.jobs) == 1
        bench.close()


def test_an_event_that_is_gone_costs_itself_and_the_one_it_bore_out(
    whole: Path, home: Path
) -> None:
    """With it went its hash, without which nothing tells that the next one is whole."""
    before = rows_of(whole)
    folder = find_folders(home).data
    for seq in range(1, len(before) + 1):
        again(whole, home)
        damage(home, GONE, seq)
        done = salvage(folder)
        wanted = (seq, seq + 1) if seq < len(before) else (seq,)
        assert done.lost == wanted
        assert done.events == len(before) - len(wanted)


def test_the_command_says_how_many_of_how_many_and_the_logbook_where(home: Path) -> None:
    total = len(rows_of(home))
    damage(home, DATA, 8)
    said = run(home, "logbook", "salvage")
    assert said.exit_code == 0
    assert f"{total - 1} of {total} entries are back" in said.output
    assert "1 entry is lost (number 8)" in said.output
    assert "an entry that damage destroyed" in run(home, "logbook", "list", "--last", "99").output
    assert run(home, "next").exit_code == 0
    assert run(home, "note", "goes on", "--job", "matched-bookends-1").output == "Noted.\n"


def test_a_stand_in_locks_no_job_and_a_lost_start_does(whole: Path, home: Path) -> None:
    starts = [r.seq for r in rows_of(whole) if isinstance(ev.decode(r.data), ev.JobStarted)]
    folder = find_folders(home).data
    damage(home, DATA, starts[0] + 3)
    salvage(folder)
    bench = Bench.open(find_folders(home), Settings(), clock=SetClock(START))
    assert [j.read_only for j in bench.shop.live] == [""]
    bench.close()
    again(whole, home)
    damage(home, DATA, starts[0])
    salvage(folder)
    bench = Bench.open(find_folders(home), Settings(), clock=SetClock(START))
    (job,) = bench.shop.live
    assert "start of this job was lost" in job.read_only
    bench.close()


def test_reading_commands_show_what_is_whole_and_leave_the_files_alone(home: Path) -> None:
    folder = find_folders(home).data
    total = len(rows_of(home))
    damage(home, DATA, 5)
    before = (folder / "journal.db").read_bytes()
    for words in (("job",), ("next",), ("next", "--json"), ("logbook", "list", "--json")):
        said = run(home, *words)
        assert said.exit_code == Exit.DAMAGED, words
        assert f"{total - 1} of {total} entries" in said.stderr
        assert said.stdout
    assert len(json.loads(run(home, "logbook", "list", "--json", "--last", "99").stdout)) > 40
    assert (folder / "journal.db").read_bytes() == before
    refused = run(home, "note", "x")
    assert (refused.exit_code, refused.stdout) == (Exit.DAMAGED, "")


def test_advice_compares_what_each_way_brings_back(home: Path) -> None:
    folder = find_folders(home).data
    total = len(rows_of(home))
    damage(home, DATA, 5)
    only = run(home, "note", "x").stderr
    assert f"keeps {total - 1} of {total} entries that are whole; there is no good backup" in only
    again_from = folder / "backups"
    again_from.mkdir()
    part = home / "part"
    part.mkdir()
    with Journal.open(part) as journal:
        from benchmate.journal import NewRow

        journal.append([NewRow("job:a", b"{}")], {"job:a": 0})
        journal.backup(again_from / "2026-11-20-001.journal.db")
    both = run(home, "note", "x").stderr
    assert both.index("logbook salvage") < both.index("logbook restore")
    assert "(1 entry)" in both


def test_a_head_that_may_not_be_read_is_a_matter_of_rights(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(self: Path) -> bytes:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "read_bytes", refused)
    with pytest.raises(JournalUnwritable, match="Nothing is damaged"):
        verify(find_folders(home).data)
