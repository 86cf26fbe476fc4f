"""Bytes that are no text and sequences that name no character end no bench."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from tests.faults.terminals import Terminal

STRAY = {
    "no UTF-8": b"\xff\xfe",
    "a number beyond every character": b"\x1b[1114112u",
    "a number beyond every machine's": b"\x1b[99999999999u",
    "with a modifier": b"\x1b[99999999999;5u",
    "a text beyond every character": b"\x1b[97;1;99999999999u",
}


@pytest.mark.parametrize("keys", STRAY.values(), ids=list(STRAY))
def test_the_bench_goes_on(tmp_path: Path, keys: bytes) -> None:
    with Terminal(tmp_path) as terminal:
        terminal.until("job")
        read_for(terminal, 2.0)  # the keys are read only once the screen stands
        os.write(terminal.ours, keys)
        read_for(terminal, 1.0)
        assert terminal.process.poll() is None
        assert "Error" not in terminal.text
        # A key is still answered: another page is painted.
        seen = len(terminal.wrote)
        terminal.press("s")
        end = time.monotonic() + 20.0
        while len(terminal.wrote) < seen + 500 and time.monotonic() < end:
            terminal.read(wait_s=0.1)
        assert len(terminal.wrote) >= seen + 500


def read_for(terminal: Terminal, seconds: float) -> None:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        terminal.read(wait_s=0.1)
