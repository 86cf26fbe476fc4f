"""What a fault campaign is, what it counts, and the forked children that it kills."""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

import pytest

Tell = Callable[[str], None]
SHOWN_EVERY_S = 5.0
MOST_TOLD = 8


@dataclass
class Work:
    """One run of a campaign: its chance, its folder, its counts."""

    name: str
    count: int
    seed: int
    folder: Path
    short: bool = False
    counts: Counter[str] = field(default_factory=Counter)
    defects: list[str] = field(default_factory=list)
    skipped: Counter[str] = field(default_factory=Counter)
    measured: list[str] = field(default_factory=list)
    chance: random.Random = field(init=False)
    _shown_s: float = 0.0

    def __post_init__(self) -> None:
        self.chance = random.Random(f"{self.name} {self.seed}")

    def share(self, part: float, least: int = 1) -> int:
        """So much of the count."""
        return max(least, round(self.count * part))

    def did(self, what: str, times: int = 1) -> None:
        """Count something, and show how far it is now and then."""
        self.counts[what] += times
        if time.monotonic() - self._shown_s > SHOWN_EVERY_S:
            self._shown_s = time.monotonic()
            sys.stderr.write(f"  {self.name}: {self.told}\n")

    def wrong(self, what: str) -> None:
        """A promise that wasn't kept, with what repeats it."""
        self.defects.append(what)
        if len(self.defects) <= MOST_TOLD:
            sys.stderr.write(f"  {self.name} DEFECT (seed {self.seed}): {what}\n")

    def hold(self, promise: object, what: str) -> None:
        """A defect unless it is so."""
        if not promise:
            self.wrong(what)

    @property
    def told(self) -> str:
        return ", ".join(f"{n:,} {what}" for what, n in self.counts.items())

    @contextmanager
    def part(self, name: str) -> Iterator[Path]:
        """A folder of its own. What the machine lacks is counted; what breaks is a defect."""
        place = Path(tempfile.mkdtemp(prefix=re.sub(r"\W+", "-", name), dir=self.folder))
        try:
            yield place
        except pytest.skip.Exception as lack:
            self.skipped[f"{name}: {lack}"] += 1
        except Exception as error:
            self.wrong(f"{name}: {error!r}\n{traceback.format_exc(limit=-6)}")
        finally:
            shutil.rmtree(place, ignore_errors=True)


class Campaign(NamedTuple):
    """A promise, how it is attacked, and how often: in the long form and in the short one."""

    name: str
    promise: str
    attack: str
    long: int
    short: int
    run: Callable[[Work], None]
    mended: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    """What it found and what became of it, with the seed."""


class Child:
    """A forked process that does something, telling on a pipe; it ends without clearing up."""

    def __init__(self, act: Callable[[Tell], None]) -> None:
        self._ours, theirs = os.pipe()
        self._heard = b""
        self.pid = os.fork()
        if self.pid == 0:
            os.close(self._ours)
            _be_child(act, theirs)
        os.close(theirs)

    def kill_after(self, seconds: float) -> list[str]:
        """Kill it then, unless it has ended; all that it told."""
        time.sleep(seconds)
        os.kill(self.pid, signal.SIGKILL)
        return self.ended()[0]

    def first(self) -> None:
        """Wait for its first word."""
        self._heard += os.read(self._ours, 65536)

    def ended(self) -> tuple[list[str], int]:
        """What it told, and how it ended."""
        with os.fdopen(self._ours, "rb") as pipe:
            lines = (self._heard + pipe.read()).decode().split("\n")
        _, status = os.waitpid(self.pid, 0)
        # A line that was cut short has told nothing.
        return lines[:-1], os.waitstatus_to_exitcode(status)


def _be_child(act: Callable[[Tell], None], pipe: int) -> None:
    code = 70
    try:
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        act(lambda line: void(os.write(pipe, f"{line}\n".encode())))
        code = 0
    except BaseException:
        traceback.print_exc()
    finally:
        os._exit(code)


def void(_: object) -> None:
    """Nothing of it is wanted."""


def die_at(number: int) -> None:
    """Let this process be killed at so manyth touch of a file: open, rename, remove, connect."""
    left = [number]

    def look(event: str, _: object) -> None:
        if event in TOUCHES:
            left[0] -= 1
            if left[0] == 0:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(look)


TOUCHES = {"open", "os.rename", "os.remove", "os.mkdir", "os.chmod", "sqlite3.connect", "os.rmdir"}
