"""A terminal on a line of 2 kB/s, and one of 20 by 5: no act is lost, and it ends when told to."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

if os.name != "posix":
    pytest.skip("this machine lacks terminals of this kind", allow_module_level=True)

from benchmate.bench import Bench
from benchmate.job.deciding import commands as cmd
from benchmate.job.state.state import JobState
from benchmate.settings import Settings, find_folders
from tests.faults.campaign import scaled
from tests.faults.minding_processes import set_up, with_bench
from tests.faults.terminals import PATIENCE_S, Terminal
from tests.unit.shop_of_tests import plan

BYTES, EACH_S = 200, scaled(4, 10) / 100
"""Two kilobytes a second (in short: five); a picture of 80 by 24 has about ten."""
NOTES = scaled(1, 3)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A shop with one job."""
    set_up(tmp_path)
    with_bench(tmp_path, lambda b: b.do("t", cmd.StartJob(job="t", title="Pair", plan=plan())))
    return tmp_path


def slowly(terminal: Terminal, until: Callable[[], object]) -> None:
    """Take in the screen slowly until something is so."""
    end = time.monotonic() + PATIENCE_S
    while not until():
        assert time.monotonic() < end, terminal.text[-3000:]
        if not terminal.read(most=BYTES):
            # It has closed the terminal, and may take a moment yet to be gone.
            terminal.process.wait(PATIENCE_S)
            assert until(), terminal.text[-3000:]
        time.sleep(EACH_S)


def recorded(home: Path, so: Callable[[JobState], object]) -> Callable[[], bool]:
    """Whether another process sees it in the job."""

    def look() -> bool:
        folders = find_folders(home)
        with closing(Bench.open(folders, Settings(), create=False, read_only=True)) as bench:
            return bool(so(bench.shop.jobs["t"]))

    return look


def wrote(terminal: Terminal, what: bytes, after: int) -> Callable[[], bool]:
    return lambda: what in terminal.wrote[after:]


def noted(count: int) -> Callable[[JobState], bool]:
    return lambda job: len(job.notes) == count


@pytest.mark.parametrize("size", [(80, 24), (20, 5)], ids=["80 by 24", "20 by 5"])
def test_acts_at_a_slow_terminal_are_recorded_and_none_twice(
    home: Path, size: tuple[int, int]
) -> None:
    with Terminal(home, size=size) as terminal:
        slowly(terminal, lambda: "Mix resin" in terminal.text)
        terminal.press(" ")
        slowly(terminal, recorded(home, lambda job: job.done))
        for other in ((160, 50), (20, 5), size):
            terminal.resize(*other)
            terminal.read(most=BYTES)
        for number in range(NOTES):
            so_far = len(terminal.wrote)
            terminal.press("n")
            slowly(terminal, wrote(terminal, b"Note", so_far))
            terminal.press(f"note {number}\r")
            slowly(terminal, recorded(home, noted(number + 1)))
        terminal.process.send_signal(signal.SIGTERM)
        slowly(terminal, lambda: terminal.process.poll() is not None)
        assert terminal.ended() == 0
        assert "\x1b[?1049l" in terminal.text
    with closing(Bench.open(find_folders(home), Settings())) as bench:
        job = bench.shop.jobs["t"]
        assert list(job.done) == ["t/all/all/mix#1"]
        assert [n.event.text for n in job.notes] == [f"note {n}" for n in range(NOTES)]
