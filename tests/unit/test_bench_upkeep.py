"""The journal's upkeep beside an open bench: it runs, it says what it finds once, and it ends."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.keeping import upkeep as module
from benchmate.bench.keeping.upkeep import Upkeep
from tests.unit.two_benches import Benches


@pytest.fixture
def benches(tmp_path: Path) -> Iterator[Benches]:
    with Benches(tmp_path) as opened:
        yield opened


def until(there: Callable[[], object]) -> None:
    give_up = time.monotonic() + 20
    while not there():
        assert time.monotonic() < give_up
        time.sleep(0.005)


def backups(bench: Bench) -> list[Path]:
    return sorted((bench.folders.data / "backups").glob("*.journal.db"))


def test_a_whole_journal_is_backed_up_each_day_without_a_word(
    benches: Benches, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "LOOK_S", 0.01)
    upkeep = Upkeep(benches.one, begin_s=0.0)
    upkeep.start()
    until(lambda: len(backups(benches.one)) == 1)
    benches.clock.tick(86_400.0)
    until(lambda: len(backups(benches.one)) == 2)
    upkeep.stop()
    assert upkeep.news() == ""


def test_damage_is_said_once_and_nothing_is_backed_up(
    benches: Benches, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Bench, "verify_sentence", lambda self: "Entry 3 is missing.")
    upkeep = Upkeep(benches.one, begin_s=0.0)
    upkeep.start()
    until(lambda: not upkeep._thread.is_alive())
    assert upkeep.news() == "Entry 3 is missing."
    assert upkeep.news() == ""
    assert backups(benches.one) == []


def test_a_backup_that_can_t_be_made_is_said_once(
    benches: Benches, monkeypatch: pytest.MonkeyPatch
) -> None:
    looks: list[int] = []

    def no_room(bench: Bench) -> str:
        looks.append(1)
        return "Today's backup couldn't be made: the disk is full."

    monkeypatch.setattr(module, "LOOK_S", 0.001)
    monkeypatch.setattr(Bench, "backup_if_due", no_room)
    upkeep = Upkeep(benches.one, begin_s=0.0)
    upkeep.start()
    until(lambda: len(looks) > 4)
    upkeep.stop()
    assert upkeep.news() == "Today's backup couldn't be made: the disk is full."


def test_stopped_before_it_began_it_does_nothing(benches: Benches) -> None:
    upkeep = Upkeep(benches.one, begin_s=60.0)
    upkeep.start()
    upkeep.stop()
    until(lambda: not upkeep._thread.is_alive())
    assert backups(benches.one) == []


def test_stopping_what_was_never_started_is_no_error(benches: Benches) -> None:
    Upkeep(benches.one).stop()
