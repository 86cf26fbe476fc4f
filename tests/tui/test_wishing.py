"""At the step where a wish is shown, one key takes it into the procedure's file."""

from __future__ import annotations

from pathlib import Path

from benchmate.bench.starting.starting import start_job
from benchmate.job.deciding import commands as cmd
from benchmate.tui.app import BenchApp
from tests.tui.benches import Shop
from tests.tui.test_bench_keys import press, shows

WISH = "weigh in the morning"


async def test_the_wish_shown_at_a_step_goes_into_the_file_by_two_keys(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    first = start_job(shop.bench, "matched-bookends")
    bench = shop.bench
    bench.do(first, cmd.WishNextTime(file_step="weigh-blanks", text=WISH))
    bench.do(first, cmd.Stop(reason="rehearsal"))
    start_job(bench, "matched-bookends")
    app = BenchApp(bench)
    async with app.run_test(size=(80, 24)) as pilot:
        assert f"Next time, you said: {WISH}" in shows(app)
        await press(pilot, "N")
        assert f'+note = "{WISH}"' in " ".join(shows(app).split())
        await press(pilot, "1")
        assert "Your own copy has it" in " ".join(shows(app).split())
        await press(pilot, "N")
        assert "Nothing is kept for next time of this step" in " ".join(shows(app).split())
    own = bench.folders.procedures / "matched-bookends.toml"
    assert f'note  = "{WISH}"' in own.read_text()
    bench.close()


async def test_without_a_step_of_a_procedure_in_hand_the_key_says_so(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "N")
        assert "There is no step of a procedure in hand" in shows(app)
    shop.bench.close()
