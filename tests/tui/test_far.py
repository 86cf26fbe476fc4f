"""Far: our own letters, the three lines, and the keys that work from there."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.bench.big_view import BigView, of_act
from benchmate.job.deciding import commands as cmd
from benchmate.tui.app import BenchApp
from benchmate.tui.bench.far import FarScreen
from benchmate.tui.present.bench.far import far_lines, far_time
from benchmate.tui.present.font import big, cells_of, dots, rows_of
from benchmate.tui.present.lines import width
from benchmate.tui.widgets.lines import Lines
from tests.tui.benches import MIX, POUR, Shop, text_of

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.,:-+/!?±%°'()~"


def _undo(rows: list[str]) -> list[str]:
    """Half blocks back into dots."""
    up, low = "█▀", "█▄"
    out = []
    for row in rows:
        out.append("".join("#" if c in up else "." for c in row))
        out.append("".join("#" if c in low else "." for c in row))
    return out


@pytest.mark.parametrize("letter", LETTERS)
def test_every_letter_is_seven_rows_of_one_width_and_like_no_other(letter: str) -> None:
    made = dots(letter)
    assert len(made) == 7
    assert len({len(row) for row in made}) == 1
    assert any("#" in row for row in made)
    assert all(dots(other) != made for other in LETTERS if other != letter)


@given(text=st.text(alphabet=LETTERS + " ", min_size=1, max_size=8), scale=st.integers(1, 4))
def test_half_blocks_give_the_dots_back(text: str, scale: int) -> None:
    made = big(text, scale)
    assert len(made) == rows_of(scale)
    assert {len(row) for row in made} == {cells_of(text) * scale}
    back = _undo(made)[: 7 * scale]
    assert ["".join(row[::scale]) for row in back[::scale]] == dots(text)


def test_a_letter_that_is_not_drawn_is_a_box_not_a_gap() -> None:
    assert dots("漢") == dots("é") == ["#####", *["#...#"] * 5, "#####"]


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        (521.0, "8:41"),
        (59.2, "1:00"),
        (3599.0, "59:59"),
        (3600.0, "1:00 h"),
        (4081.0, "1:09 h"),
        (86400.0, "1 d"),
        (158400.0, "1 d 20 h"),
    ],
)
def test_the_countdown_is_by_the_second_below_an_hour(seconds: float, shown: str) -> None:
    assert far_time(seconds) == shown


WHAT = ("POUR BOOKEND B LAYER 3", "POUR B LAYER 3", "POUR B 3", "POUR")
AMOUNT = ("117 g shot  11 g resin", "117 g shot", "117 g")
VIEW = BigView(WHAT, AMOUNT, 521.0, "Bookend B: pour")


@given(cells=st.integers(1, 240), rows=st.integers(1, 70), missed=st.booleans())
def test_far_fills_its_rows_and_keeps_to_its_cells(cells: int, rows: int, *, missed: bool) -> None:
    made = far_lines(replace(VIEW, missed=missed), 0.0, cells, rows)
    assert len(made) == rows
    assert all(width(r) <= cells for r in made)


def _shows(text: str, made: str, scale: int) -> bool:
    return all(row.rstrip() in made for row in big(text, scale))


@pytest.mark.parametrize(
    ("cells", "rows", "shown"),
    [
        (80, 23, [("POUR B LAYER 3", 1), ("117 G SHOT", 1), ("8:41", 3)]),
        (160, 49, [("POUR B LAYER 3", 2), ("117 G SHOT", 3), ("8:41", 8)]),
        (60, 23, [("POUR B 3", 1), ("8:41", 3)]),
    ],
)
def test_each_screen_gets_the_words_that_fit_as_large_as_they_go(
    cells: int, rows: int, shown: list[tuple[str, int]]
) -> None:
    made = text_of(far_lines(VIEW, 0.0, cells, rows))
    for text, scale in shown:
        assert _shows(text, made, scale), text


@pytest.mark.parametrize(("cells", "rows"), [(80, 23), (120, 35), (160, 49), (240, 60)])
def test_the_time_is_never_smaller_than_the_rest(cells: int, rows: int) -> None:
    made = text_of(far_lines(VIEW, 0.0, cells, rows))
    time = max(n for n in range(1, 15) if _shows("8:41", made, n))
    act = max(n for n in range(1, 15) if _shows("POUR B LAYER 3", made, n))
    assert time >= act


# In the app ----------------------------------------------------------------------------------


def _far(app: BenchApp) -> str:
    return app.screen.query_one("#far", Lines).text


async def test_f_shows_the_act_its_amount_and_the_countdown(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    shop.clock.tick(1279.0)
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("b")
        await pilot.pause()
        assert isinstance(app.screen, FarScreen)
        made = _far(app)
        assert _shows("POUR A LAYER 1", made, 1)
        assert _shows("117 G SHOT", made, 1)
        assert _shows("8:41", made, 3)
        await pilot.press("b")
        await pilot.pause()
        assert not isinstance(app.screen, FarScreen)


async def test_the_glove_key_take_back_and_digits_work_from_afar(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("b")
        await pilot.pause()
        await pilot.press("space")
        await pilot.pause()
        assert shop.done == [MIX]
        await pilot.press("2")
        await pilot.pause()
        assert _shows("POUR B LAYER 1", _far(app), 1)
        shop.clock.tick(2.0)
        await pilot.press("space")
        await pilot.pause()
        assert shop.done == [MIX, POUR.format("B", 1)]
        await pilot.press("backspace")
        await pilot.pause()
        assert shop.done == [MIX]


async def test_a_missed_window_fills_the_screen(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    shop.clock.tick(31 * 60.0)
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("b")
        await pilot.pause()
        rows = app.screen.query_one("#far", Lines)._lines
        assert all(s.role == "alarm" and width(r) == 80 for r in rows[:22] for s in r)
        assert _shows("MISSED", _far(app), 2)
        await pilot.press("space")
        await pilot.pause()
        await pilot.press("1")
        await pilot.pause()
        assert any(_shows("MIX", _far(app), scale) for scale in range(1, 9))
        assert shop.done == []


async def test_a_weight_asked_from_afar_stands_there_in_large_letters(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    shop.bench.do("t", cmd.MarkDone(address=POUR.format("A", 1)))
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("b")
        await pilot.pause()
        await pilot.press("space")
        await pilot.pause()
        await pilot.press("1", "2", "8")
        await pilot.pause()
        assert _shows("128", app.screen.query_one("#big", Lines).text, 1)
        assert shop.bench.shop.jobs["t"].weighings == {}


def test_nothing_due_says_what_is_waited_for(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    act = shop.bench.agenda().next
    assert act is not None
    view = of_act(shop.bench.shop.jobs["t"], act, "metric", str)
    assert view.what[0] == "mix"
    assert view.at_s is None


def test_from_afar_a_second_jobs_piece_keeps_its_number(tmp_path: Path) -> None:
    shop = Shop(tmp_path).bookends("A/block/pour#1")
    first = shop.job
    shop.bookends()
    shop.bench.do(first, cmd.Pause())
    shop.until("A/block/pour#1")
    act = shop.bench.agenda().next
    assert act is not None
    far = of_act(shop.bench.shop.jobs[act.job], act, "metric", str)
    assert far.what[0] == "pour bookend A (2) layer 1"
    assert far.what[1] == "pour A (2) layer 1"
    assert "(2)" in far.what[2]
    assert all(cells_of(t) > 0 for t in far.what)
    shop.bench.close()
