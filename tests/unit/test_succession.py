"""Clocks without a plan: the next act on the same thing ends the window that it used."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.clock import SetClock
from benchmate.settings import Settings, find_folders
from tests.tui.benches import START

GLUE, OIL = "yellow wood glue", "hard oil"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench.open(find_folders(tmp_path), Settings(), clock=SetClock(START))


def live(bench: Bench) -> list[str]:
    return sorted(v.window.label for v in bench.agenda().windows)


def act(bench: Bench, material: str, what: str, name: str) -> None:
    start_clock(bench, find_material(bench, material), what, name=name)


def test_clamping_ends_open_time_and_closed_assembly(bench: Bench) -> None:
    act(bench, GLUE, "spread", "lid")
    act(bench, GLUE, "closed", "lid")
    assert live(bench) == ["lid, closed assembly"]
    act(bench, GLUE, "clamped", "lid")
    assert live(bench) == ["lid, clamp time"]


def test_another_things_clamping_ends_nothing(bench: Bench) -> None:
    act(bench, GLUE, "spread", "lid")
    act(bench, GLUE, "clamped", "box")
    assert "lid, open time" in live(bench)


def test_the_next_coat_ends_the_recoat_window_of_the_last(bench: Bench) -> None:
    act(bench, OIL, "coated", "box")
    first = len(live(bench))
    act(bench, OIL, "coated", "box")
    assert live(bench).count("box, recoat") == 1
    assert len(live(bench)) <= first + 1


def test_a_cup_of_resin_keeps_its_pot_life_while_it_is_poured(bench: Bench) -> None:
    act(bench, "slow casting epoxy", "mixed", "test cup")
    act(bench, "slow casting epoxy", "poured", "test cup")
    assert any("pot life" in label for label in live(bench))
