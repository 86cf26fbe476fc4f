"""Lines of the bench that must fit: the head with its air, texts with asides in brackets."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench.air.recording import record_air
from benchmate.tui.present.bench.head import head
from benchmate.tui.present.lines import Span, width, wrap
from tests.tui.benches import Shop, text_of

SLEEPS = (Span("can't be kept awake", "caution"),)


@pytest.mark.parametrize("to_see", [0, 1, 12])
@pytest.mark.parametrize(("humidity", "air"), [(None, "17.5 °C"), (62.0, "17.5 °C, 62 %")])
def test_at_eighty_cells_the_air_stands_whole_beside_a_machine_that_sleeps(
    tmp_path: Path, to_see: int, humidity: float | None, air: str
) -> None:
    shop = Shop(tmp_path).small()
    record_air(shop.bench, "shop", 17.5, humidity)
    shop.clock.tick(20 * 60.0)
    made = head(shop.bench.shop, shop.clock.now(), "metric", to_see, 80, signs=SLEEPS)
    said = text_of([made])
    assert f"air {air}, 20 min ago" in said
    assert "can't be kept awake" in said
    assert width(made) <= 80
    shop.bench.close()


@pytest.mark.parametrize(
    ("text", "cells", "said"),
    [
        (
            "clamps off 18:40 (at label temperature 17:23)",
            60,
            ["clamps off 18:40 (at label temperature 17:23)"],
        ),
        ("clamps off 18:40 (at label temperature 17:23)", 24, ["clamps off 18:40"]),
        (
            "mix 2 closes about 16:51 (at label temperature 17:20): the mix gels",
            40,
            ["mix 2 closes about 16:51: the mix gels"],
        ),
        ("mix 1 (2), pot life: closes about 16:51 and is gone", 24, ["mix 1 (2), pot life: cl…"]),
        ("a text that is cut in (an aside so long)", 32, ["a text that is cut in …"]),
        ("it ends so itself …", 12, ["it ends so …"]),
    ],
    ids=[
        "fits",
        "without the label's",
        "in the middle",
        "a job's number stays",
        "before it",
        "ends so itself",
    ],
)
def test_no_line_is_cut_inside_a_bracket(text: str, cells: int, said: list[str]) -> None:
    assert wrap(text, cells, 1) == said


def test_a_word_longer_than_a_row_goes_on_in_the_next() -> None:
    rows = wrap(f"/home/{'m' * 60}/settings.toml:3: no such key.", 40, 4)
    assert rows == ["/home/" + "m" * 34, "m" * 26 + "/settings.toml", ":3: no such key."]
    assert wrap("words", 0, 3) == [""] * 3
