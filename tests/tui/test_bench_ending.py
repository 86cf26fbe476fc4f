"""Whatever ends it, the terminal is left clean: in a pseudo-terminal of its own."""

from __future__ import annotations

import os
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.job.deciding import commands as cmd
from tests.tui.benches import MIX, Shop

pty = pytest.importorskip("pty", reason="pseudo-terminals are for Unix")

ENTER, LEAVE = b"\x1b[?1049h", b"\x1b[?1049l"
SHOW_CURSOR = b"\x1b[?25h"
PATIENCE_S = 60.0
FAILS = """
import sys
from benchmate.tui.bench.screen import BenchScreen
real, looks = BenchScreen.look, [0]
def look(self):
    looks[0] += 1
    if looks[0] > 3:
        raise RuntimeError("a fault of ours")
    real(self)
BenchScreen.look = look
from benchmate.cli.entry import main
sys.argv = ["benchmate"]
main()
"""


class Terminal:
    """The bench in a pseudo-terminal, and all that it wrote."""

    def __init__(self, home: Path, *command: str) -> None:
        self.master, slave = pty.openpty()
        env = {
            **os.environ,
            "BENCHMATE_HOME": str(home),
            "TERM": "xterm-256color",
            "COLUMNS": "80",
            "LINES": "24",
        }
        self.child = subprocess.Popen(
            command,
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env=env,
            start_new_session=True,
            close_fds=True,
        )
        os.close(slave)
        self.wrote = b""

    def until(self, what: bytes) -> None:
        """Read until this was written."""
        end = time.monotonic() + PATIENCE_S
        while what not in self.wrote:
            assert time.monotonic() < end, self.wrote[-2000:]
            if not self.read():
                raise AssertionError(f"it ended before it wrote {what!r}: {self.wrote[-2000:]!r}")

    def read(self) -> bool:
        """Read a little; False at the end."""
        ready, _, _ = select.select([self.master], [], [], 0.5)
        if not ready:
            return self.child.poll() is None
        try:
            fresh = os.read(self.master, 65536)
        except OSError:
            return False
        self.wrote += fresh
        return bool(fresh)

    def ended(self) -> int:
        """Its exit status, once it has ended."""
        end = time.monotonic() + PATIENCE_S
        while self.read():
            assert time.monotonic() < end, "it doesn't end"
        return self.child.wait(PATIENCE_S)

    def close(self) -> None:
        if self.child.poll() is None:
            self.child.kill()
            self.child.wait()
        os.close(self.master)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A journal with a job in it."""
    shop = Shop(tmp_path).small()
    shop.bench.close()
    return tmp_path


@pytest.fixture
def bench(home: Path) -> Iterator[Terminal]:
    """The bench, up and drawn."""
    made = Terminal(home, sys.executable, "-m", "benchmate")
    made.until(b"Mix resin")
    yield made
    made.close()


def assert_clean(terminal: Terminal) -> None:
    wrote = terminal.wrote
    assert wrote.count(ENTER) == 1
    assert wrote.rindex(LEAVE) > wrote.rindex(ENTER)
    assert wrote.rindex(SHOW_CURSOR) > wrote.rindex(ENTER)
    for mouse in (b"1000", b"1003", b"1006"):
        on, off = b"\x1b[?" + mouse + b"h", b"\x1b[?" + mouse + b"l"
        assert wrote.rfind(off) >= wrote.rfind(on)


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP", "SIGINT"])
def test_a_signal_ends_it_with_a_clean_terminal(bench: Terminal, name: str) -> None:
    bench.child.send_signal(getattr(signal, name))
    assert bench.ended() == 0
    assert_clean(bench)


def test_it_ends_also_where_the_window_is_gone(home: Path) -> None:
    terminal = Terminal(home, sys.executable, "-m", "benchmate")
    try:
        terminal.until(b"Mix resin")
        os.close(terminal.master)
        terminal.child.send_signal(signal.SIGHUP)
        terminal.child.wait(PATIENCE_S)
    finally:
        terminal.master = os.open(os.devnull, os.O_RDONLY)
        terminal.close()


def test_its_own_key_ends_it_with_a_clean_terminal(bench: Terminal) -> None:
    os.write(bench.master, b"\x11")
    assert bench.ended() == 0
    assert_clean(bench)


def test_a_fault_of_ours_ends_it_with_a_clean_terminal_and_says_so(home: Path) -> None:
    terminal = Terminal(home, sys.executable, "-c", FAILS)
    try:
        assert terminal.ended() != 0
        assert_clean(terminal)
        assert b"a fault of ours" in terminal.wrote[terminal.wrote.rindex(LEAVE) :]
    finally:
        terminal.close()


def test_what_was_done_before_it_was_killed_is_there_afterwards(
    bench: Terminal, home: Path
) -> None:
    os.write(bench.master, b" ")
    bench.until(b"Recorded")
    bench.child.send_signal(signal.SIGKILL)
    bench.child.wait()
    shop = Shop(home)
    assert MIX in shop.bench.shop.jobs["t"].done
    shop.bench.do("t", cmd.TakeBack())
    shop.bench.close()
