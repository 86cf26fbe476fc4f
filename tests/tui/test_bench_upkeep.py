"""The journal's upkeep beside the screens: what it finds is said there and stays in sight."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from textual.pilot import Pilot

from benchmate.bench.keeping import upkeep as module
from benchmate.job.events import stored as ev
from benchmate.tui.app import BenchApp
from benchmate.tui.widgets.lines import Lines
from tests.hand_made import record
from tests.tui.benches import Shop


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shop]:
    monkeypatch.setattr(module, "BEGIN_S", 0.05)
    made = Shop(tmp_path).small()
    yield made
    made.bench.close()


class Keeping(BenchApp):
    """Looks after its journal, as it does in a terminal."""

    keeps_up = True


def all_lines(app: BenchApp) -> str:
    return " ".join(" ".join(lines.text for lines in app.screen.query(Lines)).split())


async def until(pilot: Pilot[None], so: Callable[[], object]) -> None:
    for _ in range(400):
        if so():
            return
        await pilot.pause(0.02)
    raise AssertionError("it never came")


async def test_a_damaged_event_is_said_on_the_screen_and_stays_in_the_head(shop: Shop) -> None:
    """The bench itself reads only open jobs: a bad byte in a closed one waits for the whole
    check."""
    journal = shop.bench.folders.data / "journal.db"
    record(shop.bench, ("place:loft", loft(shop)))
    damage(journal)
    app = Keeping(shop.bench)
    async with app.run_test(size=(100, 30)) as pilot:
        await until(pilot, lambda: "is not what was recorded" in all_lines(app))
        shown = all_lines(app)
        assert "`benchmate logbook salvage` keeps " in shown
        assert "logbook file: trouble" in shown
        app.say("Noted.")
        await pilot.pause()
        assert "logbook file: trouble" in all_lines(app)
    assert list((shop.bench.folders.data / "backups").glob("*")) == []


def loft(shop: Shop) -> ev.AirRead:
    now = shop.bench.now()
    return ev.AirRead(happened=now, recorded=now, temperature_c=17.5, source="hand")


def damage(journal: Path) -> None:
    with closing(sqlite3.connect(journal, isolation_level=None)) as connection:
        row = "SELECT max(seq) FROM events WHERE stream = 'place:loft'"
        connection.execute(f"UPDATE events SET data = data || 'x' WHERE seq = ({row})")


async def test_a_whole_journal_is_backed_up_and_nothing_is_said(shop: Shop) -> None:
    app = Keeping(shop.bench)
    folder = shop.bench.folders.data / "backups"
    async with app.run_test(size=(100, 30)) as pilot:
        await until(pilot, lambda: list(folder.glob("*.journal.db")))
        assert app.hand.said == ""
        assert "in trouble" not in all_lines(app)
