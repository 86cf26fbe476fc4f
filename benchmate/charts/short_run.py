"""Short runs: pieces with different targets on one chart.

A shop makes two bookends and then four lamp feet; neither is enough for a chart. Their deviations
from target share one chart if they spread alike.

Source: the idea of ISO 7870-8, from memory.
"""

from collections.abc import Collection, Sequence

from benchmate.charts.chart import Chart, ChartError, check_values
from benchmate.charts.individuals import individuals
from benchmate.charts.runs import RuleSet


def deviations(
    values: Sequence[float],
    targets: Sequence[float],
    *,
    base: int | None = None,
    rules: RuleSet = RuleSet.NONE,
    breaks: Collection[int] = (),
) -> Chart:
    """Individuals chart of each value's deviation from its own target, its ranges with it.

    A change of target is no break, since the deviations are what is compared; pass `breaks` where
    there was a gap. Raises ChartError for lengths that don't fit or values that can't be charted.
    """
    _check_pairs(values, targets, "target")
    off = [value - target for value, target in zip(values, targets, strict=True)]
    return individuals(off, base=base, rules=rules, breaks=breaks).plotting(values)


def _check_pairs(values: Sequence[float], others: Sequence[float], name: str) -> None:
    check_values(values)
    if len(values) != len(others):
        raise ChartError(f"There are {len(values)} values, but {len(others)} for their {name}.")
    check_values(others)
