"""What a job needs is asked about before the first step that can't be undone or starts a clock."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner

from benchmate.bench import Bench
from benchmate.bench.starting.starting import start_job
from benchmate.cli.group import cli
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.to_hand import missing_for, need_key, need_text, not_to_hand
from benchmate.job.state.state import JobState
from benchmate.moment import Moment
from benchmate.settings import Settings, find_folders

START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)
TRAY = """
name = "Tray"
[materials]
glue = "yellow wood glue"
[[needs]]
what = "bar clamp"
count = 4
size = "300 mm"
kind = "clamp"
[[steps]]
do = "Plane the edges."
[[steps]]
id = "spread"
do = "Spread the glue."
act = "spread"
material = "glue"
[[steps]]
id = "saw"
do = "Saw it apart."
irreversible = true
"""


@pytest.fixture
def job(tmp_path: Path) -> Iterator[tuple[Bench, str]]:
    path = tmp_path / "procedures" / "tray.toml"
    path.parent.mkdir()
    path.write_text(TRAY, encoding="utf-8")
    with closing(Bench.open(find_folders(tmp_path), Settings(), clock=SetClock(START))) as bench:
        yield bench, start_job(bench, "tray")


def asked(state: JobState) -> dict[str, list[str]]:
    """By step, what would be asked about before it."""
    return {s.act: [need_text(n) for n in missing_for(state, s)] for s in state.steps.values()}


def test_it_is_asked_where_a_clock_starts_or_nothing_can_be_undone(job: tuple[Bench, str]) -> None:
    bench, name = job
    clamps = ["4 × bar clamp, 300 mm"]
    assert asked(bench.shop.jobs[name]) == {"planed": [], "spread": clamps, "sawn": clamps}


def test_what_is_ticked_is_not_asked_about(job: tuple[Bench, str]) -> None:
    bench, name = job
    (need,) = not_to_hand(bench.shop.jobs[name])
    bench.do(name, cmd.Tick(what=need_key(need)))
    assert not_to_hand(bench.shop.jobs[name]) == ()
    assert not any(asked(bench.shop.jobs[name]).values())


def test_once_it_has_begun_nobody_is_asked_again(job: tuple[Bench, str]) -> None:
    bench, name = job
    for step in list(bench.shop.jobs[name].steps)[:2]:
        bench.do(name, cmd.MarkDone(address=step))
    assert not any(asked(bench.shop.jobs[name]).values())


@pytest.mark.parametrize("to_hand", [True, False], ids=["said", "not said"])
def test_the_command_names_what_nobody_said_is_laid_out(
    job: tuple[Bench, str], tmp_path: Path, *, to_hand: bool
) -> None:
    bench, name = job
    bench.do(name, cmd.MarkDone(address=next(iter(bench.shop.jobs[name].steps))))
    step = next(s.address for s in bench.shop.jobs[name].steps.values() if s.act == "spread")
    flag = ["--ready"] if to_hand else []
    words = ["--home", str(tmp_path), "done", step, *flag]
    done = CliRunner().invoke(cli, words, catch_exceptions=False)
    assert done.exit_code == 0, done.output
    assert ("Not ticked off: 4 × bar clamp" in done.stdout) is not to_hand
    bench.refresh()
    assert bench.shop.jobs[name].ticked == ({"bar clamp, 300 mm"} if to_hand else set())
