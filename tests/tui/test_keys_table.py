"""One key, one meaning, on every screen."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator

import pytest
from textual.binding import Binding
from textual.screen import Screen

import benchmate.tui
from benchmate.tui.app import BenchApp
from benchmate.tui.keys.table import EVERYWHERE, PLACES, STEP, TABLE
from benchmate.tui.present.bench.keys import keys
from tests.tui.benches import MIX, Shop

MEANS = {key: one for one in TABLE.values() for key in one.keys.split(",")}
SIGNS = ("question_mark", "exclamation_mark", "plus", "minus", "slash", "comma", "full_stop")


def _modules() -> Iterator[object]:
    for found in pkgutil.walk_packages(benchmate.tui.__path__, "benchmate.tui."):
        yield importlib.import_module(found.name)


def _screens() -> list[type]:
    """Every screen of the program, and the app."""
    found: set[type] = {BenchApp}
    for module in _modules():
        found |= {c for c in vars(module).values() if isinstance(c, type) and issubclass(c, Screen)}
    return sorted(
        (c for c in found if c.__module__.startswith("benchmate.")), key=lambda c: c.__name__
    )


def _bindings(screen: type) -> Iterator[Binding]:
    for one in screen.__dict__.get("BINDINGS", ()):
        assert isinstance(one, Binding), f"{screen.__name__}: {one}"
        yield from Binding.make_bindings([one])


def test_there_are_screens_to_look_at() -> None:
    assert len(_screens()) > 20


@pytest.mark.parametrize("screen", _screens(), ids=lambda c: c.__name__)
def test_a_letter_or_a_sign_means_what_the_table_says(screen: type) -> None:
    for one in _bindings(screen):
        if (len(one.key) == 1 and not one.key.isdigit()) or one.key in SIGNS:
            assert one.key in MEANS, f"{one.key} stands in no table"
            assert one.description == MEANS[one.key].caption, one.key
            assert one.key == one.key.lower(), "a capital acts as its small letter"
        assert one.tooltip, f"{one.key} of {screen.__name__} has no sentence"


def test_the_table_gives_no_key_twice_and_stays_small() -> None:
    every = [key for one in (*STEP, *PLACES, *EVERYWHERE) for key in one.keys.split(",")]
    assert len(every) == len(set(every))
    assert len(TABLE) <= 32


@pytest.mark.parametrize("cells", [80, 100, 160])
def test_the_row_of_keys_holds_the_way_to_all_others(tmp_path: object, cells: int) -> None:
    shop = Shop(tmp_path).small()  # type: ignore[arg-type]
    shop.mix()
    assert MIX in shop.done
    row = "".join(s.text for s in keys(shop.bench.agenda().next, "space", cells))
    assert row == (" space poured   backspace undo   w weigh   n note   b big   1-9 piece   ? keys")
    shop.bench.close()
