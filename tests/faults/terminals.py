"""`benchmate` in a terminal whose window can be closed, stalled, resized and read slowly."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path
from typing import Any

from tests.faults.campaign import ROOT

PATIENCE_S = 60.0
"""For a busy machine; nothing here is a measure of speed."""


class Terminal:
    """A process in a terminal of its own, and all that it wrote there.

    With `controls` the terminal is the process's controlling one, as a window is of the shell in
    it: the system then sends SIGHUP when it is closed. Without, nothing but the terminal itself
    tells.
    """

    def __init__(
        self, home: Path, *words: str, controls: bool = True, size: tuple[int, int] = (100, 30)
    ) -> None:
        self.ours, theirs = pty.openpty()
        self.modes = termios.tcgetattr(theirs)
        self.name = os.ttyname(theirs)
        self.resize(*size)
        self.process = subprocess.Popen(
            [sys.executable, "-c", _STARTER, str(int(controls)), "--home", str(home), *words],
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            cwd=ROOT,
            start_new_session=True,
            env={**_without_size(), "TERM": "xterm-256color", "BENCHMATE_HOME": str(home)},
        )
        os.close(theirs)
        self.wrote = bytearray()
        self.is_open = True

    @property
    def text(self) -> str:
        return self.wrote.decode(errors="replace")

    def resize(self, columns: int, lines: int) -> None:
        fcntl.ioctl(self.ours, termios.TIOCSWINSZ, struct.pack("HHHH", lines, columns, 0, 0))

    def press(self, keys: str) -> None:
        os.write(self.ours, keys.encode())

    def read(self, most: int = 65536, wait_s: float = 0.5) -> bool:
        """Read a little; False once nobody writes any more."""
        if not select.select([self.ours], [], [], wait_s)[0]:
            return self.process.poll() is None
        try:
            some = os.read(self.ours, most)
        except OSError:
            return False
        self.wrote += some
        return bool(some)

    def until(self, what: str, after: int = 0) -> None:
        """Read until this was written, after so many bytes."""
        end = time.monotonic() + PATIENCE_S
        while what.encode() not in self.wrote[after:]:
            assert time.monotonic() < end, self.text[-3000:]
            assert self.read() or what.encode() in self.wrote[after:], self.text[-3000:]

    def close(self) -> None:
        """Close the window."""
        if self.is_open:
            os.close(self.ours)
            self.is_open = False

    def ended(self) -> int:
        """Its exit status, once it has ended; what it writes meanwhile is read."""
        end = time.monotonic() + PATIENCE_S
        while self.process.poll() is None:
            assert time.monotonic() < end, "it doesn't end"
            if self.is_open:
                self.read(wait_s=0.1)
            else:
                time.sleep(0.02)
        while self.is_open and self.read(wait_s=PATIENCE_S):  # until the system says it is all
            pass
        return self.process.returncode

    def __enter__(self) -> Terminal:
        return self

    def __exit__(self, *_: Any) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        self.close()


_STARTER = """
import fcntl, sys, termios
if sys.argv.pop(1) == "1":
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
from benchmate.cli.entry import main
main()
"""


def _without_size() -> dict[str, str]:
    """What the tests' own terminal measures would otherwise stand for this one's."""
    return {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "LINES")}
