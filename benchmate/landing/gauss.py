"""A few correlated normal quantities, kept exactly.

Everything a weighing teaches is linear here (a layer's gain in packing, void and resin), so a
mean and a covariance hold all that is known, and a reading changes them by the normal conjugate
update: old and new are weighed by their certainty. Source: any text on linear Gaussian
estimation (for one quantity it is the weighted mean of GUM H.5's kind); the tests hold it to
conditioning done at once by a numerical library, and to integration of Bayes' rule.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

Weights = Mapping[int, float]
"""How far each quantity counts in a sum; those not named don't count."""


@dataclass(slots=True)
class Gauss:
    """Means and covariances of quantities known by their place; changed in place by its methods."""

    mean: list[float] = field(default_factory=list)
    cov: list[list[float]] = field(default_factory=list)

    def copy(self) -> "Gauss":
        """An independent copy."""
        return Gauss(self.mean[:], [row[:] for row in self.cov])

    def add(self, mean: float, variance: float) -> int:
        """Take in a quantity that has nothing to do with the others; its place is returned."""
        place = len(self.mean)
        for row in self.cov:
            row.append(0.0)
        self.cov.append([0.0] * place + [variance])
        self.mean.append(mean)
        return place

    def drop_last(self, count: int) -> None:
        """Forget the newest quantities; what they taught of the others stays."""
        keep = len(self.mean) - count
        del self.mean[keep:]
        del self.cov[keep:]
        for row in self.cov:
            del row[keep:]

    def expect(self, weights: Weights) -> float:
        """Mean of a weighted sum."""
        total = 0.0
        for i, w in weights.items():
            total += w * self.mean[i]
        return total

    def against(self, weights: Weights) -> list[float]:
        """Covariance of every quantity with a weighted sum."""
        crossed = [0.0] * len(self.mean)
        for i, w in weights.items():
            for j, covariance in enumerate(self.cov[i]):
                crossed[j] += w * covariance
        return crossed

    def variance(self, weights: Weights) -> float:
        """Variance of a weighted sum."""
        crossed = self.against(weights)
        return max(0.0, sum(w * crossed[i] for i, w in weights.items()))

    def observe(self, weights: Weights, value: float, variance: float) -> None:
        """Learn that a weighted sum read `value` with an independent error of `variance`."""
        crossed = self.against(weights)
        spread = sum(w * crossed[i] for i, w in weights.items()) + variance
        if spread <= 0.0:
            return
        surprise = (value - self.expect(weights)) / spread
        self.mean = [m + c * surprise for m, c in zip(self.mean, crossed, strict=True)]
        for i, row in enumerate(self.cov):
            share = crossed[i] / spread
            if share:
                self.cov[i] = [p - share * c for p, c in zip(row, crossed, strict=True)]

    def replace(self, place: int, weights: Weights, constant: float = 0.0) -> None:
        """Let the quantity at `place` become a weighted sum (it may count) plus a constant."""
        crossed = self.against(weights)
        own = sum(w * crossed[i] for i, w in weights.items())
        self.mean[place] = self.expect(weights) + constant
        for i, row in enumerate(self.cov):
            row[place] = crossed[i]
        crossed[place] = own
        self.cov[place] = crossed

    def renew(self, place: int, mean: float, variance: float) -> None:
        """Let the quantity at `place` be a new one that has nothing to do with the others."""
        for row in self.cov:
            row[place] = 0.0
        self.cov[place] = [0.0] * len(self.mean)
        self.cov[place][place] = variance
        self.mean[place] = mean

    def reweigh(self, place: int, mean: float, variance: float) -> None:
        """Give one quantity a new mean and variance, learned elsewhere; the others follow it.

        Exact where what was learned elsewhere bears on the others only through this quantity.
        """
        old = self.cov[place][place]
        if old <= 0.0:
            return
        share = [c / old for c in self.cov[place]]
        shift, change = mean - self.mean[place], variance - old
        self.mean = [m + s * shift for m, s in zip(self.mean, share, strict=True)]
        for i, row in enumerate(self.cov):
            if share[i]:
                step = share[i] * change
                self.cov[i] = [p + step * s for p, s in zip(row, share, strict=True)]
