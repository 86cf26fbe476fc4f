"""Real processes that remind, for tests that end them: `benchmate remind run`, and benches in a
terminal.

Their windows close within seconds; each reminder is a line in a file, written by the maker's own
command with the process that gave it.
"""

from __future__ import annotations

import json
import os
import pty
import signal
import struct
import subprocess
import sys
import termios
import threading
import time
from collections.abc import Callable
from fcntl import ioctl
from pathlib import Path
from typing import NamedTuple

from benchmate.bench import Bench
from benchmate.job.deciding import commands as cmd
from benchmate.plan.plan import Plan, Step, Window
from benchmate.remind.voice import OneVoice
from benchmate.settings import Settings, find_folders

ROOT = Path(__file__).parents[2]
PATIENCE_S = 60.0
SHORT_S = 2.5
"""A window's length: its last call comes a tenth of it after its begin."""
NOTES = """#!/bin/sh
read -r text
[ -n "$text" ] || exit 0
echo "$BENCHMATE_LABEL|$BENCHMATE_STAGE|$BENCHMATE_AGAIN|$PPID|$(date +%s)" >> "$0.calls"
"""
MIND = """
import sys
import benchmate.bench.keeping.rounds as rounds
import benchmate.remind.stand_in as stand_in
rounds.AWAY_S, stand_in.SILENT_S = float(sys.argv[1]), float(sys.argv[2])
from benchmate.cli.entry import main
main(["--home", sys.argv[3], "remind", "run"])
"""


class Said(NamedTuple):
    """One reminder that reached the maker's command."""

    label: str
    stage: str
    again: bool
    pid: int
    at_s: int


def set_up(home: Path) -> Path:
    """A home whose reminders go to a command that notes them; the file they are noted in."""
    home.mkdir(parents=True, exist_ok=True)
    script = home / "notes"
    script.write_text(NOTES)
    script.chmod(0o700)
    (home / "settings.toml").write_text(
        f'[reminders]\nchannels = ["command"]\nquiet = ""\ncommand = [{json.dumps(str(script))}]\n'
    )
    return script.with_suffix(".calls")


def start_windows(home: Path, count: int, length_s: float = SHORT_S, name: str = "w") -> None:
    """A job of so many windows that nobody is the user of, each to be begun by `begin`."""
    steps = tuple(
        Step(
            address=f"{name}/all/all/mix#{n}",
            do="Mix",
            act="mixed",
            scope="mix",
            windows=(
                Window(
                    name="open time",
                    address=f"{name}/all/all/mix#{n}:open time",
                    label=f"{name} {n}",
                    closes_s=length_s,
                    missed="extra work",
                ),
            ),
        )
        for n in range(count)
    )
    users = tuple(
        Step(
            address=f"{name}/all/all/pour#{n}",
            do="Pour",
            act="poured",
            hands_s=1.0,
            after=(f"{name}/all/all/mix#{n}",),
            within=(f"{name}/all/all/mix#{n}:open time",),
        )
        for n in range(count)
    )
    plan = Plan(procedure="tests", title=name, job=name, pieces=(), steps=(*steps, *users))
    with_bench(home, lambda b: b.do(name, cmd.StartJob(job=name, title=name, plan=plan, text="")))


def begin(home: Path, *numbers: int, name: str = "w") -> None:
    """Begin windows: their last call comes at once."""

    def act(bench: Bench) -> None:
        for n in numbers:
            bench.do(name, cmd.MarkDone(address=f"{name}/all/all/mix#{n}"))

    with_bench(home, act)


def with_bench(home: Path, what: Callable[[Bench], object]) -> None:
    """Do something at a bench of this process."""
    bench = Bench.open(find_folders(home), Settings())
    try:
        what(bench)
    finally:
        bench.close()


def said(calls: Path) -> list[Said]:
    """What has reached the command so far."""
    lines = calls.read_text().splitlines() if calls.exists() else []
    parts = (line.split("|") for line in lines)
    return [
        Said(label, stage, again == "yes", int(pid), int(at_s))
        for label, stage, again, pid, at_s in parts
    ]


def wait_for(what: Callable[[], object], why: Callable[[], str] = str) -> None:
    """Wait until something is so, for as long as it takes, within reason."""
    give_up = time.monotonic() + PATIENCE_S
    while not what():
        assert time.monotonic() < give_up, why()
        time.sleep(0.01)


def holder(home: Path) -> int | None:
    """The process that signed for the word last."""
    return OneVoice(find_folders(home).data / "voice.lock").holder()


class Process:
    """A process that reminds, and what it wrote."""

    def __init__(self, process: subprocess.Popen[bytes], terminal: int | None = None) -> None:
        self.process, self.terminal = process, terminal
        self.wrote = bytearray()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    @property
    def pid(self) -> int:
        return self.process.pid

    @property
    def text(self) -> str:
        return self.wrote.decode(errors="replace")

    def press(self, key: str) -> None:
        assert self.terminal is not None
        os.write(self.terminal, key.encode())

    def end(self, number: int = signal.SIGKILL) -> int:
        """Send a signal and wait for its end; its exit status."""
        self.process.send_signal(number)
        status = self.process.wait(PATIENCE_S)
        self._reader.join(5.0)
        if self.terminal is not None:
            os.close(self.terminal)
            self.terminal = None
        return status

    def __enter__(self) -> Process:
        return self

    def __exit__(self, *_: object) -> None:
        if self.process.poll() is None:
            self.end()

    def _read(self) -> None:
        pipe = self.process.stdout
        descriptor = self.terminal if pipe is None else pipe.fileno()
        assert descriptor is not None
        while True:
            try:
                some = os.read(descriptor, 65536)
            except OSError:
                return
            if not some:
                return
            self.wrote.extend(some)


def mind(home: Path, away_s: float = 30.0, silent_s: float = 15.0) -> Process:
    """`benchmate remind run`, its output in a pipe."""
    command = [sys.executable, "-c", MIND, str(away_s), str(silent_s), str(home)]
    return Process(
        subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    )


def bench_in_terminal(home: Path) -> Process:
    """`benchmate` in a terminal of its own."""
    ours, theirs = pty.openpty()
    ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
    process = subprocess.Popen(
        [sys.executable, "-m", "benchmate", "--home", str(home)],
        cwd=ROOT,
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        start_new_session=True,
        env={**os.environ, "TERM": "xterm-256color"},
    )
    os.close(theirs)
    return Process(process, ours)
