"""Banners, closing up and help, on plain data."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.bench.reminding.leaving import back_at
from benchmate.job.deciding import commands as cmd
from benchmate.settings import Hours
from benchmate.tui.keys.names import glove_fault, key_name
from benchmate.tui.present.bench.banners import banner_lines
from benchmate.tui.present.lines import width
from benchmate.tui.present.pages.end_of_day import closing_lines, cups, materials_used, turns
from benchmate.tui.present.pages.helping import KeyHelp, help_lines, merged
from tests.remind_help import reminder
from tests.tui.benches import Shop, text_of

HOUR = 3600.0


def test_the_gravest_comes_first() -> None:
    standing = [reminder("first", "until heard"), reminder("second", key="b")]
    text = text_of(banner_lines(standing, 80, 24))
    assert "▲ first" in text
    assert "(and 1 more)" in text
    assert text.rstrip().endswith("k OK   r later")


@given(
    text=st.text(min_size=1, max_size=300),
    cells=st.integers(10, 200),
    height=st.integers(1, 60),
    n=st.integers(1, 3),
)
def test_a_banner_is_as_wide_as_the_screen_and_never_wider(
    text: str, cells: int, height: int, n: int
) -> None:
    made = banner_lines([reminder(text, key=str(i)) for i in range(n)], cells, height)
    assert all(width(r) == cells for r in made)
    assert len(made) <= max(0, height - 2)


# Closing up ----------------------------------------------------------------------------------


def _closing(shop: Shop, hours: float = 16.0, cells: int = 80) -> str:
    bench = shop.bench
    now_s = bench.now_s()
    found = bench.agenda()
    return text_of(closing_lines(bench.shop, found, now_s, now_s + hours * HOUR, _clock, cells))


def _clock(s: float) -> str:
    return "Fri 07:00"


def test_closing_up_warns_of_a_cup_that_is_still_liquid(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    assert [v.window.label for v in cups(shop.bench.agenda())] == ["mix 1, pot life"]
    text = _closing(shop)
    assert "! mix 1, pot life: still liquid until Fri 07:00." in text
    assert "mix 1, pot life: closes; the mix gels" in text


def test_closing_up_lists_only_what_turns_while_nobody_is_here(tmp_path: Path) -> None:
    shop = Shop(tmp_path).bookends("B/all/dry-run#1")
    found, now_s = shop.bench.agenda(), shop.bench.now_s()
    soon = turns(found, now_s + HOUR)
    every = turns(found, now_s + 1000 * HOUR)
    assert len(soon) < len(every)
    assert all(now_s < t.edge.at <= now_s + HOUR for t in soon)
    assert [t.edge.at for t in every] == sorted(t.edge.at for t in every)


def test_oily_rags_of_the_day_bring_their_caution(tmp_path: Path) -> None:
    shop = Shop(tmp_path).bookends("A/all/wipe#1")
    assert "Oily rags" in _closing(shop)
    assert "Spread oily rags out singly" in " ".join(_closing(shop).split())
    shop.clock.tick(25 * HOUR)
    assert "Oily rags" not in _closing(shop)


def test_materials_of_the_day_are_to_be_shut(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    shop.bench.do("t", cmd.MarkDone(address="t/A/block/pour#1"))
    assert materials_used(shop.bench.shop, shop.bench.now_s()) == ["resin"], "shot has no lid"
    assert materials_used(shop.bench.shop, shop.bench.now_s() + 25 * HOUR) == []


def test_closing_up_says_what_comes_first(tmp_path: Path) -> None:
    text = _closing(Shop(tmp_path).small())
    assert "nothing comes due" in text
    assert "nothing was open today" in text
    assert "ready       Mix resin and hardener" in text


@pytest.mark.parametrize("cells", [24, 40, 80, 160])
def test_closing_up_keeps_to_its_cells(tmp_path: Path, cells: int) -> None:
    shop = Shop(tmp_path).bookends("A/all/wipe#1")
    assert max(len(row) for row in _closing(shop, 100.0, cells).split("\n")) <= cells


def test_the_shop_opens_next_by_its_hours() -> None:
    friday_s = 1_795_798_800.0  # Fri 27 Nov 2026, afternoon in any zone from -8 to +8 h
    late = back_at(Hours(sat=(), sun=("10:00-17:00",)), friday_s)
    early = back_at(Hours(sat=("08:00-12:00",)), friday_s)
    assert early < late
    assert late - early == 26 * HOUR
    never = Hours(*((),) * 7)
    assert 0 < back_at(never, friday_s) - friday_s < 48 * HOUR


# Help ----------------------------------------------------------------------------------------


def test_keys_of_one_act_share_a_row_and_the_digits_are_one() -> None:
    found = merged(
        [
            ("space", "glove", "Do it"),
            ("question_mark", "help", "Keys"),
            ("f1", "help", "Keys"),
            ("1", "pick(1)", "Show what piece 1 needs"),
            ("2", "pick(2)", "Show what piece 2 needs"),
        ]
    )
    assert found == [
        KeyHelp("space", "Do it"),
        KeyHelp("? f1", "Keys"),
        KeyHelp("1-2", "Show what piece of that number needs"),
    ]


@pytest.mark.parametrize(("cells", "columns"), [(80, 1), (160, 3)])
def test_help_uses_the_columns_there_are(cells: int, columns: int) -> None:
    rows = [KeyHelp(chr(97 + i), f"what {i} does") for i in range(24)]
    made = help_lines(rows, cells)
    assert len(made) == 24 // columns
    assert all(width(r) <= cells for r in made)


@pytest.mark.parametrize(
    ("name", "fault"),
    [
        ("space", ""),
        ("enter", ""),
        ("f5", ""),
        ("g", ""),
        ("spcae", "There is no key called “spcae”"),
        ("w", "The key w is “weigh” already"),
    ],
)
def test_the_glove_key_must_be_a_key_and_free(name: str, fault: str) -> None:
    said = glove_fault(name, {"w": "weigh"})
    assert said.startswith(fault)
    assert bool(said) == bool(fault)


def test_keys_are_called_as_people_call_them() -> None:
    assert [key_name(k) for k in ("question_mark", "escape", "L")] == ["?", "esc", "L"]
