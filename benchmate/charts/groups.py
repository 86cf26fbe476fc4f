"""Do several groups of values differ more than the values within them?

Source: one-way analysis of variance; checked against the NIST Statistical Reference Dataset
SiRstv. A constant is taken off first, since the leading digits eat the precision.
"""

from collections.abc import Sequence
from math import fsum, sqrt
from typing import NamedTuple

from benchmate.charts.summary import mean, squares_about_mean


class OneWay(NamedTuple):
    """Sums of squares between and within the groups, with their degrees of freedom.

    `f` is None where nothing varies within the groups.
    """

    between: float
    between_dof: int
    within: float
    within_dof: int
    f: float | None
    r_squared: float | None
    residual_sd: float


def one_way(groups: Sequence[Sequence[float]]) -> OneWay:
    """Split the variation of all values into that between groups and that within them.

    ValueError unless there are two groups, none empty, and more values than groups.
    """
    count = sum(map(len, groups))
    if len(groups) < 2 or not all(groups) or count <= len(groups):
        raise ValueError("Two or more groups are needed, none of them empty, one with two values.")
    origin = mean(groups[0])
    shifted = [[value - origin for value in group] for group in groups]
    everything = [value for group in shifted for value in group]
    middle = mean(everything)
    between = fsum(len(group) * (mean(group) - middle) ** 2 for group in shifted)
    within = fsum(squares_about_mean(group) for group in shifted)
    between_dof, within_dof = len(groups) - 1, count - len(groups)
    share = within / within_dof
    return OneWay(
        between=between,
        between_dof=between_dof,
        within=within,
        within_dof=within_dof,
        f=between / between_dof / share if share > 0.0 else None,
        r_squared=between / (between + within) if between + within > 0.0 else None,
        residual_sd=sqrt(share),
    )
