"""First frame and idle processor time of the bench on the demo, beside a bare Textual app.

Both run as whole processes in a pseudo-terminal of 80 × 24; the bare one shows twenty Digits and
counts them down once a second, as many as the demo has live windows.
"""

from __future__ import annotations

import os
import pty
import select
import statistics
import struct
import sys
import tempfile
import time
from pathlib import Path

from benchmate.bench.trying.demo import make_demo
from tests.speed.bench_next import environment
from tests.speed.disk import folder_on_disk
from tests.speed.harness import Measure, against

ROUNDS = 7
TARGET_RATIO = 1.5


def in_terminal(words: list[str], env: dict[str, str]) -> float:
    """Run a program in a terminal until it ends; the seconds that took."""
    import fcntl
    import termios

    start = time.perf_counter()
    pid, fd = pty.fork()
    if pid == 0:
        os.execve(sys.executable, [sys.executable, "-m", "tests.speed.screens", *words], env)
    fcntl.ioctl(fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    while True:
        ready, _, _ = select.select([fd], [], [], 60)
        try:
            if not ready or not os.read(fd, 65536):
                break
        except OSError:
            break
    os.waitpid(pid, 0)
    os.close(fd)
    return time.perf_counter() - start


def measure() -> list[Measure]:
    """Frame and idle, ours beside the bare one, in turn."""
    with folder_on_disk() as home:
        make_demo(home)
        env = {**environment(home), "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        frames: dict[str, list[float]] = {"bare": [], "bench": []}
        for _ in range(ROUNDS):
            for name, times in frames.items():
                times.append(in_terminal([name, str(home), "frame"], env) * 1000)
        idle = {name: _idle(name, home, env) for name in frames}
        return [
            against(
                "first frame of the bench on the demo",
                statistics.median(frames["bench"]),
                statistics.median(frames["bare"]),
                "ms",
                "bare app with 20 Digits",
                target_ratio=TARGET_RATIO,
            ),
            against(
                "idle processor time with 20 live windows",
                idle["bench"],
                idle["bare"],
                "% of one core",
                "bare app counting 20 Digits",
                target_ratio=TARGET_RATIO,
            ),
        ]


def _idle(name: str, home: Path, env: dict[str, str]) -> float:
    with tempfile.TemporaryDirectory() as folder:
        said = Path(folder) / "share"
        in_terminal([name, str(home), "idle", str(said)], env)
        return float(said.read_text())
