"""A damaged journal under a bench: named, never overwritten, with the last good backup; and the
day's backup that makes there be one."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.journal import Damaged, verify
from benchmate.journal.keeping.rescue import restore
from benchmate.moment import Moment
from benchmate.settings import Folders, Settings, find_folders
from tests.unit.shop_of_tests import moment, plan

DAY_S = 86_400.0


@pytest.fixture
def folders(tmp_path: Path) -> Folders:
    return find_folders(tmp_path)


@pytest.fixture
def clock() -> SetClock:
    return SetClock(moment())


def opened(folders: Folders, clock: SetClock) -> Bench:
    return Bench.open(folders, Settings(), clock=clock)


def with_a_backup(folders: Folders, clock: SetClock) -> tuple[Path, int]:
    """A journal closed after some work, a backup half-way through it, and the backup's events."""
    bench = opened(folders, clock)
    bench.do("t", cmd.StartJob(job="t", title="Bookends", plan=plan()))
    for number in range(40):
        bench.do("t", cmd.Note(text=f"note {number} " + "x" * 200))
    assert bench.backup_if_due() == ""
    events = bench.journal.end
    for number in range(40):
        bench.do("t", cmd.Note(text=f"later {number} " + "x" * 200))
    bench.close()
    (backup,) = (folders.data / "backups").iterdir()
    return backup, events


def flip_in_an_early_note(data: Path) -> None:
    content = bytearray((data / "journal.db").read_bytes())
    content[content.index(b"note 7 xxx") + 9] ^= 1
    (data / "journal.db").write_bytes(bytes(content))


def lose_the_end(data: Path) -> None:
    base = sqlite3.connect(data / "journal.db", isolation_level=None)
    base.execute("DELETE FROM events WHERE seq > 60")
    base.close()


def overwrite_the_file(data: Path) -> None:
    (data / "journal.db").write_bytes(b"shopping list\n" * 900)


def lose_the_file(data: Path) -> None:
    (data / "journal.db").unlink()


DAMAGES = [flip_in_an_early_note, lose_the_end, overwrite_the_file, lose_the_file]


@pytest.mark.parametrize("damage", DAMAGES, ids=lambda d: str(d.__name__).replace("_", " "))
def test_a_damaged_journal_is_named_with_its_last_good_backup_and_left_alone(
    damage: Callable[[Path], None], folders: Folders, clock: SetClock
) -> None:
    backup, events = with_a_backup(folders, clock)
    damage(folders.data)
    before = {p.name: p.read_bytes() for p in folders.data.iterdir() if p.is_file()}
    with pytest.raises(Damaged) as raised:
        opened(folders, clock)
    assert raised.value.backup == backup
    assert f"puts back the last good backup, {backup.name} ({events} entries)" in str(raised.value)
    assert str(raised.value).endswith("Nothing was overwritten.")
    after = {p.name: p.read_bytes() for p in folders.data.iterdir() if p.is_file()}
    assert {n: c for n, c in after.items() if n in before} == before

    restore(backup, folders.data)
    bench = opened(folders, clock)
    assert len(bench.shop.jobs["t"].notes) == 40
    assert bench.verify_sentence() == ""
    bench.close()


def test_damage_in_a_closed_job_is_found_by_the_whole_check(
    folders: Folders, clock: SetClock
) -> None:
    """Opening reads the open streams only; the check in a worker reads all."""
    bench = opened(folders, clock)
    bench.do("old", cmd.StartJob(job="old", title="Old"))
    bench.do("old", cmd.Note(text="note 7 xxxxxxxxxxxx"))
    bench.do("old", cmd.Stop(reason="done"))
    bench.do("t", cmd.StartJob(job="t", title="Bookends", plan=plan()))
    bench.close()
    flip_in_an_early_note(folders.data)
    bench = opened(folders, clock)
    said: list[str] = []
    worker = threading.Thread(target=lambda: said.append(bench.verify_sentence()))
    worker.start()
    worker.join()
    assert "(job:old, its number 2) is not what was recorded" in said[0]
    assert "there is no good backup. Nothing was overwritten." in said[0]
    bench.close()


# The day's backup -----------------------------------------------------------------------------


def backups(folders: Folders) -> list[str]:
    return sorted(p.name for p in (folders.data / "backups").glob("*"))


def test_one_backup_a_day_is_made(folders: Folders, clock: SetClock) -> None:
    bench = opened(folders, clock)
    bench.do("t", cmd.StartJob(job="t", title="Bookends", plan=plan()))
    for _ in range(3):
        assert bench.backup_if_due() == ""
    assert len(backups(folders)) == 1
    for _ in range(14):
        clock.tick(DAY_S)
        bench.do("t", cmd.Note(text="a day later"))
        assert bench.backup_if_due() == ""
        assert bench.backup_if_due() == ""
    assert len(backups(folders)) == 10
    bench.close()


def test_two_benches_in_workers_make_one_backup(folders: Folders, clock: SetClock) -> None:
    benches = [opened(folders, clock) for _ in range(2)]
    benches[0].do("t", cmd.StartJob(job="t", title="Bookends", plan=plan()))
    said: list[str] = []
    workers = [threading.Thread(target=lambda b=b: said.append(b.backup_if_due())) for b in benches]
    for worker in workers:
        worker.start()
    benches[0].do("t", cmd.Note(text="meanwhile"))
    for worker in workers:
        worker.join()
    assert said == ["", ""]
    assert len(backups(folders)) == 1
    for bench in benches:
        bench.close()
    assert verify(folders.data).ok


def test_a_wall_clock_that_went_back_neither_stops_backups_nor_unsorts_them(
    folders: Folders, clock: SetClock
) -> None:
    bench = opened(folders, clock)
    bench.do("t", cmd.StartJob(job="t", title="Bookends", plan=plan()))
    bench.backup_if_due()
    (first,) = backups(folders)
    bench.close()
    # The clock's battery is dead: after a restart it is 1970.
    clock.moment = Moment(3_600_000_000_000, "boot-2", 5_000_000_000)
    bench = opened(folders, clock)
    assert "went back while this machine was off" in bench.clock_note
    clock.tick(2 * DAY_S)
    bench.do("t", cmd.Note(text="two days later"))
    assert bench.backup_if_due() == ""
    made = backups(folders)
    assert len(made) == 2
    assert made[0] == first
    assert made[1] > first
    bench.close()


def test_a_damaged_journal_makes_no_backup_and_drops_none(
    folders: Folders, clock: SetClock
) -> None:
    bench = opened(folders, clock)
    bench.do("old", cmd.StartJob(job="old", title="Old"))
    bench.do("old", cmd.Note(text="note 7 xxxxxxxxxxxx"))
    bench.do("old", cmd.Stop(reason="done"))
    bench.backup_if_due()
    bench.close()
    good = backups(folders)
    flip_in_an_early_note(folders.data)
    clock.tick(DAY_S)
    bench = opened(folders, clock)
    said = bench.backup_if_due()
    assert said.startswith("Today's backup couldn't be made: Entry ")
    assert "puts back the last good backup" in said
    assert backups(folders) == good
    bench.close()
