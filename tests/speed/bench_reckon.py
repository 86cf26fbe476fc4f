"""What each ready reckoner costs, from typed texts to a checked answer, in microseconds.

The measure is one keypress: the form answers as one types, so an answer must fit well inside one
frame of a 60 Hz screen. A bare `json` round trip of the same answer, timed in the same run, says
how fast the machine is. Whether scipy stays unloaded is counted, not timed.
"""

import json
import subprocess
import sys
from collections.abc import Callable
from time import perf_counter

from benchmate.reckon.asking.answering import answer_with
from benchmate.reckon.asking.frame import Reckoner
from benchmate.reckon.asking.registry import all_of_them
from tests.speed.harness import Measure

TARGET_US = 16_700.0
INTEGRATES = ("exotherm",)
"""Solves a differential equation and may load scipy for it."""


def best_us(act: Callable[[], object], rounds: int = 5, at_least_s: float = 0.05) -> float:
    """Return the least mean time of `act` over some rounds."""
    act()
    least = float("inf")
    for _ in range(rounds):
        count, start = 0, perf_counter()
        while perf_counter() - start < at_least_s:
            act()
            count += 1
        least = min(least, (perf_counter() - start) / count)
    return least * 1e6


def measure_one(reckoner: Reckoner) -> Measure:
    """Return what a reckoner's example costs against a JSON round trip of its answer."""
    plain = answer_with(reckoner, reckoner.example).to_json()
    cost_us = best_us(lambda: answer_with(reckoner, reckoner.example))
    bare_us = best_us(lambda: json.loads(json.dumps(plain)), rounds=3)
    return Measure(
        what=f"reckon {reckoner.name}",
        value=round(cost_us, 1),
        unit="µs",
        against=f"json round trip of its answer, {bare_us:.1f} µs",
        ratio=cost_us / bare_us,
        target=TARGET_US,
        ok=cost_us <= TARGET_US,
    )


def heavy_modules() -> Measure:
    """Return how many heavy libraries are loaded after the algebraic reckoners have answered."""
    code = (
        "import sys\n"
        "from benchmate.reckon.asking.answering import answer_with\n"
        "from benchmate.reckon.asking.registry import all_of_them\n"
        f"ones = [one for one in all_of_them() if one.name not in {INTEGRATES!r}]\n"
        "for one in ones: answer_with(one, one.example)\n"
        "print(len({'scipy', 'numpy', 'textual', 'pydantic', 'uncertainties'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    count = int(done.stdout)
    return Measure(
        what="reckon, heavy libraries loaded by all of them",
        value=count,
        unit="",
        against="none",
        ratio=None,
        target=0,
        ok=count == 0,
    )


def measure() -> list[Measure]:
    """Return the cost of every reckoner, and that none loads a heavy library."""
    return [*(measure_one(reckoner) for reckoner in all_of_them()), heavy_modules()]
