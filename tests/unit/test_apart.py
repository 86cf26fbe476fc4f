"""Two jobs at once: their pieces, cups and titles have names of their own, everywhere."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from benchmate.bench import Bench
from benchmate.bench.next_line import next_line
from benchmate.bench.starting.starting import start_free, start_job
from benchmate.job.deciding import commands as cmd
from benchmate.job.looking_back.summary import summarise
from benchmate.job.state.state import JobState
from benchmate.job.words.distinct_names import told_apart
from benchmate.moment import Moment
from benchmate.plan.plan import PiecePlan
from tests.tui.screen_help import open_bench
from tests.unit.shop_of_tests import plan

PROCEDURES = ("matched-bookends", "turned-lamp-base", "plane-setting-hammer")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return open_bench(tmp_path)


def names_of(job: JobState) -> list[str]:
    assert job.plan is not None
    heads = {w.label for w in job.windows.values()}
    return [job.title, *(p.label for p in job.plan.pieces), *heads]


def test_six_jobs_at_once_share_no_name(bench: Bench) -> None:
    made = [start_job(bench, name) for name in (*PROCEDURES, *reversed(PROCEDURES))]
    names = [n for job in made for n in set(names_of(bench.shop.jobs[job]))]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("first", PROCEDURES)
@pytest.mark.parametrize("second", PROCEDURES)
def test_no_two_things_of_two_running_jobs_have_the_same_name(
    bench: Bench, first: str, second: str
) -> None:
    one, two, three = (start_job(bench, name) for name in (first, second, second))
    jobs = bench.shop.jobs
    for a, b in ((one, two), (one, three), (two, three)):
        assert not set(names_of(jobs[a])) & set(names_of(jobs[b]))


def test_the_first_job_keeps_its_names_and_the_second_has_its_number_behind_them(
    bench: Bench,
) -> None:
    one, two = start_job(bench, "matched-bookends"), start_job(bench, "matched-bookends")
    first, second = (bench.shop.jobs[j] for j in (one, two))
    assert "bookend A" in names_of(first)
    assert {
        "Matched bookends (2)",
        "bookend A (2)",
        "bookend B (2)",
        "cup 1 (2), pot life",
        "bookend A (2), cure",
    } <= set(names_of(second))


def test_of_different_procedures_only_what_would_be_mixed_up_is_renamed(bench: Bench) -> None:
    start_job(bench, "plane-setting-hammer")
    name = start_job(bench, "turned-lamp-base")
    lamp = bench.shop.jobs[name]
    assert all("(" not in p.label for p in (lamp.plan.pieces if lamp.plan else ()))
    cups = [w.label for w in lamp.windows.values() if w.label.endswith("pot life")]
    assert any(label.startswith("lamp cup") for label in cups)


def test_next_says_which_piece_of_which_job(bench: Bench) -> None:
    one = start_job(bench, "matched-bookends")
    start_job(bench, "matched-bookends")
    assert next_line(bench).startswith("Bookend A: ")
    bench.do(one, cmd.Pause())
    assert next_line(bench).startswith("Bookend A (2): ")


def test_a_job_that_was_ended_takes_no_names(bench: Bench) -> None:
    one = start_job(bench, "matched-bookends")
    bench.do(one, cmd.Stop(reason="the wood split"))
    second = start_job(bench, "matched-bookends")
    assert bench.shop.jobs[second].title == "Matched bookends"


def test_two_jobs_without_a_plan_don_t_share_a_title(bench: Bench) -> None:
    start_free(bench, "lamp foot")
    second = start_free(bench, "lamp foot")
    assert bench.shop.jobs[second].title == "lamp foot (2)"


def test_a_layers_window_keeps_what_stands_behind_the_pieces_name() -> None:
    from benchmate.plan.plan import Window

    made = plan()
    tacky = Window(name="tacky", address="t/A/block/pour#1:tacky", label="bookend A layer 1, tacky")
    steps = (msgspec.structs.replace(made.steps[1], windows=(tacky,)),)
    running = JobState(
        job="s", title="Other", started=Moment(0), plan=msgspec.structs.replace(made, job="s")
    )
    apart = told_apart(msgspec.structs.replace(made, steps=steps), [running])
    assert apart.pieces[0] == PiecePlan(name="A", label="bookend A (2)")
    assert apart.steps[0].windows[0].label == "bookend A (2) layer 1, tacky"


def test_past_jobs_have_one_row_for_a_piece_whatever_told_it_apart(bench: Bench) -> None:
    jobs = [start_job(bench, "matched-bookends") for _ in range(2)]
    rows = [summarise(bench.shop.jobs[job], lambda at: at.wall_s).pieces for job in jobs]
    assert [p.name for p in rows[0]] == [p.name for p in rows[1]] == ["bookend A", "bookend B"]
