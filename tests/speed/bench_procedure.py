"""Proofreading and expanding a procedure, against a bare interpreter and a bare TOML read."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

from benchmate.procedure.finding import find, library, read_text
from benchmate.procedure.proofread import proofread_text
from benchmate.shelf import FAMILIES
from tests.plans import expand
from tests.speed.harness import Measure, against, alternately, median_ms

NAME = "matched-bookends"
TARGET_S = 0.45
README = Path(__file__).parents[2] / "README.md"


def measure() -> list[Measure]:
    """The whole process, and what it does inside."""
    from benchmate.procedure.file.document import load

    found = find(NAME)
    assert found is not None
    text, blocks = read_text(found.path), library()
    document = load(text, NAME, blocks)
    read = median_ms(lambda: tomllib.loads(text), 9)
    return [
        _whole_process("the README's file", _from_readme(), TARGET_S),
        _whole_process(NAME, text, None),
        against(
            "proofread in process",
            median_ms(
                lambda: proofread_text(text, NAME, blocks, materials={}, families=FAMILIES), 9
            ),
            read,
            "ms",
            "tomllib reading the file alone",
        ),
        against(
            "expand a loaded procedure",
            median_ms(lambda: expand(document, job_id="j", materials={}, families=FAMILIES), 9),
            read,
            "ms",
            "tomllib reading the file alone",
        ),
    ]


def _from_readme() -> str:
    """The whole file that the README shows: a glue-up and two coats."""
    found = re.search(r"```toml\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    assert found is not None
    return found[1]


def _whole_process(name: str, text: str, target_s: float | None) -> Measure:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "file.toml"
        file.write_text(text, encoding="utf-8")
        # An installed program has its bytecode; a test run may forbid writing it.
        env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        env |= {"PYTHONPYCACHEPREFIX": folder, "BENCHMATE_HOME": folder}

        def proof() -> None:
            command = [sys.executable, "-m", "benchmate", "procedure", "check", str(file)]
            subprocess.run(command, check=True, capture_output=True, env=env)

        def bare() -> None:
            subprocess.run([sys.executable, "-c", "pass"], check=True, env=env)

        proof()
        times, bare_times = alternately([proof, bare], 7)
    value, empty = sorted(times)[3] / 1000, sorted(bare_times)[3] / 1000
    return Measure(
        f"proofread {name}, whole process",
        value,
        "s",
        f"python -c pass {empty:.4g} s",
        value / empty,
        target_s,
        None if target_s is None else value <= target_s,
    )
