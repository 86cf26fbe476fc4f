"""“Next time …”: said at a step, listed at the next start, shown before that step."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.next_line import sentences
from benchmate.bench.starting.starting import start_job
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.windows.agenda import agenda
from benchmate.settings import Settings, find_folders
from benchmate.tui.present.bench.nextact import next_act
from tests.tui.benches import START

WISH = "dry the cover a week longer [/x]"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench.open(find_folders(tmp_path), Settings(), clock=SetClock(START))


def test_a_wish_stands_before_its_step_in_the_next_job_and_nowhere_else(bench: Bench) -> None:
    first = start_job(bench, "matched-bookends")
    step = next(s for s in bench.shop.jobs[first].steps.values() if s.weigh)
    bench.do(first, cmd.WishNextTime(file_step=step.file_step, text=WISH))
    bench.do(first, cmd.Stop(reason="rehearsal"))
    second = start_job(bench, "matched-bookends")
    job = bench.shop.jobs[second]
    assert job.plan is not None
    assert job.plan.next_time == {step.file_step: (WISH,)}
    act = agenda([job], bench.shop.around, bench.now_s()).next
    assert act is not None
    shown = next_act(job, act, "metric", str, 70, 12)
    text = "\n".join("".join(s.text for s in row) for row in shown)
    assert f"Next time, you said: {WISH}" in text
    while act is not None and act.step is not None and act.step.file_step == step.file_step:
        bench.do(second, cmd.Skip(address=act.address, reason="rehearsal"))
        act = bench.agenda().next
    assert act is not None
    rows = next_act(bench.shop.jobs[second], act, "metric", str, 70, 12)
    assert WISH not in "".join(s.text for row in rows for s in row)
    bench.close()


def test_other_procedures_do_not_see_it(bench: Bench) -> None:
    first = start_job(bench, "matched-bookends")
    bench.do(first, cmd.WishNextTime(file_step="mix", text=WISH))
    lamp = start_job(bench, "turned-lamp-base")
    plan = bench.shop.jobs[lamp].plan
    assert plan is not None
    assert plan.next_time == {}
    bench.close()


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        (
            ["Weigh layer 1", "Mix 1, pot life closes 16:44"],
            "Weigh layer 1. Mix 1, pot life closes 16:44",
        ),
        (["Stir slowly.", "41.4 g resin"], "Stir slowly. 41.4 g resin"),
        (["Missed: mix 1. What happened?"], "Missed: mix 1. What happened?"),
        (["Is it level?", "Gloves on"], "Is it level? Gloves on"),
    ],
    ids=["two sentences", "its own full stop", "a question alone", "a question and more"],
)
def test_the_next_line_is_made_of_whole_sentences(parts: list[str], said: str) -> None:
    assert sentences(parts) == said
