"""Short runs: pieces with different targets on one chart.

A shop makes two bookends and then four lamp feet; neither is enough for a chart. Their deviations
from target share one chart if they spread alike; if not, each deviation is divided by the sigma
of its kind.

Source: the idea of ISO 7870-8, from memory; the limit of Z's moving range is 3.267 times 1.128.
"""

from collections.abc import Collection, Sequence

from benchmate.charts.chart import Chart, ChartError, check_setting, check_values
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


def standardised(
    values: Sequence[float],
    targets: Sequence[float],
    sigmas: Sequence[float],
    *,
    rules: RuleSet = RuleSet.NONE,
    breaks: Collection[int] = (),
) -> Chart:
    """Chart of Z = (value - target)/sigma about zero with limits at -3 and 3, its ranges with it.

    Raises ChartError for lengths that don't fit, a sigma not above zero, or values that can't be
    charted.
    """
    _check_pairs(values, targets, "target")
    _check_pairs(values, sigmas, "sigma")
    for sigma in sigmas:
        check_setting("sigma", sigma, 0.0)
    z = [(x - target) / s for x, target, s in zip(values, targets, sigmas, strict=True)]
    return individuals(z, target=0.0, sigma=1.0, rules=rules, breaks=breaks).plotting(values)


def _check_pairs(values: Sequence[float], others: Sequence[float], name: str) -> None:
    check_values(values)
    if len(values) != len(others):
        raise ChartError(f"There are {len(values)} values, but {len(others)} for their {name}.")
    check_values(others)
