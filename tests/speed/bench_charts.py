"""What charts over 10,000 records cost: each kind, then all three together against 200 ms.

Reading the same numbers from text with the standard csv module, timed in the same run, says how
fast the machine is: whoever charts a table pays at least that.
"""

import csv
from collections.abc import Callable, Sequence
from random import Random
from time import perf_counter

from benchmate.charts import Kind, Options, RuleSet, draw
from benchmate.charts.column import read_column
from tests.speed.harness import Measure

RECORDS = 10_000
TARGET_MS = 200.0
DRAWN = (
    Options(Kind.INDIVIDUALS, rules=RuleSet.NELSON, base=200),
    Options(Kind.EWMA, base=200),
    Options(Kind.CUSUM, base=200),
)


def weights() -> list[float]:
    """Finished weights of a shop that makes one piece for ever, heavier by 1.5 g from 8,000 on."""
    random = Random(1)
    return [round(random.gauss(850.0, 3.0) + 1.5 * (i > 8000), 1) for i in range(RECORDS)]


def best_ms(act: Callable[[], object], rounds: int = 5) -> float:
    """The least time of `act` over some rounds."""
    least = float("inf")
    for _ in range(rounds):
        start = perf_counter()
        act()
        least = min(least, perf_counter() - start)
    return least * 1e3


def draw_all(values: Sequence[float]) -> None:
    """Every kind of chart, individuals by all eight Nelson rules."""
    for options in DRAWN:
        draw(values, options)


def measure() -> list[Measure]:
    """The cost of each kind of chart, of all together, and of reading the table first."""
    values = weights()
    text = "\n".join(["y", *map(str, values)])
    bare_ms = best_ms(lambda: [float(row[0]) for row in list(csv.reader(text.splitlines()))[1:]])
    acts: dict[str, Callable[[], object]] = {
        f"charts, {options.kind}": (lambda options=options: draw(values, options))
        for options in DRAWN
    }
    acts["charts, all three kinds"] = lambda: draw_all(values)
    acts["charts, reading the column"] = lambda: read_column(text, "y")
    return [_measured(what, best_ms(act), bare_ms) for what, act in acts.items()]


def _measured(what: str, cost_ms: float, bare_ms: float) -> Measure:
    """The target is for the cost itself, so the ratio stands in the words."""
    times = f"{cost_ms / bare_ms:.1f} times"
    return Measure(
        what=f"{what}, {RECORDS:,} records",
        value=round(cost_ms, 1),
        unit="ms",
        against=f"{times} the same numbers read by the csv module, {bare_ms:.1f} ms",
        target=TARGET_MS,
        ok=cost_ms <= TARGET_MS,
    )
