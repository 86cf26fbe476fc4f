"""Readings of a place's air: which are worth keeping, and which can't be right.

A reading stands on the shop's one line of seconds (see moment.py). Pure: whoever reads a
thermometer or a file asks here first.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from benchmate.quantities.doubts import humidity_question
from benchmate.quantities.worded import Worded, celsius

KEEP_CHANGE_C = 0.3
KEEP_CHANGE_PCT = 3.0
KEEP_EVERY_S = 15 * 60.0
JUMP_C = 15.0
JUMP_WITHIN_S = 10 * 60.0
POSSIBLE_C = (-30.0, 60.0)
"""Outside these no shop is worked in; a sensor that has just been switched on often says 85 °C."""


class Reading(NamedTuple):
    """Temperature and humidity (None: not known) of a place at one instant."""

    t_s: float
    temperature_c: float
    humidity_pct: float | None = None
    number: int = 0
    """Its event's number in the place's stream, by which it can be taken back; 0: none."""
    is_doubtful: bool = False
    """It looked like a slip, and was recorded all the same: alone it spoils nothing."""


def worth_keeping(kept: Reading | None, new: Reading) -> bool:
    """Whether a reading says more than the last kept one: a change, or a quarter of an hour."""
    if kept is None or new.t_s - kept.t_s >= KEEP_EVERY_S:
        return True
    if abs(new.temperature_c - kept.temperature_c) >= KEEP_CHANGE_C - 1e-9:
        return True
    if kept.humidity_pct is None or new.humidity_pct is None:
        return kept.humidity_pct is not new.humidity_pct
    return abs(new.humidity_pct - kept.humidity_pct) >= KEEP_CHANGE_PCT - 1e-9


def thin(readings: Iterable[Reading]) -> list[Reading]:
    """The readings worth keeping, in the order given."""
    kept: list[Reading] = []
    for reading in readings:
        if worth_keeping(kept[-1] if kept else None, reading):
            kept.append(reading)
    return kept


def absurd(kept: Reading | None, new: Reading) -> str | None:
    """Why a reading can't be believed without asking, as one sentence; None where it can."""
    low, high = POSSIBLE_C
    if not low <= new.temperature_c <= high:  # also catches what is no number at all
        return Worded(
            "{degrees}? Check the thermometer.",
            degrees=celsius(new.temperature_c),
        )
    if new.humidity_pct is not None and not 0.0 <= new.humidity_pct <= 100.0:
        return f"A humidity of {new.humidity_pct:g} % can't be; look at the hygrometer."
    if new.humidity_pct is not None and (asked := humidity_question(new.humidity_pct)):
        return asked
    if kept is None or new.t_s - kept.t_s > JUMP_WITHIN_S:
        return None
    if abs(new.temperature_c - kept.temperature_c) <= JUMP_C:
        return None
    minutes = max(0.0, new.t_s - kept.t_s) / 60.0
    return Worded(
        "The air went from {old} to {new} in {minutes} min; look at the thermometer.",
        old=celsius(kept.temperature_c),
        new=celsius(new.temperature_c),
        minutes=f"{minutes:.0f}",
    )
