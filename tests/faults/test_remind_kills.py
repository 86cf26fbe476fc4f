"""The process that reminds is killed at each point of its work; `campaigns/death.py` kills it at
any moment."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

import pytest

from benchmate.journal import Journal
from tests.hand_made import in_state

PATIENCE_S = 60.0
ROOT = Path(__file__).parents[2]

pytestmark = pytest.mark.skipif(os.name != "posix", reason="this machine lacks SIGKILL")


class Heard(NamedTuple):
    """One call of the channel."""

    key: str
    again: bool
    pid: int


def child(folder: Path, *arguments: object) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "tests.faults.remind_child", str(folder)]
    return subprocess.Popen([*command, *map(str, arguments)], cwd=ROOT)


def heard(folder: Path) -> list[Heard]:
    file = folder / "calls"
    lines = file.read_text().splitlines() if file.exists() else []
    return [
        Heard(key, again == "again", int(pid))
        for key, again, pid, _ in (line.split() for line in lines)
    ]


def wait_until_all_are_heard(folder: Path, count: int) -> None:
    """Lost is what stays unheard while nothing else is heard either: six hundred edges due at
    once take a busy machine its time, three a tick."""
    most, give_up = -1, 0.0
    while (now := len({one.key for one in heard(folder)})) < count:
        if now > most:
            most, give_up = now, time.monotonic() + PATIENCE_S
        assert time.monotonic() < give_up, f"lost: {unheard(folder, count)}"
        time.sleep(0.02)


def unheard(folder: Path, count: int) -> dict[str, list[str]]:
    """The edges nobody has heard of, each with what the record says of it."""
    known = {one.key for one in heard(folder)}
    with Journal.open(folder, read_only=True) as journal:
        rows = journal.deliveries.since(0.0)
    missing = (f"edge-{n}" for n in range(count) if f"edge-{n}" not in known)
    return {
        key: [f"{r.state} {r.at_wall} {r.detail}" for r in rows if r.key.startswith(f"{key}\x1f")]
        for key in missing
    }


def wait_until_nothing_is_under_way(folder: Path) -> None:
    """Until the record is as complete as what was heard."""
    give_up = time.monotonic() + PATIENCE_S
    with Journal.open(folder, read_only=True) as journal:
        while in_state(journal.deliveries, "about to"):
            assert time.monotonic() < give_up
            time.sleep(0.02)


@contextmanager
def ended(process: subprocess.Popen[bytes]) -> Iterator[subprocess.Popen[bytes]]:
    try:
        yield process
    finally:
        process.kill()
        process.wait()


@pytest.mark.parametrize(
    ("point", "calls", "marked"),
    [
        pytest.param("announcing", 1, [False], id="before it is announced"),
        pytest.param("announced", 1, [True], id="between announcement and call"),
        pytest.param("called", 2, [False, True], id="between call and its record"),
        pytest.param("noted", 1, [False], id="after the record"),
    ],
)
def test_killed_at_each_point(tmp_path: Path, point: str, calls: int, marked: list[bool]) -> None:
    """The successor can't know whether an announced call was heard: then once more, marked."""
    first_s = time.time()
    with ended(child(tmp_path, 1, first_s, 1, point, 1)) as doomed:
        assert doomed.wait(PATIENCE_S) == -signal.SIGKILL
    with ended(child(tmp_path, 1, first_s, 1)):
        wait_until_all_are_heard(tmp_path, 1)
        wait_until_nothing_is_under_way(tmp_path)
        time.sleep(0.2)
    found = heard(tmp_path)
    assert len(found) == calls
    assert [one.again for one in found] == marked


def repeats_of(found: list[Heard]) -> list[Heard]:
    """Every call of an edge but its first."""
    known: set[str] = set()
    repeats = []
    for one in found:
        if one.key in known:
            repeats.append(one)
        known.add(one.key)
    return repeats
