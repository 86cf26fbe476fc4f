"""Earlier jobs side by side by keys, two ways compared, and the charts behind their door."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.learning.side_by_side import JobsTable, JobSummary, PieceSummary, Row
from benchmate.tui.app import SCREENS
from benchmate.tui.pages.looking_back.chart import ChartScreen
from benchmate.tui.pages.looking_back.earlier import FAMILY, EarlierScreen
from benchmate.tui.pages.starting.parameters import ParametersScreen
from benchmate.tui.pages.starting.start import StartScreen
from benchmate.tui.present.lines import width
from benchmate.tui.present.pages.earlier import landing_lines, shared_stem, table_items
from tests.tui.benches import text_of
from tests.tui.screen_help import open_bench, opened
from tests.unit.loop_help import PAIR, QUARTER_S, Worked
from tests.unit.teaching_help import PACKING, teach

NAME = PAIR.stem


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home in which three jobs have ended, the last with other coats than the first two."""
    shop = Worked(tmp_path_factory.mktemp("earlier"))
    for off, coats in ((-0.006, 1), (0.0, 1), (0.006, 2)):
        teach(shop, PACKING + off, coats=coats)
    shop.bench.close()
    return shop.home


@pytest.fixture
def shop(home: Path, tmp_path: Path) -> Iterator[Worked]:
    shop = Worked(shutil.copytree(home, tmp_path / "home"), later_s=QUARTER_S)
    yield shop
    shop.bench.close()


@pytest.mark.parametrize("size", [(80, 24), (160, 50)], ids=["80x24", "160x50"])
async def test_jobs_stand_side_by_side_and_where_their_pieces_landed(
    shop: Worked, size: tuple[int, int]
) -> None:
    async with opened(shop.bench, EarlierScreen(NAME), size=size) as hands:
        said = hands.text()
        assert f"Past jobs: {NAME}" in said
        assert "3 jobs ended" in said
        heads = next(row for row in said.splitlines() if row.startswith(" job "))
        assert heads.split() == ["job", "1", "2", "[3]"]
        for row in ("took", "bookend A, weight", "bookend A, packing", "left in the cup"):
            assert row in said
        assert [f"{PACKING + off:.3f}" in said for off in (-0.006, 0.0, 0.006)] == [True] * 3
        assert "finished weight less its target" in said
        await hands.press("left")
        assert "[2]" in hands.text()


async def test_it_opens_from_the_start_screen_and_knows_the_marked_procedure(shop: Worked) -> None:
    async with opened(shop.bench, StartScreen(), size=(100, 30)) as hands:
        assert "past jobs" in hands.text()
        screen = hands.app.screen
        assert isinstance(screen, StartScreen)
        screen.mark(NAME)
        await hands.press("p")
        assert isinstance(hands.app.screen, EarlierScreen)
        assert hands.app.screen.procedure == NAME


async def test_another_like_a_marked_job_opens_its_form(shop: Worked) -> None:
    async with opened(shop.bench, EarlierScreen(NAME), size=(100, 30)) as hands:
        await hands.press("left", "plus", "2")
        form = hands.app.screen
        assert isinstance(form, ParametersScreen)
        assert form.values["coats"] == "1"


async def test_two_ways_too_few_to_say_is_said(shop: Worked) -> None:
    async with opened(shop.bench, EarlierScreen(NAME), size=(100, 30)) as hands:
        await hands.press("end", "enter")
        said = hands.text()
        assert " coats" in said
        assert "Too few to say: 2 of coats 1 and 1 of coats 2" in said


async def test_the_chart_of_a_row_is_one_key_further_in(shop: Worked) -> None:
    async with opened(shop.bench, EarlierScreen(NAME), size=(80, 24)) as hands:
        earlier = hands.app.screen
        assert isinstance(earlier, EarlierScreen)
        earlier.mark(("row", "bookend A, packing", "packing"))
        await hands.press("enter")
        chart = hands.app.screen
        assert isinstance(chart, ChartScreen)
        assert "Packing of each fill" in hands.text()
        assert "about 0.585: chance explains up to" in hands.text()
        await hands.press("enter")
        assert "all procedures" in hands.text()
        await hands.press("right")
        assert "What stayed in each cup, %" in hands.text()


async def test_with_no_job_ended_it_says_what_will_stand_here(tmp_path: Path) -> None:
    bench = open_bench(tmp_path)
    async with opened(bench, EarlierScreen(), size=(80, 24)) as hands:
        assert "No job has ended yet." in hands.text()
        for key, said in (("plus", "No job here yet"), ("p", "No job has")):
            await hands.press(key)
            assert said in hands.text()
    bench.close()


def test_it_has_its_place_among_the_screens() -> None:
    assert SCREENS["earlier"] == "benchmate.tui.pages.looking_back.earlier:EarlierScreen"


# The presenter -------------------------------------------------------------------------------


TABLE = JobsTable(
    ("hammer-8", "hammer-9"),
    (
        Row("hammer A, weight", ("852.1 g (+2.1 g)", "849 g (-1 g)"), "weights"),
        Row("how it turned out", ("a scratch on the left face, sanded out again", "fine")),
    ),
)


@pytest.mark.parametrize("cells", [40, 60, 77, 96, 157])
def test_a_table_fits_and_loses_no_weight(cells: int) -> None:
    rows = [row for item in table_items(TABLE, 1, cells) for row in item.lines]
    assert all(width(row) <= cells for row in rows)
    said = " ".join(text_of(rows).split())
    for text in ("852.1 g", "+2.1 g", "849 g", "-1 g", "[9]", "fine"):
        assert text in said


@pytest.mark.parametrize(
    ("names", "stem"),
    [(("a-1", "a-2"), "a-"), (("a-1", "b-1"), ""), (("one", "two"), ""), (("a-b-3",), "a-b-")],
)
def test_what_the_names_have_in_common_is_said_once(names: tuple[str, ...], stem: str) -> None:
    assert shared_stem(names) == stem


def landed(job: str, *offs: float) -> JobSummary:
    pieces = tuple(
        PieceSummary(f"bookend {n}", 850.0 + off, 850.0, 8.0)
        for n, off in zip("AB", offs, strict=False)
    )
    return JobSummary(job, "bookends", pieces=pieces)


def test_pieces_stand_left_of_the_target_when_light_and_past_the_limit_when_off() -> None:
    rows = text_of(
        landing_lines([landed("b-1", -3.0, 9.0), landed("b-2", 0.0, 0.0)], "metric", 60, 10)
    ).splitlines()
    one, two = rows[-2], rows[-1]
    assert one.index("A") < one.index("│") < one.rindex("┊") < one.index("B")
    assert "*" in two
    assert "│" not in two, "both are spot on"
    assert rows[1].split() == ["-10", "g", "on", "target", "+10", "g"]


def test_without_a_finished_weight_nothing_is_drawn() -> None:
    assert landing_lines([JobSummary("b-1", "bookends")], "metric", 80, 10) == []
    assert landing_lines([], "metric", 80, 10) == []


async def test_the_family_of_all_finished_pieces_is_one_row_further(shop: Worked) -> None:
    async with opened(shop.bench, EarlierScreen(NAME), size=(100, 40)) as hands:
        earlier = hands.app.screen
        assert isinstance(earlier, EarlierScreen)
        earlier.mark(FAMILY)
        await hands.press("enter")
        said = hands.text()
        assert "The family of pieces" in said
        assert said.count("bookend A") == 3, "three jobs, a bookend A of each"
        assert "planned" in said
