"""What a speed measure is, and how measures are found, run and shown.

A module `tests/speed/bench_NAME.py` has a function `measure() -> list[Measure]`. Each measure
stands against something bare in the same run (the same disk, the same interpreter, the same load),
since a number alone says more about the machine than about the program. Nothing here is a test:
a slow machine must not fail anybody's suite.
"""

from __future__ import annotations

import json
import platform
import statistics
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).resolve().parent


@dataclass(frozen=True)
class Measure:
    """One number and what it is held against.

    `against` says in words what the bare thing was and what it took. `ratio` is value over that,
    where there is one. `target` is for the ratio if there is one, else for the value; `ok` says
    whether it was met, `None` where nothing was promised.
    """

    what: str
    value: float
    unit: str
    against: str
    ratio: float | None = None
    target: float | None = None
    ok: bool | None = None


def against(
    what: str,
    value: float,
    bare: float,
    unit: str,
    bare_words: str,
    *,
    target_ratio: float | None = None,
) -> Measure:
    """A measure held against a bare one of the same unit."""
    ratio = value / bare
    return Measure(
        what=what,
        value=value,
        unit=unit,
        against=f"{bare_words} {bare:.4g} {unit}",
        ratio=ratio,
        target=target_ratio,
        ok=None if target_ratio is None else ratio <= target_ratio,
    )


def alternately(
    acts: Sequence[Callable[[], object]], rounds: int, pause_s: float = 0.0
) -> list[list[float]]:
    """Time several acts in turn, in ms, for so many rounds; a list of times for each act.

    In turn, and each round beginning with another, so that a disk or a neighbour that has a slow
    second is unfair to none. The pause after each act lets what it left to the background finish.
    """
    times: list[list[float]] = [[] for _ in acts]
    for turn in range(rounds):
        for step in range(len(acts)):
            which = (turn + step) % len(acts)
            start = time.perf_counter()
            acts[which]()
            times[which].append((time.perf_counter() - start) * 1000)
            if pause_s:
                time.sleep(pause_s)
    return times


def median_ms(act: Callable[[], object], rounds: int = 5) -> float:
    """The median time of an act in ms, after one run that isn't counted."""
    act()
    return statistics.median(alternately([act], rounds)[0])


def names() -> list[str]:
    """All that can be measured, by name."""
    return sorted(path.stem.removeprefix("bench_") for path in HERE.glob("bench_*.py"))


def run(chosen: Iterable[str]) -> tuple[list[Measure], list[str]]:
    """Measure the chosen, one module after the other; the measures, and what failed."""
    measures: list[Measure] = []
    failed = []
    for name in chosen:
        print(f"measuring {name} ...", file=sys.stderr, flush=True)
        try:
            measures += import_module(f"tests.speed.bench_{name}").measure()
        except Exception as error:  # one that fails must not hide what the others found
            failed.append(f"{name}: {type(error).__name__}: {error}")
    return measures, failed


def table(measures: Sequence[Measure]) -> str:
    """The measures as aligned columns."""
    head = ("what", "value", "against", "ratio", "target", "")
    rows = [head, *map(_cells, measures)]
    widths = [max(len(row[column]) for row in rows) for column in range(len(head))]
    right = (False, True, False, True, True, False)
    return "\n".join(
        "  ".join(
            cell.rjust(width) if to_right else cell.ljust(width)
            for cell, width, to_right in zip(row, widths, right, strict=True)
        ).rstrip()
        for row in rows
    )


def _cells(one: Measure) -> tuple[str, ...]:
    return (
        one.what,
        f"{one.value:.4g} {one.unit}".rstrip(),
        one.against,
        "" if one.ratio is None else f"{one.ratio:.2f}",
        "" if one.target is None else f"{one.target:.4g}",
        {True: "met", False: "NOT MET", None: ""}[one.ok],
    )


def save(path: Path, measures: Sequence[Measure], failed: Sequence[str]) -> None:
    """Write everything as JSON, with what is needed to compare it with another run."""
    record = {
        "python": platform.python_version(),
        "system": platform.platform(),
        "measures": [asdict(one) for one in measures],
        "failed": list(failed),
    }
    path.write_text(json.dumps(record, indent=1, ensure_ascii=False) + "\n")
