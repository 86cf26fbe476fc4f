"""Every screen paints what it says: each row of each block stands in the terminal's cells."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from textual.widgets import OptionList

from benchmate.tui.app import BenchApp
from benchmate.tui.prompts.choose import Choose
from tests.tui.painting import missing_rows, painted
from tests.tui.test_bench_keys import press
from tests.tui.test_demo_loop import Demo

WAYS = (
    ("", "bench"),
    ("b", "big view"),
    ("b w", "a weight asked from afar"),
    ("w", "weigh prompt"),
    ("w 1 2 7", "weigh prompt, answering"),
    ("n", "note"),
    ("n tab", "for next time"),
    ("x", "skip"),
    ("t", "time"),
    ("r", "later"),
    ("o", "this job"),
    ("o 2", "pausing asks"),
    ("exclamation_mark", "cautions"),
    ("a", "shop temperature"),
    ("f", "flags and weights"),
    ("f down down down down down down down enter", "the adjustment"),
    ("s", "start"),
    ("s 1", "parameters"),
    ("s 1 f7", "materials for a job"),
    ("j", "job card"),
    ("j f", "weights"),
    ("j j", "which job"),
    ("m", "shelf"),
    ("m 1", "what did you do"),
    ("m plus", "kinds"),
    ("m plus enter", "label"),
    ("l", "logbook"),
    ("l enter", "the logbook's menu"),
    ("c", "calculators"),
    ("c 1", "a calculator"),
    ("p", "past jobs"),
    ("p enter", "a chart of past jobs"),
    ("d", "day sheet"),
    ("e", "end of day"),
    ("question_mark", "keys"),
)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    made = Demo(tmp_path_factory.mktemp("demo"))
    yield made
    made.bench.close()


@pytest.mark.parametrize("size", [(80, 24), (160, 50)], ids=["80x24", "160x50"])
async def test_what_the_terminal_shows_is_what_each_screen_says(
    demo: Demo, size: tuple[int, int]
) -> None:
    app = BenchApp(demo.bench)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        for keys, name in WAYS:
            await press(pilot, *keys.split())
            await app.workers.wait_for_complete()
            await pilot.pause()
            assert missing_rows(app) == [], name
            rows = [row for row in painted(app).splitlines() if row.strip()]
            assert len(rows) >= 4, f"{name} paints next to nothing"
            for listed in app.screen.query(OptionList) if isinstance(app.screen, Choose) else ():
                shown = " ".join(painted(app).split())
                for option in listed.options[: listed.size.height]:
                    first = " ".join(str(option.prompt).split())[:40]
                    assert first in shown, f"{name}: {option.prompt}"
            while len(app.screen_stack) > 2:
                await press(pilot, "escape")


async def test_a_page_that_paints_one_row_is_found_out(demo: Demo) -> None:
    """The test above can fail."""
    app = BenchApp(demo.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "e")
        app.screen.query_one("#page-body").styles.height = 1
        await pilot.pause()
        assert missing_rows(app)
