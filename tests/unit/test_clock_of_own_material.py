"""`clock FAMILY` runs by the maker's own label where that family is on the shelf."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench.shelf.materials import own_material
from benchmate.bench.shelf.shelf import describe_material, with_label
from benchmate.refusal import UnknownAddress
from benchmate.shelf.questions import new_material
from tests.tui.benches import Shop

FAMILY = "yellow wood glue"


def test_the_makers_own_is_taken_and_of_several_it_is_asked(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    assert own_material(shop.bench, FAMILY).windows == ()
    mine = with_label(new_material("quick glue", FAMILY), {"open time": "4 min at 20 °C"})
    describe_material(shop.bench, mine)
    assert own_material(shop.bench, FAMILY) == mine
    assert own_material(shop.bench, "quick glue") == mine
    describe_material(shop.bench, new_material("slow glue", FAMILY))
    with pytest.raises(UnknownAddress, match="quick glue, slow glue"):
        own_material(shop.bench, FAMILY)
    shop.bench.close()
