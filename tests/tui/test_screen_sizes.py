"""The screens beside the bench at every size; their keys; long lists in short windows."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.binding import Binding

from benchmate.bench import Bench
from benchmate.bench.starting.starting import start_free, start_job
from benchmate.procedure.finding import find
from benchmate.tui.pages.card import CardScreen
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.pages.frames.page import Page
from benchmate.tui.pages.looking_back.logbook import LogbookScreen
from benchmate.tui.pages.reckon import ReckonScreen
from benchmate.tui.pages.reckoner import ReckonerScreen
from benchmate.tui.pages.shelf import ShelfScreen
from benchmate.tui.pages.starting.parameters import ParametersScreen
from benchmate.tui.pages.starting.start import StartScreen
from benchmate.tui.present.lines import line, width
from benchmate.tui.present.listing import Item, heading, key_lines, markable, moved, window
from benchmate.tui.prompts.families import FamiliesScreen
from benchmate.tui.prompts.material import MaterialScreen
from tests.tui.screen_help import open_bench, opened

MAKERS: dict[str, Callable[[], Page]] = {
    "start": StartScreen,
    "parameters": lambda: ParametersScreen(_bookends()),
    "card": CardScreen,
    "logbook": LogbookScreen,
    "stores": ShelfScreen,
    "families": FamiliesScreen,
    "material": lambda: MaterialScreen("slow casting epoxy"),
    "reckon": ReckonScreen,
    "reckoner": lambda: ReckonerScreen("fill"),
}
SIZES = [(160, 50), (20, 5), (7, 2), (30, 60), (80, 24)]
KEYS = ("end", "pageup")


def _bookends() -> Path:
    found = find("matched-bookends")
    assert found is not None
    return found.path


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    bench = open_bench(tmp_path)
    start_job(bench, "matched-bookends")
    start_free(bench, "Lid")
    return bench


@pytest.mark.parametrize("name", MAKERS)
async def test_a_screen_fits_every_size_that_its_window_takes(bench: Bench, name: str) -> None:
    async with opened(bench, MAKERS[name]()) as hands:
        await hands.press("f3", "down")
        for cells, height in SIZES:
            await hands.pilot.resize_terminal(cells, height)
            await hands.press(*KEYS)
            blocks = [b for b in hands.front.query("Lines") if b.display and b.id]
            assert any(b._lines for b in blocks)
            for block in blocks:
                assert all(width(row) <= cells for row in block._lines), (block.id, cells)
            if height > 3:
                assert hands.front.query_one("#page-keys").region.bottom == height
            assert hands.front.query_one("#page-head").region.y == 0


@pytest.mark.parametrize("kind", [type(m()) for m in MAKERS.values()], ids=lambda k: k.__name__)
def test_every_key_has_an_id_and_says_what_it_does(kind: type[Page]) -> None:
    seen: dict[str, str] = {}
    for base in kind.__mro__:
        for binding in base.__dict__.get("BINDINGS", ()) if issubclass(base, Page) else ():
            assert isinstance(binding, Binding)
            assert binding.id, binding.key
            assert binding.tooltip, binding.key
            assert binding.id not in seen, binding.id
            seen[binding.id] = binding.key


async def test_a_click_marks_and_a_second_one_takes(bench: Bench) -> None:
    async with opened(bench, StartScreen()) as hands:
        await hands.pilot.click("#page-body", offset=(5, 1))
        await hands.settle()
        assert isinstance(hands.front, ListPage)
        assert hands.front.marked == hands.front.listed[1].name
        await hands.pilot.click("#page-body", offset=(5, 1))
        await hands.settle()
        assert isinstance(hands.front, ParametersScreen)


def items_of(sizes: list[int]) -> list[Item]:
    """Entries of so many lines each; 0 is a heading."""
    return [
        Item(tuple(line(f"{i}.{n}") for n in range(size)), i) if size else heading(f"{i}")
        for i, size in enumerate(sizes)
    ]


@given(
    sizes=st.lists(st.integers(0, 4), min_size=1, max_size=30),
    steps=st.lists(st.integers(-9, 9), max_size=12),
    rows=st.integers(1, 12),
    cells=st.integers(1, 40),
)
def test_the_marked_entry_is_always_in_sight(
    sizes: list[int], steps: list[int], rows: int, cells: int
) -> None:
    items = items_of(sizes)
    at = next(iter(markable(items)), -1)
    top = 0
    for step in [0, *steps]:
        at = moved(items, at, step)
        view = window(items, at, top, cells, rows)
        top = view.top
        assert len(view.lines) <= rows
        assert all(width(row) <= cells for row in view.lines)
        total = sum(len(item.lines) for item in items)
        assert len(view.lines) == min(rows, total)
        if at >= 0:
            assert at in view.entries
            assert items[at].what is not None


@given(
    keys=st.lists(st.tuples(st.text(max_size=9), st.text(max_size=30)), max_size=12),
    cells=st.integers(1, 90),
    most=st.integers(1, 3),
)
def test_keys_never_take_more_room_than_they_are_given(
    keys: list[tuple[str, str]], cells: int, most: int
) -> None:
    rows: list[Any] = key_lines(keys, cells, most)
    assert len(rows) <= most
    assert all(width(row) <= cells for row in rows)
