"""Keys while the planner's process works: each key on a full day sheet, beside the same without it.

The page is open in the real app, ten jobs are planned in the process beside it; arrows are pressed
one after another and timed until the screen has settled.
"""

from __future__ import annotations

import asyncio
from pathlib import Path
from statistics import quantiles
from tempfile import TemporaryDirectory
from time import perf_counter

from benchmate.bench.starting.starting import start_job
from benchmate.tui.pages.days import DaysScreen
from tests.speed.harness import Measure, against
from tests.tui.screen_help import Hands, open_bench, opened

JOBS = ("matched-bookends", "turned-lamp-base", "plane-setting-hammer") * 3
PRESSES = 60
TARGET_S = 0.1


def measure() -> list[Measure]:
    """The slowest key of twenty, planning and not."""
    busy, quiet = asyncio.run(_keys())
    words = "the same keys, nothing planned"
    return [
        against("key on the day sheet, planning", busy, quiet, "s", words),
        Measure(
            what="key on the day sheet, planning, at most",
            value=round(busy, 3),
            unit="s",
            against="95 of 100 keys",
            target=TARGET_S,
            ok=busy <= TARGET_S,
        ),
    ]


async def _keys() -> tuple[float, float]:
    with TemporaryDirectory() as home:
        bench = open_bench(Path(home))
        for n, name in enumerate(JOBS):
            start_job(bench, name, {}, f"job{n}")
        async with opened(bench, DaysScreen(), (160, 50)) as hands:
            page = hands.front
            while page.sheet is None:
                await asyncio.sleep(0.1)
            busy = [await _press(hands, n) for n in range(PRESSES)]
            assert page._asking is not None, "the planner was still at it"
            page._stop()
            quiet = [await _press(hands, n) for n in range(PRESSES)]
        bench.close()
    return quantiles(busy, n=20)[-1], quantiles(quiet, n=20)[-1]


async def _press(hands: Hands, n: int) -> float:
    began = perf_counter()
    await hands.pilot.press("down" if n % 20 < 10 else "up")
    return perf_counter() - began
