"""The list of what passed: every size shows all of it, page by page, by one key."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench.reminding.away import Passed, missed_while_away
from benchmate.bench.reminding.reminding import edges_now
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.tui.pages.away import Away, pages_of
from benchmate.tui.present.lines import width
from tests.minding_help import HOUR, MIX, mark, start_plan
from tests.tui.screen_help import open_bench, opened, tick


def passed(home: Path, clocks: int = 14) -> tuple[list[Passed], str]:
    """A cup that gelled and so many clamps that may come off, over a day."""
    bench = open_bench(home)
    start_plan(bench)
    mark(bench, MIX)
    for n in range(clocks):
        start_clock(
            bench, find_material(bench, "yellow wood glue"), "clamped", name=f"[/b] jig {n}"
        )
    asleep_s = bench.now_s()
    tick(bench, 2 * HOUR)
    found = missed_while_away(bench, asleep_s)
    assert len(edges_now(bench)) > clocks
    bench.close()
    return found, "This machine slept for 2 h. Since 09:00, while nobody looked:"


@pytest.mark.parametrize("cells", [20, 40, 80, 200])
@pytest.mark.parametrize("rows", [1, 3, 10, 40])
def test_every_line_is_on_some_page_and_none_is_too_wide_or_torn(
    tmp_path: Path, cells: int, rows: int
) -> None:
    found, _ = passed(tmp_path)
    pages = pages_of(found, cells, rows)
    assert all(0 < len(page) <= rows for page in pages)
    assert all(width(line) <= cells for page in pages for line in page)
    marks = [span.text.strip() for page in pages for line in page for span in line[:1]]
    assert [mark for mark in marks if mark] == ["▲", *["·"] * 14]


@pytest.mark.parametrize("size", [(80, 24), (40, 12), (100, 3)])
async def test_one_key_reads_on_and_then_answers(tmp_path: Path, size: tuple[int, int]) -> None:
    found, heading = passed(tmp_path)
    bench = open_bench(tmp_path / "other")
    async with opened(bench, Away(heading, found), size) as hands:
        seen = hands.text()
        presses = 0
        while hands.answer == "not yet":
            presses += 1
            assert presses < 100
            await hands.press("enter")
            if hands.answer == "not yet":
                seen += hands.text()
        assert hands.answer is True
    if size[1] > 3:
        for n in range(14):
            assert f"jig {n}" in seen
    bench.close()


async def test_escape_leaves_it_unanswered_and_up_goes_back(tmp_path: Path) -> None:
    found, heading = passed(tmp_path)
    bench = open_bench(tmp_path / "other")
    async with opened(bench, Away(heading, found), (60, 10)) as hands:
        first = hands.text()
        await hands.press("down")
        assert hands.text() != first
        await hands.press("up")
        assert hands.text() == first
        await hands.press("escape")
        assert hands.answer is False
    bench.close()


async def test_the_glove_key_alone_will_do_and_a_held_one_is_one_press(tmp_path: Path) -> None:
    found, heading = passed(tmp_path)
    bench = open_bench(tmp_path / "other")
    async with opened(bench, Away(heading, found), (60, 10)) as hands:
        pages = len(hands.front._pages)
        assert pages > 2
        await hands.press("space", "space", "space")
        assert hands.front.page == 1
        for _ in range(pages - 1):
            tick(bench, 2.0)
            await hands.press("space")
        assert hands.answer is True
    bench.close()


async def test_the_gravest_stands_first_with_what_to_do(tmp_path: Path) -> None:
    found, heading = passed(tmp_path, clocks=1)
    bench = open_bench(tmp_path / "other")
    async with opened(bench, Away(heading, found), (100, 12)) as hands:
        lines = hands.text().splitlines()
    assert lines[2].startswith(" ▲ 09:30 (1 h 30 ago): mix 1, pot life: missed")
    assert "): [/b] jig 0, clamp time: clamps may come off" in lines[3]
    bench.close()


@pytest.mark.parametrize("size", [(80, 24), (40, 12), (120, 40)])
async def test_what_it_shows_is_painted_from_the_first_row_to_the_last(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    found, heading = passed(tmp_path, clocks=1)
    bench = open_bench(tmp_path / "other")
    async with opened(bench, Away(heading, found), size) as hands:
        strips = hands.front._compositor.render_strips()
        painted = ["".join(segment.text for segment in strip).rstrip() for strip in strips]
        wanted = [line.rstrip() for line in hands.text().splitlines()]
    assert len(painted) == size[1]
    assert painted == wanted
    assert any(line.startswith(" ▲ 09:30 (1 h 30") for line in painted)
    assert "enter" in painted[-1]
    bench.close()
