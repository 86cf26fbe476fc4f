"""The walks that a newcomer is sent on can be walked, each from the call that it names."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.walks import WALKS, entered

BEGINS = {
    "a weighing": "bench/weights/weighing.py",
    "a file to a plan": "bench/starting/starting.py",
    "an edge to a reminder": "remind/minding.py",
    "a reading of the air": "bench/air/recording.py",
    "a reckoner": "reckon/asking/answering.py",
}


@pytest.mark.parametrize("name", WALKS)
def test_a_walk_begins_where_it_says(name: str, tmp_path: Path) -> None:
    assert entered(WALKS[name](tmp_path))[0] == BEGINS[name]
