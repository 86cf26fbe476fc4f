"""What a scale said once, and what is live on it."""

from __future__ import annotations

from typing import Literal, NamedTuple

Mark = Literal["", "stable", "moving", "over", "under", "fault"]
"""What the scale itself says of a reading; "" where its lines don't tell."""
State = Literal["gone", "silent", "moving", "steady", "over", "under", "fault"]


class Reading(NamedTuple):
    """One line or report. Without a value `grams` is None."""

    mark: Mark
    text: str = ""
    """As its display shows it, with the unit: "128.4 g"."""
    grams: float | None = None
    division_g: float = 0.0


class Live(NamedTuple):
    """What is on the scale now. Only a `steady` one is a weight that may be taken."""

    state: State
    text: str = ""
    grams: float | None = None
    division_g: float = 0.0
    at_s: float = 0.0
    """When it was heard, on the clock that nobody sets."""
    why: str = ""
    """A sentence, where something is wrong."""


GONE = Live("gone")
SILENT = Live("silent")
