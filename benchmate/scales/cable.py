"""What a scale's cable is set to, as plain data."""

from __future__ import annotations

from typing import NamedTuple


class Cable(NamedTuple):
    """Port and form of one scale; `ask` is what it must be sent to answer, "" for nothing."""

    port: str
    speed: int = 9600
    line: str = ""
    unit: str = ""
    comma: bool = False
    ask: str = ""
    every_s: float = 0.5
    divide: int = 1
