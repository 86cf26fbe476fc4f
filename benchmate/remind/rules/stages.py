"""When each stage of an edge begins.

The numbers are the shop's own judgement (common practice, no source). Where and how often a stage
is said is `routing`'s table.
"""

from __future__ import annotations

from typing import NamedTuple

from benchmate.remind.rules.edges import EdgeAhead, Gravity, Now, Stage
from benchmate.remind.rules.settings import RemindSettings

MIN_S = 60.0
HOUR_S = 3600.0
UNKNOWN_LENGTH_S = HOUR_S
EVENING_WORD_S = 30 * MIN_S
"""So long before quiet hours comes what would otherwise be said too late, after them."""
ONE_S = 3 * MIN_S
"""What is said of one step, or of several pieces' like steps, within so long is said as one."""
FORESEEN_S = 2 * HOUR_S
"""Farther ahead no cold is foreseen."""


class StageTime(NamedTuple):
    """A stage, and when on the shop's time line it begins."""

    begins_s: float
    stage: Stage


def stage_times(
    edge: EdgeAhead,
    settings: RemindSettings,
    now: Now,
    opens_s: float | None = None,
    last_s: float | None = None,
) -> list[StageTime]:
    """An edge's stages, earliest first. `opens_s`: when the same window or step opens, if it does.

    `last_s`: when the last of the like openings comes that are said as one. `now` only tells where
    the shop's time line stands on the wall (for the quiet hours).
    """
    if edge.edge == "opens":
        return _opening(edge, last_s)
    if edge.edge == "closes":
        return _closing(edge, settings, now, opens_s)
    if edge.edge == "chills":
        # It is no edge before it is foreseen: then it is said at once.
        return [StageTime(edge.at_s - FORESEEN_S, Stage.CLOSING)]
    if edge.edge == "chilled":
        return [StageTime(edge.at_s, Stage.MISSED)]
    return [StageTime(edge.at_s, Stage(edge.edge))]


def _opening(edge: EdgeAhead, last_s: float | None) -> list[StageTime]:
    length = None if edge.begun_s is None else edge.at_s - edge.begun_s
    lead = soon_lead_s(edge, length)
    times = [StageTime(edge.at_s if last_s is None else last_s, Stage.OPENS)]
    if edge.anew_s is not None and edge.anew_s < edge.at_s:
        return [StageTime(edge.anew_s, Stage.SOON), *times]
    return times if lead is None else [StageTime(edge.at_s - lead, Stage.SOON), *times]


def _closing(
    edge: EdgeAhead, settings: RemindSettings, now: Now, opens_s: float | None
) -> list[StageTime]:
    start = opens_s if opens_s is not None else edge.begun_s
    length = None if start is None else max(0.0, edge.at_s - start)
    closing = StageTime(edge.at_s - closing_lead_s(edge, length), Stage.CLOSING)
    times = [closing, StageTime(edge.at_s, Stage.MISSED)]
    lead = soon_lead_s(edge, length)
    soon = None if lead is None else edge.at_s - lead
    evening = _evening_word(edge, closing.begins_s, settings, now)
    if evening is not None:
        soon = evening if soon is None else min(soon, evening)
        soon = soon if start is None else max(soon, start)
    if soon is None or soon >= closing.begins_s:
        return times
    if opens_s is not None and soon < opens_s + ONE_S:
        return times  # the word at the opening says until when
    return [StageTime(soon, Stage.SOON), *times]


def _evening_word(
    edge: EdgeAhead, closing_s: float, settings: RemindSettings, now: Now
) -> float | None:
    """When to speak before quiet hours that would swallow the last call; None if they don't.

    What spoils something breaks the quiet instead, and what loses nothing can be lost.
    """
    if settings.quiet is None or edge.gravity is not Gravity.WORK:
        return None
    night = settings.quiet.around(now.wall_at(closing_s))
    if night is None:
        return None
    begins_s, ends_s = (now.now_s + (moment - now.wall).total("seconds") for moment in night)
    if edge.at_s - edge.hands_s >= ends_s:
        return None
    return begins_s - EVENING_WORD_S


def _between(low: float, value: float, high: float) -> float:
    return max(low, min(value, high))


def closing_lead_s(edge: EdgeAhead, length_s: float | None) -> float:
    """How long before a window closes its last call comes: time to begin, and the hands' time.

    Never more than half of the window, unless the hands alone need longer.
    """
    length = length_s if length_s is not None else UNKNOWN_LENGTH_S
    if edge.gravity is Gravity.SPOILS:
        margin = _between(2 * MIN_S, 0.15 * length, 15 * MIN_S)
    else:
        margin = _between(MIN_S, 0.1 * length, 10 * MIN_S)
    lead = edge.hands_s + margin
    if length_s is None:
        return lead
    return min(lead, max(0.5 * length, min(edge.hands_s + MIN_S, 0.9 * length)))


def soon_lead_s(edge: EdgeAhead, length_s: float | None) -> float | None:
    """How long before an edge its first word comes; None where one is not worth it."""
    if edge.gravity is Gravity.NOTHING or edge.edge not in ("opens", "closes"):
        return None
    if edge.edge == "opens":
        return _opening_lead_s(length_s)
    length = length_s if length_s is not None else UNKNOWN_LENGTH_S
    closing = closing_lead_s(edge, length_s)
    lead = closing + _between(5 * MIN_S, 0.2 * length, HOUR_S)
    if length_s is not None:
        lead = min(lead, 0.9 * length)
    return lead if lead - closing >= MIN_S else None


def _opening_lead_s(length_s: float | None) -> float | None:
    """A tenth of the wait, at least five minutes: nearer the edge the edge's own word will do."""
    lead_s = 5 * MIN_S if length_s is None else min(0.1 * length_s, 15 * MIN_S)
    return lead_s if lead_s >= 5 * MIN_S else None
