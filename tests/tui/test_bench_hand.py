"""The part for the hand: the act in words, its rows, and the piece as it fills."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.bench.short import short_act, verb
from benchmate.job.deciding import commands as cmd
from benchmate.job.windows.agenda import Act
from benchmate.plan.plan import Step
from benchmate.tui.present.bench.layout import rooms
from benchmate.tui.present.bench.nextact import next_act, spaced, time_left
from benchmate.tui.present.bench.weights.levels import Level, fill_of, levels, outline_of
from benchmate.tui.present.bench.weights.piece import picture
from benchmate.tui.present.bench.weights.pieces import act_of, pieces
from benchmate.tui.present.lines import line, width
from tests.tui.benches import POUR, Shop, filled_plan, text_of


def step(act: str, do: str, address: str = "t/A/block/s#1", scope: str = "piece") -> Step:
    return Step(address=address, do=do, act=act, piece="A", scope=scope)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("act", "do", "order"),
    [
        ("poured", "Shot for layer 1, then resin", "pour"),
        ("mixed", "Weigh 38 g of part A into cup 1", "mix"),
        ("scraped", "Scrape the cap flush", "scrape"),
        ("taped", "Tape the rim", "tape"),
        ("capped", "Cap with clear resin", "cap"),
        ("tried dry", "Clamp block and cover up dry", "try dry"),
        ("unclamped", "Take the clamps off", "unclamp"),
        ("left", "Leave it to cure", "leave"),
        ("measured", "Blow the void out and measure it", "measure"),
        ("zzzed", "An act that only this maker knows", "zzzed"),
    ],
)
def test_an_act_becomes_an_order(act: str, do: str, order: str) -> None:
    assert verb(step(act, do)) == order


def test_rows_go_from_the_end_but_the_deadline_stays() -> None:
    blocks = [[line("sentence")], [line("amounts")], [line("deadline")], [line("a"), line("b")]]
    assert text_of(spaced(blocks, 3, must=2)).split("\n") == ["sentence", "amounts", "deadline"]
    assert text_of(spaced(blocks, 2, must=2)).split("\n") == ["sentence", "deadline"]
    assert text_of(spaced(blocks, 7, must=2)).split("\n") == [
        "sentence",
        "",
        "amounts",
        "",
        "deadline",
        "a",
        "b",
    ]


@pytest.mark.parametrize(
    ("seconds", "said"), [(521.0, "8:41 left"), (600.0, "10 min left"), (7200.0, "2 h left")]
)
def test_time_left_is_by_the_second_only_at_the_end(seconds: float, said: str) -> None:
    assert time_left(seconds) == said


@given(
    cells=st.integers(1, 260),
    height=st.integers(1, 120),
    windows=st.integers(0, 60),
    banner=st.integers(0, 4),
    drawn=st.booleans(),
)
def test_the_parts_never_need_more_rows_than_there_are(
    cells: int, height: int, windows: int, banner: int, *, drawn: bool
) -> None:
    room = rooms(cells, height, windows, banner, drawn=drawn)
    rules = 3 if room.ruled else 0
    used = room.head + room.hand + room.keys + room.timeline + room.foot + rules
    assert used <= max(1, height - banner)
    assert room.hand >= 1
    assert min(room) >= 0


@pytest.mark.parametrize(("height", "windows"), [(24, 9), (50, 20)])
def test_usual_screens_show_so_many_windows(height: int, windows: int) -> None:
    room = rooms(160 if height == 50 else 80, height, windows)
    assert room.timeline >= windows
    assert room.foot >= 4


def _act(shop: Shop) -> Act:
    act = shop.bench.agenda().next
    assert act is not None
    return act


def _lines(shop: Shop, cells: int, most: int) -> str:
    job = shop.bench.shop.jobs["t"]
    return text_of(next_act(job, _act(shop), "metric", lambda s: f"{s:.0f}", cells, most))


def test_the_act_comes_with_amounts_deadline_and_what_is_lost(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    said = _lines(shop, 66, 6)
    assert "Bookend A: shot for layer 1, then resin to the line" in said
    assert "117 g shot      11 g resin" in said
    assert "30 min left: the mix gels" in said


def test_amounts_stay_where_a_message_takes_two_rows(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    for cells in (40, 52):
        said = _lines(shop, cells, 4)
        assert "117 g shot      11 g resin" in said
        assert "30 min left" in said


def test_rows_that_no_window_needs_go_to_the_act() -> None:
    assert rooms(80, 24, 1).hand == 8
    assert rooms(80, 24, 1).timeline >= 2
    assert rooms(80, 24, 9).hand == 6


@pytest.mark.parametrize("most", [2, 3, 4, 5])
def test_twenty_cells_hold_the_act_and_its_deadline(tmp_path: Path, most: int) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    said = _lines(shop, 20, most).split("\n")
    assert len(said) <= most
    assert said[0].strip().startswith("Bookend A:")
    assert any("30 min left" in row for row in said)


def test_digits_stay_with_their_pieces_whatever_is_next(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    before = pieces(shop.bench.shop.live)
    shop.mix()
    shop.bench.do("t", cmd.MarkDone(address=POUR.format("B", 1)))
    assert pieces(shop.bench.shop.live) == before
    assert [p.label for p in before] == ["bookend A", "bookend B"]


def test_two_jobs_of_one_procedure_are_told_apart(tmp_path: Path) -> None:
    shop = Shop(tmp_path).bookends()
    shop.bookends()
    labels = [p.label for p in pieces(shop.bench.shop.live)]
    assert labels == ["bookend A", "bookend B", "bookend A (2)", "bookend B (2)"]


def test_a_piece_without_an_act_of_its_own_shows_the_one_for_all(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    found = act_of(shop.bench.agenda(), "t", "B")
    assert found is not None
    assert short_act(shop.bench.shop.jobs["t"], found) == "mix cup 1"


# The picture ---------------------------------------------------------------------------------

LAYERS = [
    Level("1", "done", 1.0, "", "+129.2 g"),
    Level("2", "done", 1.0, "!", "+118.4 g"),
    Level("3", "now", 0.0, "", "129.1 g"),
    Level("4", "to come", 0.0, "", "129.1 g"),
    Level("cap", "to come", 0.0, "", "3.6 g"),
]


@pytest.mark.parametrize("outline", ["block", "round", "head", ""])
@pytest.mark.parametrize("rows", range(4, 20))
@pytest.mark.parametrize("broad", [False, True])
def test_a_picture_keeps_to_its_rows_and_is_filled_from_below(
    outline: str, rows: int, broad: bool
) -> None:
    made = picture(LAYERS, outline, rows, broad=broad)
    assert 0 < len(made) <= rows
    assert max(width(r) for r in made) <= (30 if broad else 14)
    poured = [i for i, row in enumerate(text_of(made).split("\n")) if "▒" in row]
    marked = [i for i, row in enumerate(text_of(made).split("\n")) if "▸" in row]
    assert len(marked) == 1
    assert all(i > marked[0] for i in poured)


def test_a_layer_off_plan_carries_its_sign() -> None:
    assert " 2!" in text_of(picture(LAYERS, "block", 7))


def test_a_broad_picture_says_what_went_into_each_layer() -> None:
    text = text_of(picture(LAYERS, "block", 14, broad=True))
    assert "2!  +118.4 g" in text
    assert "cap    3.6 g" in text


def test_of_many_layers_the_one_in_hand_is_in_the_picture() -> None:
    many = [Level(str(n), "done", 1.0, "", "") for n in range(1, 10)]
    many += [Level("10", "now", 0.0, "", ""), Level("11", "to come", 0.0, "", "")]
    assert "▸" in text_of(picture(many, "block", 6))


def test_readings_in_a_pour_fill_the_layer_in_hand(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small(filled_plan())
    shop.mix()
    where = POUR.format("A", 1)
    for g in (600.0, 664.0):
        shop.bench.do("t", cmd.ReadScale(address=where, reading_g=g, text=f"{g}", adding="shot"))
    job = shop.bench.shop.jobs["t"]
    fill = fill_of(job, "A")
    assert fill is not None
    assert outline_of(job, fill) == "block"
    found = levels(job, fill, "metric")
    assert [v.state for v in found] == ["now", "to come"]
    assert found[0].share == pytest.approx(0.5)
    half = text_of(picture(found, "block", 10)).split("\n")
    assert half[-2].count("▒") > 0
    assert half[1].count("▒") == 0
