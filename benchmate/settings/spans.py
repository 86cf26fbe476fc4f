"""A stretch of the day, as a maker writes it: "18:00-22:00"."""

from __future__ import annotations

import re
from typing import NamedTuple, Self

_DAY_MIN = 24 * 60
_TEXT = re.compile(r"\s*(\d{1,2})[:.](\d{2})\s*[-–]\s*(\d{1,2})[:.](\d{2})\s*", re.ASCII)


class Span(NamedTuple):
    """From one minute of the day to another, counted from midnight; may run past midnight.

    An empty text is an empty span, both minutes 0: it holds no time at all.
    """

    begins_min: int
    ends_min: int

    @classmethod
    def read(cls, text: str) -> Self:
        """From "18:00-22:00", "9.00 - 17.30" or "". Raises `ValueError` for anything else."""
        if not text.strip():
            return cls(0, 0)
        found = _TEXT.fullmatch(text)
        if found is None:
            raise ValueError(f"{text!r} is no span of time")
        hour, minute, end_hour, end_minute = map(int, found.groups())
        span = cls(hour * 60 + minute, end_hour * 60 + end_minute)
        whole = minute < 60 and end_minute < 60 and span.begins_min < _DAY_MIN >= span.ends_min
        if not whole or span.begins_min == span.ends_min:
            raise ValueError(f"{text!r} is no span of time")
        return span

    @property
    def is_empty(self) -> bool:
        """Whether it holds no time."""
        return self.begins_min == self.ends_min

    def __str__(self) -> str:
        if self.is_empty:
            return ""
        return "-".join(f"{m // 60:02}:{m % 60:02}" for m in (self.begins_min, self.ends_min))
