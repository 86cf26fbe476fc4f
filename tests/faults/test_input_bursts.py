"""Keys typed while the program stands still, scanners, scales that type: the real app, a terminal.

Whatever is recorded was typed at a question that had asked for it; a burst that nothing had asked
for only fills a question.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.starting.starting import start_job
from benchmate.job.state.state import JobState
from benchmate.settings import Settings, find_folders
from tests.faults.campaign import scaled
from tests.faults.terminals import PATIENCE_S, Terminal

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals")
TYPED = " 255\r"
EVERY_S = 0.12
TIMES = scaled(1, 50)
STALLS_S = (0.0, 0.2, 0.6, 2.0)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return to_weigh(tmp_path)


def to_weigh(home: Path) -> Path:
    """Bookends of which the first block is to be weighed: planned at about 298 g."""
    with closing(Bench.open(find_folders(home), Settings())) as bench:
        start_job(bench, "matched-bookends")
    return home


def job(home: Path) -> JobState:
    with closing(Bench.open(find_folders(home), Settings())) as bench:
        return next(iter(bench.shop.live))


def weights(home: Path) -> list[float]:
    return [w.net_g for w in job(home).weighings.values()]


@contextmanager
def at_bench(home: Path) -> Iterator[Terminal]:
    with Terminal(home, size=(80, 24)) as terminal:
        terminal.until("backspace")
        settle(terminal, 0.5)
        yield terminal
        terminal.process.send_signal(signal.SIGTERM)
        assert terminal.ended() == 0, terminal.text[-3000:]


def settle(terminal: Terminal, quiet_s: float) -> None:
    """Read until nothing new is written for so long."""
    said, since = len(terminal.wrote), time.monotonic()
    while time.monotonic() - since < quiet_s:
        terminal.read(wait_s=0.05)
        if len(terminal.wrote) != said:
            said, since = len(terminal.wrote), time.monotonic()


def type_slowly(terminal: Terminal, keys: str) -> None:
    for key in keys:
        terminal.press(key)
        time.sleep(EVERY_S)


@pytest.mark.parametrize("stall_s", STALLS_S)
def test_what_is_typed_while_it_stalls_is_recorded_as_typed_or_asked_about(
    tmp_path: Path, stall_s: float
) -> None:
    for n in range(TIMES):
        home = to_weigh(tmp_path / str(n))
        with at_bench(home) as terminal:
            before = len(terminal.wrote)
            if stall_s:
                os.kill(terminal.process.pid, signal.SIGSTOP)
            typing = threading.Thread(target=type_slowly, args=(terminal, TYPED))
            typing.start()
            time.sleep(stall_s)
            os.kill(terminal.process.pid, signal.SIGCONT)
            typing.join()
            terminal.until("255", before)  # as a verdict that was recorded, or in a question
            settle(terminal, 0.4)
        assert set(weights(home)) <= {255.0}
        assert len(weights(home)) <= 1


@pytest.mark.parametrize(
    "burst",
    [
        " 301\r",
        "nhello\r",
        "5901234123457\r",
        "\x1b[200~301\r\x1b[201~",
        "301.5 g\r\n",
        "x\r",
        "o31",
    ],
    ids=["a key and a weight", "a note", "a scanner", "a paste", "a scale", "skip", "a menu"],
)
def test_a_burst_that_nothing_asked_for_records_nothing(home: Path, burst: str) -> None:
    before = job(home)
    with at_bench(home) as terminal:
        terminal.press(burst)
        settle(terminal, 0.4)
    after = job(home)
    assert after.version == before.version, "nothing was recorded"


@pytest.mark.parametrize(
    ("burst", "value"), [(" 301\r", 301.0), ("\x1b[200~301\x1b[201~", 301.0), ("301.5\r\n", 301.5)]
)
def test_it_fills_the_question_and_a_key_of_its_own_records_it(
    home: Path, burst: str, value: float
) -> None:
    with at_bench(home) as terminal:
        before = len(terminal.wrote)
        terminal.press(burst)
        terminal.until(burst.strip("\x1b[]~ \r\n")[:3].replace("200", "301"), before)
        settle(terminal, 0.4)
        assert weights(home) == []
        terminal.press("\r")
        end = time.monotonic() + PATIENCE_S
        while not weights(home):
            assert time.monotonic() < end, terminal.text[-3000:]
            terminal.read(wait_s=0.1)
    assert weights(home) == [value]


def test_a_scale_that_types_into_the_open_question_is_heard(home: Path) -> None:
    with at_bench(home) as terminal:
        terminal.press("w")
        settle(terminal, 0.3)
        terminal.press("301\r\n302\r\n")
        settle(terminal, 0.4)
    assert weights(home) == [301.0], "what came behind it nothing had asked for"
