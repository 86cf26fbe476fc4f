"""A window that is closed, a terminal that takes nothing more: the process ends by itself.

Nothing that was acknowledged is lost, and the word to remind is free again.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from contextlib import suppress
from pathlib import Path

import pytest

if os.name != "posix":
    pytest.skip("this machine lacks terminals of this kind", allow_module_level=True)

import termios

from benchmate.bench import Bench
from benchmate.job.deciding import commands as cmd
from benchmate.remind.voice import OneVoice
from benchmate.settings import Settings, find_folders
from tests.faults.campaign import IS_FULL, ROOT
from tests.faults.minding_processes import holder, set_up, wait_for, with_bench
from tests.faults.terminals import Terminal
from tests.unit.shop_of_tests import plan

WINDOWS = pytest.mark.parametrize("controls", [True, False], ids=["its own window", "a window"])
CLEAN = ("\x1b[?1049l", "\x1b[?25h", "\x1b[?1000l", "\x1b[?1003l", "\x1b[?1006l", "\x1b[?2004l")


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A shop with one job, and a command for its reminders."""
    set_up(tmp_path)
    with_bench(tmp_path, lambda b: b.do("t", cmd.StartJob(job="t", title="Pair", plan=plan())))
    return tmp_path


def is_free(home: Path) -> bool:
    voice = OneVoice(find_folders(home).data / "voice.lock")
    try:
        return voice.take()
    finally:
        voice.release()


def notes(home: Path) -> list[str]:
    bench = Bench.open(find_folders(home), Settings())
    try:
        return [n.event.text for n in bench.shop.jobs["t"].notes]
    finally:
        bench.close()


def opened(home: Path, *, controls: bool = True) -> Terminal:
    """A bench that stands there and has the word."""
    terminal = Terminal(home, controls=controls)
    terminal.until("Mix resin")
    wait_for(lambda: terminal.read(wait_s=0.05) and holder(home) == terminal.process.pid)
    return terminal


@WINDOWS
@pytest.mark.parametrize(
    ("keys", "shown"),
    [("", ""), ("n", "cancel"), ("?", "Keys of this screen")],
    ids=["idle", "a question open", "a page open"],
)
def test_a_bench_ends_by_itself_when_its_window_is_closed(
    home: Path, keys: str, shown: str, *, controls: bool
) -> None:
    with opened(home, controls=controls) as terminal:
        if keys:
            before = len(terminal.wrote)
            terminal.press(keys)
            terminal.until(shown, before)
        terminal.close()
        assert terminal.ended() == 0
    assert is_free(home)


@WINDOWS
def test_what_was_acknowledged_before_the_window_was_closed_is_there(
    home: Path, *, controls: bool
) -> None:
    with opened(home, controls=controls) as terminal:
        terminal.press("n")
        terminal.until("cancel")
        terminal.press("odd grain\r")
        terminal.until("Noted")
        terminal.close()
        assert terminal.ended() == 0
    assert notes(home) == ["odd grain"]


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_signal_after_the_window_was_closed_ends_it_too(home: Path, name: str) -> None:
    with opened(home, controls=False) as terminal:
        terminal.close()
        terminal.process.send_signal(getattr(signal, name))
        assert terminal.ended() == 0
    assert is_free(home)


@pytest.mark.parametrize("name", ["SIGTERM", "SIGINT"])
def test_a_signal_ends_it_and_gives_the_living_terminal_back(home: Path, name: str) -> None:
    with opened(home) as terminal:
        assert echoes(terminal) is False
        terminal.process.send_signal(getattr(signal, name))
        assert terminal.ended() == 0
        assert_clean(terminal)
    assert is_free(home)


@pytest.mark.parametrize("how", ["full", "stopped"] if IS_FULL else ["full"])
def test_a_terminal_that_takes_nothing_more_holds_nobody_up(home: Path, how: str) -> None:
    """As with a broken ssh, or Ctrl+S: the main thread waits to write, and hears no loop's call."""
    with opened(home) as terminal:
        descriptor = os.open(terminal.name, os.O_WRONLY | os.O_NOCTTY | os.O_NONBLOCK)
        if how == "stopped":
            termios.tcflow(descriptor, termios.TCOOFF)
        else:
            for _ in range(20):  # the bench may be just writing, which keeps this out
                with suppress(BlockingIOError):
                    while True:
                        os.write(descriptor, b" " * 1024)
                time.sleep(0.02)
        os.close(descriptor)
        for _ in range(60):
            terminal.press("b")
            time.sleep(0.02)
        terminal.process.send_signal(signal.SIGTERM)
        assert terminal.process.wait(60.0) == 0
        assert terminal.ended() == 0
        assert_clean(terminal)
    assert is_free(home)


def echoes(terminal: Terminal) -> bool:
    descriptor = os.open(terminal.name, os.O_RDWR | os.O_NOCTTY)
    try:
        return bool(termios.tcgetattr(descriptor)[3] & termios.ECHO)
    finally:
        os.close(descriptor)


def assert_clean(terminal: Terminal) -> None:
    entered = terminal.text.rindex("\x1b[?1049h")
    for sequence in CLEAN:
        assert sequence in terminal.text[entered:], sequence
    assert echoes(terminal)


@pytest.mark.parametrize(("moment", "controls"), [("at its start", True), ("on its screen", False)])
def test_a_demo_whose_window_is_closed_ends_and_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: str, controls: bool
) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path / "tmp"))
    monkeypatch.setattr(tempfile, "tempdir", None)
    (tmp_path / "tmp").mkdir()
    with Terminal(tmp_path / "home", "demo", controls=controls) as terminal:
        if moment == "on its screen":
            terminal.until("\x1b[?1049h")
        else:
            wait_for(lambda: list((tmp_path / "tmp").glob("benchmate-demo-*")))
        terminal.close()
        assert terminal.ended() == 0
    assert list((tmp_path / "tmp").glob("benchmate-demo-*")) == []


@pytest.mark.parametrize("how", ["closed", "SIGTERM", "SIGHUP", "SIGINT"])
def test_a_mind_ends_with_its_window_and_on_signals(home: Path, how: str) -> None:
    with Terminal(home, "remind", "run") as terminal:
        terminal.until("This process gives the reminders")
        if how == "closed":
            terminal.close()
        else:
            terminal.process.send_signal(getattr(signal, how))
        assert terminal.ended() == 0
        assert "Traceback" not in terminal.text
    assert is_free(home)


def test_a_mind_started_to_outlive_its_window_does(home: Path) -> None:
    """As nohup starts it; until it is told to end."""
    code = (
        "import signal; signal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
        "from benchmate.cli.entry import main; main()"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", code, "--home", str(home), "remind", "run"],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        wait_for(lambda: holder(home) == process.pid)
        process.send_signal(signal.SIGHUP)
        time.sleep(0.5)
        assert process.poll() is None
        process.send_signal(signal.SIGTERM)
        assert process.wait(60.0) == 0
    finally:
        process.kill()


INTERRUPTED = """
import os, signal, sys
import benchmate.bench.service as service
real = service.Bench.open.__func__
def slow(*given, **named):
    bench = real(*given, **named)
    os.kill(os.getpid(), signal.SIGINT)
    return bench
service.Bench.open = classmethod(slow)
from benchmate.cli.entry import main
main()
"""


@pytest.mark.parametrize("words", [["next"], ["job"], ["logbook", "list"], ["note", "wait"]])
def test_ctrl_c_ends_a_command_without_a_traceback(home: Path, words: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-c", INTERRUPTED, *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "BENCHMATE_HOME": str(home)},
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "")
    assert notes(home) == []
