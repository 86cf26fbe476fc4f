"""What a file's reading is worth: kept, too little news, questioned, or silence.

Pure: the file's words and now come in, a new state and what to record come out. Something is said
once when it begins and once when it is over, never at every look.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from benchmate.air.followed.parse_file import Heard
from benchmate.air.readings import JUMP_WITHIN_S, Reading, absurd, worth_keeping
from benchmate.quantities import show_duration, show_temperature

SILENT_S = 20 * 60.0
"""So long without a reading is silence; a file that is rewritten now and then may miss a look."""


@dataclass(frozen=True, slots=True)
class Following:
    """How far a source has been followed. `kept` went into the log; `last` was only believed."""

    source: str
    kept: Reading | None = None
    last: Reading | None = None
    since_s: float | None = None
    """When it was first found to give nothing."""
    is_silent: bool = False
    is_questioned: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """The new state, a reading for the log (None: nothing new), and a sentence to record."""

    state: Following
    reading: Reading | None = None
    notice: str = ""


def next_reading(state: Following, raw: Heard | str, now_s: float) -> Step:
    """What to make of what the file says now: a reading, or a sentence why there is none."""
    if isinstance(raw, str):
        return _unheard(state, raw, now_s)
    new = Reading(now_s - raw.age_s, raw.temperature_c, raw.humidity_pct)
    if state.last is not None and new.t_s <= state.last.t_s:
        return Step(replace(state, since_s=None))  # The same words as at the last look.
    strange = absurd(state.last, new)
    if strange is not None:
        return _questioned(state, strange, may_be=absurd(None, new) is None)
    notice = _again(state, new)
    state = replace(state, last=new, since_s=None, is_silent=False, is_questioned=False)
    if not worth_keeping(state.kept, new):
        return Step(state, None, notice)
    return Step(replace(state, kept=new), new, notice)


def _unheard(state: Following, reason: str, now_s: float) -> Step:
    """Nothing was heard: at once where nothing ever was, else after a while."""
    since_s = now_s if state.since_s is None else state.since_s
    state = replace(state, since_s=since_s)
    quiet_s = now_s - (since_s if state.last is None else state.last.t_s)
    if state.is_silent or (state.last is not None and quiet_s < SILENT_S):
        return Step(state)
    state = replace(state, is_silent=True)
    if state.last is None:
        return Step(state, None, f"No temperature from {state.source}: {reason}.")
    held = show_temperature(state.last.temperature_c)
    return Step(
        state,
        None,
        f"No temperature from {state.source} for {show_duration(quiet_s, rounding='down')}:"
        f" {reason}. The last, {held}, is held, with growing doubt.",
    )


def _questioned(state: Following, strange: str, *, may_be: bool) -> Step:
    """A reading that can't be right, or a jump that may be: left out of the log, and said once."""
    if state.is_questioned:
        return Step(state)
    unless = f" unless it stays so for {show_duration(JUMP_WITHIN_S)}" if may_be else ""
    notice = f"{state.source}: {strange} It is left out{unless}."
    return Step(replace(state, is_questioned=True), None, notice)


def _again(state: Following, new: Reading) -> str:
    now_c = show_temperature(new.temperature_c)
    if state.is_silent:
        return f"{state.source} gives readings again: {now_c}."
    if state.is_questioned:
        return f"{state.source} is believed again: {now_c}."
    return ""
