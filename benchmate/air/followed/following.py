"""What a file's reading is worth: kept, too little news, questioned, or silence.

Pure: the file's words and now come in, a new state and what to record come out. Something is said
once when it begins and once when it is over, never at every look.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from benchmate.air.followed.notices import Notice
from benchmate.air.followed.parse_file import Heard
from benchmate.air.readings import Reading, absurd, worth_keeping

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
    """The new state, a reading for the log (None: nothing new), and what is to be said of it."""

    state: Following
    reading: Reading | None = None
    notice: Notice | None = None


def next_reading(state: Following, raw: Heard | str, now_s: float) -> Step:
    """What to make of what the file says now: a reading, or why there is none."""
    if isinstance(raw, str):
        return _unheard(state, raw, now_s)
    new = Reading(now_s - raw.age_s, raw.temperature_c, raw.humidity_pct)
    if state.last is not None and new.t_s <= state.last.t_s:
        return Step(replace(state, since_s=None))  # The same words as at the last look.
    if absurd(state.last, new) is not None:
        return _questioned(state, new)
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
    silent = Notice(state.source, "silent", reason, quiet_s, last=state.last)
    return Step(state, None, silent)


def _questioned(state: Following, odd: Reading) -> Step:
    """A reading that can't be right, or a jump that may be: left out of the log, and said once."""
    if state.is_questioned:
        return Step(state)
    notice = Notice(state.source, "left out", last=state.last, reading=odd)
    return Step(replace(state, is_questioned=True), None, notice)


def _again(state: Following, new: Reading) -> Notice | None:
    if state.is_silent:
        return Notice(state.source, "again", reading=new)
    if state.is_questioned:
        return Notice(state.source, "believed", reading=new)
    return None
