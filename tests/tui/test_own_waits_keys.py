"""A step that waits is tested too early: one key says so, and what else there is comes first."""

from pathlib import Path

from benchmate.tui.app import BenchApp
from tests.tui.test_bench_keys import press
from tests.unit.loop_help import Worked


async def test_not_ready_yet_is_said_by_a_key(tmp_path: Path) -> None:
    shop = Worked(tmp_path)
    shop.start()
    step = next(s for s in shop.state.steps.values() if s.waits)
    shop.until(step.address.partition("/")[2], kind="do")
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "t", "3")
    assert [e.window for e in shop.bench.shop.lessons.waits.values()] == [step.waits[-1]]
    assert step.address not in shop.state.done
    shop.bench.close()
