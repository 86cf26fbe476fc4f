"""A process that has the word and is stopped: another stands in, and steps back when it goes on."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.remind.stand_in import SILENT_S, WatchedVoice, silence_of, silent_for_s
from benchmate.remind.voice import OneVoice

PATIENCE_S = 20.0
HOLD = """
import sys, time
from pathlib import Path
import benchmate.remind.stand_in as stand_in
stand_in.BEAT_S = 0.05
voice = stand_in.WatchedVoice(Path(sys.argv[1]))
print(voice.take(), flush=True)
while True:
    voice.take()
    time.sleep(0.02)
"""


class Watch:
    """A clock that is moved by hand."""

    def __init__(self) -> None:
        self.now_s = 1000.0

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "folder" / "voice.lock"


def watched(path: Path) -> tuple[WatchedVoice, Watch]:
    watch = Watch()
    return WatchedVoice(path, watch), watch


def look(voice: WatchedVoice, watch: Watch, seconds: float, step_s: float = 0.5) -> bool:
    """Look again and again for so long; what the last look found."""
    found = False
    for _ in range(round(seconds / step_s)):
        watch.now_s += step_s
        found = voice.take()
    return found


def test_who_has_the_word_and_stirs_is_waited_for(path: Path) -> None:
    (holder, beat), (waiter, watch) = watched(path), watched(path)
    assert holder.take()
    for second in range(1, 20):
        beat.now_s += 3.0
        os.utime(path, (0, 0))
        assert holder.take()
        assert path.stat().st_mtime > 0
        os.utime(path, (second, second))  # the file system's clock may be too coarse for a test
        assert not look(waiter, watch, 3.0)
    assert waiter.trouble == ""


def test_who_has_the_word_and_is_still_is_stood_in_for_by_one(path: Path) -> None:
    (holder, _), (one, watch), (other, clock) = watched(path), watched(path), watched(path)
    assert holder.take()
    assert not look(one, watch, SILENT_S)
    assert look(one, watch, 2.0)
    assert not look(other, clock, SILENT_S + 2.0)
    assert f"Process {os.getpid()} has the word but has not stirred since " in one.trouble
    assert "This one reminds in its place." in one.trouble
    assert "in its place" not in other.trouble
    assert "has not stirred" in other.trouble


def test_the_stand_in_steps_back_when_the_holder_goes_on(path: Path) -> None:
    (holder, beat), (waiter, watch) = watched(path), watched(path)
    assert holder.take()
    assert look(waiter, watch, SILENT_S + 2.0)
    beat.now_s += 60.0
    os.utime(path, ns=(0, 0))
    assert holder.take()
    assert not look(waiter, watch, 0.5)
    assert waiter.trouble == ""
    assert OneVoice(path.with_name("voice.stand-in.lock")).take()


def test_the_stand_in_gets_the_word_itself_when_the_holder_ends(path: Path) -> None:
    (holder, _), (waiter, watch) = watched(path), watched(path)
    assert holder.take()
    assert look(waiter, watch, SILENT_S + 2.0)
    holder.release()
    assert look(waiter, watch, 0.5)
    assert waiter.trouble == ""
    assert waiter.holder() == os.getpid()
    assert OneVoice(path.with_name("voice.stand-in.lock")).take()


def test_one_that_slept_itself_has_watched_nobody(path: Path) -> None:
    (holder, _), (waiter, watch) = watched(path), watched(path)
    assert holder.take()
    assert not look(waiter, watch, 1.0)
    watch.now_s += 8 * 3600.0
    assert not waiter.take()
    assert not look(waiter, watch, SILENT_S / 2)


def test_where_no_lock_can_be_had_the_folder_is_the_trouble(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    voice = WatchedVoice(tmp_path / "file" / "voice.lock")
    assert voice.take()
    assert "all benches remind" in voice.trouble


def test_how_long_a_word_has_been_still_can_be_asked_from_outside(path: Path) -> None:
    voice = WatchedVoice(path)
    voice.take()
    os.utime(path, (1_795_683_600, 1_795_683_600))
    assert silent_for_s(path, 1_795_683_660.0) == pytest.approx(60.0)
    assert silent_for_s(path, 1_795_683_000.0) == 0.0
    assert silence_of(path).startswith(f"Process {os.getpid()} has the word but has not stirred")
    assert silent_for_s(path.with_name("none"), 1e9) == 0.0


@pytest.fixture
def stopped(path: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that has the word, and is stopped."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, str(path)], stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout
        assert process.stdout.readline() == "True\n"
        process.send_signal(signal.SIGSTOP)
        yield process
        process.send_signal(signal.SIGCONT)
        process.kill()


@pytest.mark.skipif(os.name != "posix", reason="this machine can't stop a process")
def test_a_process_that_is_stopped_is_stood_in_for_until_it_goes_on(
    path: Path, stopped: subprocess.Popen[str]
) -> None:
    waiter, watch = watched(path)
    assert look(waiter, watch, SILENT_S + 2.0)
    assert f"Process {stopped.pid} has the word" in waiter.trouble
    stopped.send_signal(signal.SIGCONT)
    give_up = time.monotonic() + PATIENCE_S
    while look(waiter, watch, 0.5):
        assert time.monotonic() < give_up
        time.sleep(0.02)
    assert waiter.trouble == ""
