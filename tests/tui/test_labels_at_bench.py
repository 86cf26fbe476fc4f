"""A label that is typed or scanned picks its piece; papers are written from the card."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.papers.codes import code_of
from benchmate.tui.app import BenchApp
from benchmate.tui.prompts.ask import Ask
from tests.tui.test_bench_keys import press
from tests.unit.loop_help import Worked


@pytest.fixture
def worked(tmp_path: Path) -> Iterator[Worked]:
    made = Worked(tmp_path)
    made.start()
    yield made
    made.bench.close()


@pytest.mark.parametrize("in_capitals", [True, False])
async def test_a_scanned_code_picks_its_piece(worked: Worked, in_capitals: bool) -> None:
    code = code_of(f"{worked.job}/B/block")
    app = BenchApp(worked.bench)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        await press(pilot, *(code if in_capitals else code.lower()), "enter")
        assert app.hand.picked == (worked.job, "B")


async def test_a_code_that_was_misread_is_asked_again(worked: Worked) -> None:
    code = code_of(f"{worked.job}/B/block")
    wrong = code[:-1] + ("B" if code[-1] != "B" else "C")
    app = BenchApp(worked.bench)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        await press(pilot, *wrong.lower(), "enter")
        assert app.hand.picked is None
        assert isinstance(app.screen, Ask), "the question stays, with what was typed"


async def test_the_card_writes_a_paper(
    worked: Worked, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "out"
    folder.mkdir()
    monkeypatch.chdir(folder)
    app = BenchApp(worked.bench)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        await press(pilot, "j", "u", "1")
        await pilot.pause()
        (written,) = folder.iterdir()
        assert written.name.startswith(f"{worked.job}-card.")
        assert written.stat().st_size > 1000
