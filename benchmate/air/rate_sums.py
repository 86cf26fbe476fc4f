"""The running sums of a rate along a log: label seconds up to any instant, and back."""

from __future__ import annotations

from array import array
from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate
from operator import mul, sub

from benchmate.plan.rates import Rates


class RateSums:
    """The rates of one rule along a log, piece by piece, and their running sums.

    Three sums run beside each other (low, mid, high), from the log's reading number `first` on;
    `before` holds ahead of that, if it is the very first. The first `body` pieces lie before the
    last reading and can be taken over when the next one comes.
    """

    __slots__ = ("before", "body", "first", "rates", "starts", "sums")

    def __init__(self, before: Rates, first: int = 0) -> None:
        self.before = before
        self.first = first
        self.body = 0
        self.starts = array("d")
        self.rates = (array("d"), array("d"), array("d"))
        self.sums = (array("d"), array("d"), array("d"))

    def body_alone(self) -> RateSums:
        """A copy of what lies before the last reading."""
        copy = RateSums(self.before, self.first)
        copy.body = n = self.body
        copy.starts = self.starts[:n]
        copy.rates = tuple(line[:n] for line in self.rates)  # type: ignore[assignment]
        copy.sums = tuple(line[:n] for line in self.sums)  # type: ignore[assignment]
        return copy

    def extend(self, starts: Sequence[float], pieces: Sequence[Rates]) -> None:
        """Append pieces by their starts and rates; each runs until the next, the last for ever."""
        last = len(self.starts) - 1
        lengths = list(map(sub, starts[1:], starts))
        for rates, sums, fresh in zip(
            self.rates, self.sums, zip(*pieces, strict=True), strict=True
        ):
            first = 0.0
            if last >= 0:
                first = sums[last] + (starts[0] - self.starts[last]) * rates[last]
            sums.extend(accumulate(map(mul, lengths, fresh), initial=first))
            rates.extend(fresh)
        self.starts.extend(starts)

    def integral(self, line: int, t: float) -> float:
        """The sum from the first piece's start to `t` (negative before it)."""
        i = bisect_right(self.starts, t) - 1
        if i < 0:
            return (t - self.starts[0]) * self.before[line]
        return self.sums[line][i] + (t - self.starts[i]) * self.rates[line][i]

    def when(self, line: int, value: float) -> float:
        """The instant at which `integral` is `value`."""
        i = bisect_right(self.sums[line], value) - 1
        if i < 0:
            return self.starts[0] + value / self.before[line]
        return self.starts[i] + (value - self.sums[line][i]) / self.rates[line][i]
