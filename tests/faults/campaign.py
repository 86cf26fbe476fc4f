"""How long the campaigns run, and the child process they torture.

In the test suite they are short. `BENCHMATE_CAMPAIGN=full` runs them at full length, and
`BENCHMATE_SEED` repeats one that failed.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
IS_FULL = os.environ.get("BENCHMATE_CAMPAIGN") == "full"


def scaled(short: int, full: int) -> int:
    """The short number in the suite, the full one in a full campaign."""
    return full if IS_FULL else short


def seeded(name: str) -> random.Random:
    """A random source whose seed is told, so that a failure can be repeated."""
    seed = int(os.environ.get("BENCHMATE_SEED") or time.time_ns() % 1_000_000)
    tell(f"{name}: BENCHMATE_SEED={seed}")
    return random.Random(seed)


def tell(line: str) -> None:
    """A line for whoever runs a campaign with `pytest -s`, and beside a failure."""
    sys.stderr.write(line + "\n")


def start(module: str, *arguments: object) -> subprocess.Popen[str]:
    """Run a module of this folder in a process of its own; it acknowledges on its stdout."""
    return subprocess.Popen(
        [sys.executable, "-m", f"tests.faults.{module}", *map(str, arguments)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    )
