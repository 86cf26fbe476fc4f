"""Where a wish is shown, the job's menu takes it into the procedure's file."""

from __future__ import annotations

from pathlib import Path

from benchmate.bench.starting.starting import start_job
from benchmate.job.deciding import commands as cmd
from benchmate.tui.app import BenchApp
from tests.tui.benches import Shop
from tests.tui.test_bench_keys import press, shows

WISH = "weigh in the morning"


async def test_a_wish_goes_into_the_file_from_the_jobs_menu(
    tmp_path: Path,
) -> None:
    shop = Shop(tmp_path)
    first = start_job(shop.bench, "matched-bookends")
    bench = shop.bench
    bench.do(first, cmd.WishNextTime(file_step="weigh-blanks", text=WISH))
    bench.do(first, cmd.Stop(reason="rehearsal"))
    start_job(bench, "matched-bookends")
    app = BenchApp(bench)
    async with app.run_test(size=(80, 24)) as pilot:
        assert f"Next time, you said: {WISH}" in shows(app)
        await press(pilot, "o", "6")
        assert f'+note = "{WISH}"' in " ".join(shows(app).split())
        await press(pilot, "1")
        assert "Your own copy has it" in " ".join(shows(app).split())
        await press(pilot, "o", "6")
        assert "No “next time” note for matched-bookends" in " ".join(shows(app).split())
    own = bench.folders.procedures / "matched-bookends.toml"
    assert f'note  = "{WISH}"' in own.read_text()
    bench.close()
