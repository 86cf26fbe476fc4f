"""Whole numbers from binary floats: 2.1/0.3 is 7.000000000000001, and still seven mixes."""

from math import ceil, floor

_HAIR = 1e-9


def guarded_ceil(value: float) -> int:
    """Return the next whole number up, forgiving a hair above one."""
    return ceil(value - _HAIR * max(1.0, abs(value)))


def guarded_floor(value: float) -> int:
    """Return the next whole number down, forgiving a hair below one."""
    return floor(value + _HAIR * max(1.0, abs(value)))
