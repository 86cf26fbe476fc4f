"""kill -9 in the middle of a job, over and over: every act that was acknowledged is there."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.clock import SetClock
from benchmate.job.state.fold import fold_all
from benchmate.journal import verify
from benchmate.settings import Settings, find_folders
from tests.faults.bench_child import START
from tests.faults.campaign import scaled, seeded, start, tell

KILLS = scaled(12, 200)


def _work_until_killed(home: Path, procedure: str, wait_s: float) -> tuple[int, bool]:
    """Run the child, kill it a random moment after its first act; the last version it told."""
    child = start("bench_child", home, procedure)
    assert child.stdout is not None
    told = [child.stdout.readline().strip()]
    time.sleep(wait_s)
    child.kill()
    told += [line.strip() for line in child.stdout.read().splitlines()]
    child.wait()
    numbers = [int(t) for t in told if t.isdigit()]
    return max(numbers, default=0), "done" in told


@pytest.mark.parametrize("procedure", ["matched-bookends"])
def test_every_acknowledged_act_survives_kills(procedure: str, tmp_path: Path) -> None:
    chance = seeded("killed jobs")
    kills, round_, ended = 0, 0, 0
    while kills < KILLS:
        home = tmp_path / f"round-{round_}"
        round_ += 1
        told, finished = 0, False
        while not finished and kills < KILLS:
            latest, finished = _work_until_killed(home, procedure, chance.uniform(0.0, 0.12))
            told = max(told, latest)
            kills += 1
            ended += finished
            _check(home, told)
    tell(f"{kills} kills in {round_} runs, {ended} of them after the last act; all acts there")


def _check(home: Path, told: int) -> None:
    folders = find_folders(home)
    verdict = verify(folders.data)
    assert verdict.ok, verdict.sentence
    bench = Bench.open(folders, Settings(), clock=SetClock(START))
    try:
        (state,) = bench.shop.jobs.values()
        assert state.version >= told
        assert [r.version for r in state.records] == list(range(1, state.version + 1))
        assert fold_all(state.records) == state
    finally:
        bench.close()
