"""One way in for whoever has numbers and wants one of the field's charts of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from benchmate.charts import sums, weighted
from benchmate.charts.chart import Chart, ChartError
from benchmate.charts.individuals import WIDTH, individuals
from benchmate.charts.runs import RuleSet


class Kind(StrEnum):
    """The charts there are."""

    INDIVIDUALS = "individuals"
    EWMA = "ewma"
    CUSUM = "cusum"


@dataclass(frozen=True, slots=True)
class Options:
    """How a chart is to be drawn; None takes the chart's own default or estimates from the base.

    `base` is the number of values at the start that centre and sigma come from. `k` and `h` are in
    sigmas when `sigma` is given, else in the values' own units.
    """

    kind: Kind = Kind.INDIVIDUALS
    target: float | None = None
    sigma: float | None = None
    weight: float | None = None
    limit_width: float | None = None
    k: float | None = None
    h: float | None = None
    rules: RuleSet = RuleSet.NONE
    base: int | None = None
    steady: bool = False


def draw(values: Sequence[float], options: Options) -> Chart:
    """The chart that the options ask for; ChartError, a sentence, for what can't be drawn."""
    _check_fit(options)
    base, target, sigma = options.base, options.target, options.sigma
    width = options.limit_width
    if options.kind is Kind.INDIVIDUALS:
        return individuals(
            values,
            base=base,
            target=target,
            sigma=sigma,
            width=WIDTH if width is None else width,
            rules=options.rules,
        )
    if options.kind is Kind.EWMA:
        return weighted.ewma(
            values,
            base=base,
            target=target,
            sigma=sigma,
            weight=weighted.WEIGHT if options.weight is None else options.weight,
            width=weighted.WIDTH if width is None else width,
            steady=options.steady,
        )
    return sums.cusum(values, base=base, target=target, sigma=sigma, k=options.k, h=options.h)


def _check_fit(options: Options) -> None:
    """Refuse settings that the chosen chart has no use for, rather than leave them out unsaid."""
    if options.rules is not RuleSet.NONE and options.kind is not Kind.INDIVIDUALS:
        raise ChartError(
            f"Run rules are for the individuals chart: the points of a chart of kind "
            f"{options.kind} lean on each other."
        )
    of_ewma = options.weight is not None or options.steady
    if of_ewma and options.kind is not Kind.EWMA:
        raise ChartError("The weight lambda and steady limits belong to the ewma chart alone.")
    if (options.k is not None or options.h is not None) and options.kind is not Kind.CUSUM:
        raise ChartError("The settings k and h belong to the cusum chart alone.")
    if options.limit_width is not None and options.kind is Kind.CUSUM:
        raise ChartError("A cusum chart has no limit width; its limit is h.")
