"""One voice: one process of all has it, and its death frees it."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from benchmate.remind.voice import OneVoice

PATIENCE_S = 10.0
HOLD = """
import sys, time
from pathlib import Path
from benchmate.remind.voice import OneVoice
voice = OneVoice(Path(sys.argv[1]))
print(voice.take(), flush=True)
time.sleep(60)
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "folder" / "voice.lock"


def holder_of(path: Path) -> subprocess.Popen[str]:
    """Another process that has the voice."""
    process = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(path)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout
    assert process.stdout.readline() == "True\n"
    return process


def test_it_is_had_once_and_kept(path: Path) -> None:
    one, other = OneVoice(path), OneVoice(path)
    assert one.take()
    assert one.take()
    assert not other.take()
    assert (one.held, other.held) == (True, False)
    assert one.holder() == os.getpid()
    one.release()
    assert other.take()


def test_the_death_of_its_holder_frees_it(path: Path) -> None:
    process = holder_of(path)
    mine = OneVoice(path)
    assert not mine.take()
    assert mine.holder() == process.pid
    process.kill()
    process.wait()
    assert mine.take()
    assert mine.holder() == os.getpid()


def test_a_program_that_the_holder_started_does_not_keep_it(path: Path) -> None:
    one, other = OneVoice(path), OneVoice(path)
    assert one.take()
    with subprocess.Popen(
        [sys.executable, "-c", "import sys; sys.stdin.read()"], stdin=subprocess.PIPE
    ) as child:
        one.release()
        assert other.take()
        child.communicate()


def test_a_file_that_was_tidied_away_is_made_anew(path: Path) -> None:
    one, other = OneVoice(path), OneVoice(path)
    assert one.take()
    path.unlink()
    assert other.take()
    assert not one.take()


def test_the_file_is_nobody_elses(path: Path) -> None:
    OneVoice(path).take()
    assert path.stat().st_mode & 0o777 == 0o600


def test_where_no_lock_can_be_had_everyone_speaks_and_it_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    voice = OneVoice(tmp_path / "file" / "voice.lock")
    assert voice.take()
    assert "all benches remind" in voice.trouble
    assert voice.holder() is None


def test_one_that_waits_gets_it_soon_after_the_holder_died(path: Path) -> None:
    process = holder_of(path)
    mine = OneVoice(path)
    assert not mine.take()
    process.kill()
    give_up = time.monotonic() + PATIENCE_S
    while not mine.take():
        assert time.monotonic() < give_up
        time.sleep(0.01)
    process.wait()
