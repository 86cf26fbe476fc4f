"""`benchmate next` against `python -c pass`, both as whole processes."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from benchmate.bench.trying.demo import make_demo
from tests.speed.disk import folder_on_disk
from tests.speed.harness import Measure, against, alternately

ROUNDS = 15
TARGET_RATIO = 12.0
COMMAND = Path(sys.executable).with_name("benchmate")


def environment(home: Path) -> dict[str, str]:
    """As on a maker's machine: compiled modules are kept."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "BENCHMATE_HOME": str(home)}


def runner(words: list[str], env: dict[str, str]) -> Callable[[], object]:
    """A process of its own, its output thrown away."""
    return lambda: subprocess.run(words, env=env, check=True, stdout=subprocess.DEVNULL)


def measure() -> list[Measure]:
    """The command on the demo's journal with its 20 live windows."""
    with folder_on_disk() as home:
        make_demo(home)
        env = environment(home)
        ours = runner([str(COMMAND), "next"], env)
        bare = runner([sys.executable, "-c", "pass"], env)
        ours()
        a, b = alternately([bare, ours], ROUNDS)
        return [
            against(
                "benchmate next",
                statistics.median(b),
                statistics.median(a),
                "ms",
                "python -c pass",
                target_ratio=TARGET_RATIO,
            )
        ]
