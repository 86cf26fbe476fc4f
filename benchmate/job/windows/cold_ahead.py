"""Air that falls towards what spoils a joint or a film, foreseen from the last readings.

A straight line through the last hours: a shop that cools slows down on its way, so that the line
is early rather than late (common practice, no source).
"""

from __future__ import annotations

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.job.state.state import JobState
from benchmate.job.windows.cold import fresh_reading
from benchmate.job.windows.windows import Around, WindowView, begun_with
from benchmate.plan.rates import is_spoiled_by

LOOK_BACK_S = 3 * 3600.0
LEAST_SPAN_S = 15 * 60.0
LEAST_DROP_C = 1.0
"""A smaller fall may be the thermometer's wobble, or a door."""
AHEAD_S = 2 * 3600.0
"""So far ahead it is foreseen: time enough to fetch a heater, not enough for a guess."""


def falls_below_s(log: AirLog, lowest_c: float, now_s: float) -> float | None:
    """When the air is below a limit if it goes on falling as of late; None: that isn't foreseen.

    The instant may be past where the last reading is old: then it may be so cold by now.
    """
    last = fresh_reading(log, now_s)
    if last is None or last.is_doubtful or last.temperature_c < lowest_c:
        return None
    earlier = log.between(last.t_s - LOOK_BACK_S, last.t_s)
    rate = max((r for r in (_rate(one, last) for one in earlier) if r is not None), default=None)
    if rate is None:
        return None
    at_s = last.t_s + (last.temperature_c - lowest_c) / rate
    return at_s if at_s <= now_s + AHEAD_S else None


def _rate(earlier: Reading, last: Reading) -> float | None:
    """How fast the air has been falling since a reading, in °C a second; None: it hasn't."""
    span_s, drop_c = last.t_s - earlier.t_s, earlier.temperature_c - last.temperature_c
    if earlier.is_doubtful or span_s < LEAST_SPAN_S or drop_c < LEAST_DROP_C:
        return None
    return drop_c / span_s


def will_spoil_s(job: JobState, view: WindowView, around: Around) -> float | None:
    """When the falling air is foreseen to spoil what a window is about; None: it isn't.

    Like `spoiled_at` only up to the first edge of all windows begun with it.
    """
    rule, log = view.window.rule, around.air_of(view.window)
    if rule.lowest_c is None or view.spoiled_at is not None:
        return None
    if not is_spoiled_by(rule, float("-inf")):
        return None
    at_s = falls_below_s(log, rule.lowest_c, view.now)
    windows = begun_with(job, view.window)
    ends = [s for w in windows for s in (w.opens_s, w.full_s, w.closes_s) if s is not None]
    if at_s is None or not ends:
        return None
    sets_s = log.reaches(rule, view.anchor, min(ends)).latest
    return at_s if max(at_s, view.now) < sets_s else None
