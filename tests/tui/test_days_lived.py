"""A fortnight lived by the day sheet, by keys alone with a moved clock."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.planning.planning import LATE_S, adopt, late_text
from benchmate.bench.planning.sheet import adopted_sheet
from benchmate.bench.planning.times import span_ahead
from benchmate.bench.starting.starting import start_job
from benchmate.job.deciding.streams import commands as cmd
from benchmate.job.events.of_shop import OtherHours
from benchmate.tui.app import BenchApp
from tests.tui.painting import said
from tests.tui.test_whole_job import acted
from tests.tui.whole_job import Script
from tests.unit.test_planning_bench import quick_sheet


def shown_later(app: BenchApp) -> list[str]:
    """The rows under "later" on the bench."""
    rows = said(app).splitlines()
    first = next((n for n, row in enumerate(rows) if row.lstrip().startswith("later")), len(rows))
    listed = [rows[first].replace("later", "", 1)] if first < len(rows) else []
    for row in rows[first + 1 :]:
        if not row.startswith("    ") or "more" in row:
            break
        listed.append(row)
    return [row.strip() for row in listed if "nothing is waiting" not in row]


def disagreeing(bench: Bench, app: BenchApp) -> tuple[int, list[str]]:
    """How many rows say when something comes, and those that say another time than the sheet.

    A clock that runs a little longer than the sheet reckoned is right: hands were slower. So is one
    that closes before the sheet's time.
    """
    assert bench.shop.dates is not None
    dates, now = bench.shop.dates.dates, bench.now()
    app.screen.look()  # type: ignore[attr-defined]
    rows, wrong = shown_later(app), []
    for act, row in zip(bench.agenda().later, rows, strict=False):
        late = now.wall_s + act.ready_at - bench.now_s(now) - dates[act.address]
        sheet = datetime.fromtimestamp(dates[act.address], UTC)
        closes_first = late < 0 and act.ready_at == act.latest_at
        if not (f"{sheet:%H:%M}" in row or 0 < late < LATE_S or closes_first):
            wrong.append(f"{act.address}: {row}, on the sheet {sheet:%H:%M}")
    return len(rows), wrong


async def test_every_later_on_the_bench_agrees_with_the_sheet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    script = Script()
    bench = script.open(tmp_path)
    jobs = [start_job(bench, name) for name in ("plane-setting-hammer", "turned-lamp-base")]
    begins, ends = span_ahead("Sat 0:00-23:59", bench.now().wall_s)
    away = OtherHours(begins=begins, ends=ends + 2 * 86_400, why="a long weekend")
    bench.settle(cmd.ChangeHours(hours=away))
    adopt(bench, quick_sheet(bench))
    sheet = adopted_sheet(bench)
    assert sheet is not None
    assert sheet.rows[-1].ends - sheet.rows[0].begins > 8 * 86_400
    app = BenchApp(bench)
    monkeypatch.setattr(app, "tick", lambda: None)  # the real second sees no leap of time
    read, wrong = 0, list[str]()

    def look() -> None:
        nonlocal read, wrong
        many, others = disagreeing(bench, app)
        read, wrong = read + many, wrong + others

    async with app.run_test(size=(160, 50)) as pilot:
        await pilot.pause()
        for row in sheet.rows:
            script.clock.tick(max(0.0, row.begins + 1.0 - bench.now().wall_s))
            bench.mind_clock()
            while not bench.shop.jobs[row.job].is_settled(row.address):
                act = script.next_act(bench)
                assert act is not None, f"{row.what} can be done when the sheet says"
                look()
                script.pass_time(act)
                await acted(pilot, app, act)
            look()
    assert wrong == []
    assert read > 40
    assert late_text(bench) == ""
    for job in jobs:
        assert all(bench.shop.jobs[job].is_settled(a) for a in bench.shop.jobs[job].steps)
    bench.close()
