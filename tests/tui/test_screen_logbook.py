"""The logbook by keys: newest at the bottom, read by pages, taken back, verified."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.air.recording import record_air
from benchmate.bench.history.logbook import entries
from benchmate.bench.history.pages import PAGE, count_of, page
from benchmate.bench.starting.starting import start_free, start_job
from benchmate.bench.weights.weighing import Typed, record_weight
from benchmate.job.deciding import commands as cmd
from benchmate.tui.pages.looking_back.logbook import LogbookScreen
from tests.tui.screen_help import open_bench, opened, tick

NOTES = PAGE + 60


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return open_bench(tmp_path)


def long_job(bench: Bench) -> str:
    job = start_free(bench, "Long")
    for n in range(NOTES):
        bench.do(job, cmd.Note(text=f"note {n}"))
    return job


async def test_the_newest_entry_is_marked_at_the_bottom(bench: Bench) -> None:
    job = start_free(bench, "Trial")
    bench.do(job, cmd.Note(text="first"))
    tick(bench, 600)
    bench.do(job, cmd.Note(text="last [not markup]"))
    async with opened(bench, LogbookScreen()) as hands:
        rows = hands.text("page-body").splitlines()
        assert "note first" in rows[-2]
        assert rows[-1].startswith("▸09:10")
        assert "note last [not markup]" in rows[-1]
        assert "last [not markup]" in hands.text("page-detail")


async def test_old_entries_are_read_only_when_one_goes_up_to_them(bench: Bench) -> None:
    long_job(bench)
    async with opened(bench, LogbookScreen()) as hands:
        assert len(hands.front.entries) == PAGE
        await hands.press("home")
        assert len(hands.front.entries) == PAGE
        await hands.press("up")
        assert len(hands.front.entries) == count_of(bench)
        assert "note 60" not in hands.text("page-detail")
        await hands.press("home")
        assert "this machine was started" in hands.text("page-detail")
        assert "this machine was started" in hands.text("page-body")


def test_pages_together_are_the_whole_logbook(bench: Bench) -> None:
    job = long_job(bench)
    bench.do(job, cmd.TakeBack())
    newest = page(bench, size=50)
    found, before = list(newest.entries), newest.before
    while before:
        older = page(bench, until=before, size=50)
        found[:0] = older.entries
        before = older.before
    assert found == list(entries(bench))
    stream = page(bench, f"job:{job}", until=40, size=30)
    assert [e.version for e in stream.entries] == list(range(11, 41))
    assert stream.before == 10


async def test_an_entry_is_taken_back_with_what_rests_on_it_after_asking(bench: Bench) -> None:
    job = start_job(bench, "matched-bookends")
    blank = next(iter(bench.shop.jobs[job].steps.values()))
    record_weight(bench, job, blank.address, Typed("300 g"))
    state = bench.shop.jobs[job]
    async with opened(bench, LogbookScreen(f"job:{job}")) as hands:
        hands.front.mark((f"job:{job}", 2))
        await hands.press("backspace")
        assert "rest" in hands.text("question")
        await hands.press("1")
        assert bench.shop.jobs[job] is state, "left as it was"
        await hands.press("backspace", "2")
        assert "Undone: done A/block/weigh-blanks#1." in hands.text("page-said")
        assert hands.text("page-body").count("(undone) ") == 2
        await hands.press("end")
        said = " ".join(hands.text("page-detail").split())
        assert "“weighed bookend A, block (A/block/weigh-blanks#1)”, “weighed " in said
        assert "bookend A, block: 300 g (A/block/weigh-blanks#1)”" in said
        assert "event" not in said
    assert blank.address not in bench.shop.jobs[job].done
    assert not bench.shop.jobs[job].weighings


async def test_only_acts_of_a_job_can_be_taken_back(bench: Bench) -> None:
    async with opened(bench, LogbookScreen()) as hands:
        await hands.press("backspace")
        assert "Only job entries" in hands.text("page-said")
        assert count_of(bench) == 1


async def test_one_jobs_entries_alone(bench: Bench) -> None:
    job = start_free(bench, "Trial")
    record_air(bench, "shop", 18.0, None)
    bench.do(job, cmd.Note(text="mine"))
    async with opened(bench, LogbookScreen()) as hands:
        assert "air 18" in hands.text("page-body")
        await hands.press("slash", "2")
        assert "Logbook: trial-1" in hands.text("page-head")
        text = hands.text("page-body")
        assert "note mine" in text
        assert "air 18" not in text
        await hands.press("slash", "1")
        assert "air 18" in hands.text("page-body")


async def test_what_is_recorded_meanwhile_appears_and_the_mark_follows(bench: Bench) -> None:
    job = start_free(bench, "Trial")
    async with opened(bench, LogbookScreen()) as hands:
        bench.do(job, cmd.Note(text="from the bench"))
        hands.front.tick()
        assert "note from the bench" in hands.text("page-detail")
        await hands.press("home")
        bench.do(job, cmd.TakeBack())
        hands.front.tick()
        assert "this machine was started" in hands.text("page-detail"), "the mark stays"
        assert "(undone) note from the bench" in hands.text("page-body")


async def test_verifying_says_how_it_went(bench: Bench) -> None:
    long_job(bench)
    async with opened(bench, LogbookScreen()) as hands:
        await hands.press("enter", "1")
        assert f"All {count_of(bench)} entries are as they were recorded." in hands.text(
            "page-said"
        )


async def test_verifying_names_a_damaged_entry(bench: Bench) -> None:
    import sqlite3

    job = start_free(bench, "Trial")
    bench.do(job, cmd.Note(text="true"))
    async with opened(bench, LogbookScreen()) as hands:
        other = sqlite3.connect(next(bench.folders.data.glob("*.db")))
        other.execute("UPDATE events SET data = replace(data, 'true', 'lies') WHERE seq = 3")
        other.commit()
        other.close()
        await hands.press("enter", "1")
        assert "Entry 3" in hands.text("page-said")


async def test_a_backup_is_written_checked_and_never_over_a_file(
    bench: Bench, tmp_path: Path
) -> None:
    target = tmp_path / "copy.journal.db"
    async with opened(bench, LogbookScreen()) as hands:
        await hands.press("enter", "2")
        await hands.type(str(target))
        await hands.press("enter")
        assert "backed up and checked" in " ".join(hands.text("page-said").split())
        first = target.read_bytes()
        await hands.press("enter", "2")
        await hands.type(str(target))
        await hands.press("enter")
        assert "exists already" in hands.text("page-said")
    assert target.read_bytes() == first


async def test_exporting_is_explained(bench: Bench) -> None:
    async with opened(bench, LogbookScreen()) as hands:
        await hands.press("enter", "3")
        assert "benchmate logbook export" in hands.text("page-said")
