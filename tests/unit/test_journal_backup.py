"""Backups are whole before they count; restoring and salvaging overwrite nothing."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from benchmate.journal import Damaged, Journal, JournalUnwritable, NewRow, verify
from benchmate.journal.keeping.backup import automatic, last_good, write_automatic
from benchmate.journal.keeping.rescue import restore, salvage
from benchmate.journal.told import LOST

from .journal_help import add, filled, texts
from .test_journal_damage import edit


def spoil(path: Path) -> None:
    content = path.read_bytes()
    assert b"weighed" in content
    path.write_bytes(content.replace(b"weighed", b"weighef", 1))


def test_a_backup_is_one_file_with_every_event_even_while_the_journal_is_open(
    tmp_path: Path,
) -> None:
    with filled(tmp_path / "data", 12) as journal:
        info = journal.backup(tmp_path / "out.journal.db")
        assert (info.events, info.hash) == (12, journal.read_since(0)[-1].hash)
        rows = journal.read_since(0)
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == ["out.journal.db"]
    restore(info.path, tmp_path / "elsewhere")
    with Journal.open(tmp_path / "elsewhere") as copy:
        assert copy.read_since(0) == rows
        assert copy.verify().ok


def test_a_backup_never_replaces_a_file(tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("keep me")
    with filled(tmp_path / "data", 3) as journal, pytest.raises(JournalUnwritable, match="exists"):
        journal.backup(tmp_path / "mine")
    assert (tmp_path / "mine").read_text() == "keep me"


def test_a_backup_of_a_damaged_journal_is_refused_and_leaves_no_file(tmp_path: Path) -> None:
    with filled(tmp_path, 12) as journal:
        good = write_automatic(journal.folder, "2026-11-26")
        edit(tmp_path, "UPDATE events SET data = x'00' WHERE seq = 4")
        with pytest.raises(Damaged, match="Entry 4 ") as caught:
            write_automatic(journal.folder, "2026-11-27")
        assert caught.value.backup == good.path
    assert automatic(tmp_path) == [good.path]


def test_the_last_automatic_backups_are_kept_newest_first(tmp_path: Path) -> None:
    with filled(tmp_path, 3) as journal:
        for stamp in ("2026-11-24", "2026-11-25", "2026-11-26", "2026-11-26"):
            write_automatic(journal.folder, stamp, keep=3)
    assert [path.name for path in automatic(tmp_path)] == [
        "2026-11-26-002.journal.db",
        "2026-11-26-001.journal.db",
        "2026-11-25-001.journal.db",
    ]


def test_damage_names_the_newest_backup_that_is_good(tmp_path: Path) -> None:
    with filled(tmp_path, 9) as journal:
        good = write_automatic(journal.folder, "2026-11-24").path
        add(journal, "job:a", "later")
        spoil(write_automatic(journal.folder, "2026-11-25").path)
    edit(tmp_path, "DELETE FROM events WHERE seq = 10")
    with pytest.raises(Damaged) as caught:
        Journal.open(tmp_path)
    assert caught.value.backup == good
    assert f"the last good backup, {good.name} (9 entries);" in str(caught.value)


def test_damage_with_no_backup_says_so(tmp_path: Path) -> None:
    filled(tmp_path, 9).close()
    edit(tmp_path, "DELETE FROM events WHERE seq = 9")
    with pytest.raises(Damaged, match="there is no good backup") as caught:
        Journal.open(tmp_path)
    assert caught.value.backup is None


def test_restoring_sets_the_damaged_journal_aside_whole(tmp_path: Path) -> None:
    with filled(tmp_path, 9) as journal:
        backup = write_automatic(journal.folder, "2026-11-24").path
    edit(tmp_path, "DELETE FROM events WHERE seq > 5")
    damaged = (tmp_path / "journal.db").read_bytes()
    done = restore(backup, tmp_path)
    assert done.events == 9
    assert done.set_aside == tmp_path / "set-aside-1"
    assert (tmp_path / "set-aside-1" / "journal.db").read_bytes() == damaged
    with Journal.open(tmp_path) as journal:
        assert journal.verify().ok
        add(journal, "job:0", "goes on")
    assert restore(backup, tmp_path).set_aside == tmp_path / "set-aside-2"


def test_a_backup_that_isn_t_whole_is_not_restored(tmp_path: Path) -> None:
    with filled(tmp_path / "data", 200) as journal:
        backup = journal.backup(tmp_path / "out").path
    spoil(backup)
    with pytest.raises(Damaged, match="isn't whole"):
        restore(backup, tmp_path / "data")
    assert verify(tmp_path / "data").ok
    assert not (tmp_path / "data" / "set-aside-1").exists()


def test_a_bench_left_open_over_a_restore_refuses_to_record(tmp_path: Path) -> None:
    with filled(tmp_path, 9) as left_open:
        restore(left_open.backup(tmp_path / "out").path, tmp_path)
        with pytest.raises(JournalUnwritable, match="moved or replaced"):
            left_open.append([NewRow("job:new", b"lost?")], {"job:new": 0})
        with pytest.raises(JournalUnwritable, match="moved or replaced"):
            left_open.deliveries.record("key", "bell", "sent", 1.0)
    assert verify(tmp_path) == verify(tmp_path)
    with Journal.open(tmp_path) as journal:
        assert len(journal.read_since(0)) == 9
        assert journal.verify().ok


@pytest.mark.parametrize("moved", [0, 1, 2, 3])
def test_a_restore_cut_short_is_noticed_and_can_be_done_again(tmp_path: Path, moved: int) -> None:
    """The files are moved log first, head last; here the power fails after some of them."""
    with filled(tmp_path / "live", 9) as journal:
        backup = journal.backup(tmp_path / "out").path
        folder = tmp_path / "cut"
        folder.mkdir()
        for name in ("journal.db-wal", "journal.db", "journal.head")[moved:]:
            (folder / name).write_bytes((tmp_path / "live" / name).read_bytes())
    if 0 < moved < 3:
        with pytest.raises(Damaged):
            Journal.open(folder)
    assert restore(backup, folder).events == 9
    with Journal.open(folder) as again:
        assert len(again.read_since(0)) == 9
        assert again.verify().ok


@pytest.mark.parametrize(
    ("change", "lost"),
    [
        pytest.param("UPDATE events SET data = x'00' WHERE seq = 8", {8}, id="one event"),
        pytest.param("DELETE FROM events WHERE seq > 15", {16, 17, 18, 19, 20}, id="tail"),
        pytest.param("DELETE FROM streams", set(), id="list of streams"),
        pytest.param("UPDATE streams SET is_open = 1 - is_open", set(), id="open flags"),
    ],
)
def test_salvage_keeps_every_event_but_the_bad_ones(
    tmp_path: Path, change: str, lost: set[int]
) -> None:
    with filled(tmp_path, 20) as journal:
        rows = journal.read_since(0)
    edit(tmp_path, change)
    done = salvage(tmp_path)
    assert (set(done.lost), done.events, done.total) == (lost, 20 - len(lost), 20)
    kept = [(r.stream, r.version, r.data) for r in rows if r.seq not in lost]
    with Journal.open(tmp_path) as journal:
        found = [(r.stream, r.version, r.data) for r in journal.read_since(0)]
        assert [row for row in found if row[2] != LOST] == kept
        assert journal.verify().ok
        if "streams" in change:
            # Nothing says any more which were open, and one too many does no harm.
            assert texts(journal.read_open()) == texts(rows)
    assert done.set_aside is not None
    assert verify(done.set_aside).ok is False


def test_salvage_works_on_a_log_that_lost_its_end(tmp_path: Path) -> None:
    with filled(tmp_path / "live", 9) as journal:
        rows = journal.read_since(0)
        folder = tmp_path / "cut"
        folder.mkdir()
        for name in ("journal.db", "journal.head"):
            (folder / name).write_bytes((tmp_path / "live" / name).read_bytes())
        log = (tmp_path / "live" / "journal.db-wal").read_bytes()
        (folder / "journal.db-wal").write_bytes(log[:-1000])
    assert salvage(folder).events == 8
    with Journal.open(folder) as journal:
        assert journal.read_since(0) == rows[:8]
    assert (folder / "set-aside-1" / "journal.db-wal").read_bytes() == log[:-1000]


def test_an_empty_file_is_no_good_backup(tmp_path: Path) -> None:
    filled(tmp_path, 3).close()
    (tmp_path / "backups").mkdir()
    (tmp_path / "backups" / "2026-11-26-001.journal.db").touch()
    assert last_good(tmp_path) is None
    with pytest.raises(Damaged, match="empty"):
        restore(tmp_path / "backups" / "2026-11-26-001.journal.db", tmp_path)


@pytest.mark.parametrize("cut", range(1, 7))
@pytest.mark.parametrize("finish", ["salvage", "restore"])
def test_a_rescue_cut_short_anywhere_is_named_and_finished(
    tmp_path: Path, cut: int, finish: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    with filled(tmp_path, 9) as journal:
        backup = write_automatic(journal.folder, "2026-11-24").path
    edit(tmp_path, "DELETE FROM events WHERE seq > 7")
    damaged = (tmp_path / "journal.db").read_bytes()
    with monkeypatch.context() as patch:
        left = [cut]

        def die(name: str) -> Callable[[Path, Path], Path]:
            real = getattr(Path, name)

            def moved(path: Path, target: Path) -> Path:
                left[0] -= 1
                if left[0] == 0:
                    raise KeyboardInterrupt
                return real(path, target)  # type: ignore[no-any-return]

            return moved

        patch.setattr(Path, "rename", die("rename"))
        patch.setattr(Path, "replace", die("replace"))
        with suppress(KeyboardInterrupt):
            salvage(tmp_path)
    if left[0] <= 0:
        assert not verify(tmp_path).ok
        done = salvage(tmp_path) if finish == "salvage" else restore(backup, tmp_path)
        assert done.events == (7 if finish == "salvage" else 9)
    assert verify(tmp_path).ok
    kept = [f.read_bytes() for f in tmp_path.glob("set-aside-*/journal.db")]
    assert kept == [damaged]
