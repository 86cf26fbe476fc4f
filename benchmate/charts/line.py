"""A straight line through points, with the doubt of its two coefficients and of what it foretells.

Source: ordinary least squares as in the GUM, annex H.3; checked against that example and against
the NIST Statistical Reference Dataset Norris.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, sqrt

from benchmate.charts.summary import mean, squares_about_mean


@dataclass(frozen=True, slots=True)
class Line:
    """y = intercept + slope x, with standard uncertainties and the correlation of the two."""

    intercept: float
    slope: float
    u_intercept: float
    u_slope: float
    correlation: float
    residual_sd: float
    r_squared: float | None
    """None where every y is the same, so that there is nothing to explain."""

    def at(self, x: float) -> float:
        """The line's height at x."""
        return self.intercept + self.slope * x

    def u_at(self, x: float) -> float:
        """Standard uncertainty of that height, the correlation of the coefficients included."""
        shared = 2.0 * x * self.correlation * self.u_intercept * self.u_slope
        return sqrt(max(0.0, self.u_intercept**2 + (x * self.u_slope) ** 2 + shared))


def fit_line(x: Sequence[float], y: Sequence[float]) -> Line:
    """The least-squares line of y on x; ValueError for fewer than three points or equal x."""
    count = len(x)
    if count != len(y) or count < 3:
        raise ValueError("A line needs at least three points, each with an x and a y.")
    spread = squares_about_mean(x)
    if spread == 0.0:
        raise ValueError("Every x is the same, so no line can be drawn.")
    middle_x, middle_y = mean(x), mean(y)
    off = [a - middle_x for a in x]
    slope = fsum(d * (b - middle_y) for d, b in zip(off, y, strict=True)) / spread
    left = [b - middle_y - slope * d for d, b in zip(off, y, strict=True)]
    residual = fsum(r * r for r in left)
    sd = sqrt(residual / (count - 2))
    size = sqrt(1.0 / count + middle_x**2 / spread)
    total = squares_about_mean(y)
    return Line(
        intercept=middle_y - slope * middle_x,
        slope=slope,
        u_intercept=sd * size,
        u_slope=sd / sqrt(spread),
        correlation=-middle_x / (size * sqrt(spread)),
        residual_sd=sd,
        r_squared=1.0 - residual / total if total > 0.0 else None,
    )
