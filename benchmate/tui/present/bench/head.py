"""The bench's first line: the time, the air with its age, the jobs and what there is to see."""

from __future__ import annotations

from benchmate.air.latest import UNKNOWN_AIR, air_now
from benchmate.job.state.shop import Shop
from benchmate.job.windows.windows import SHOP
from benchmate.localtime import show_clock, show_date
from benchmate.moment import Moment
from benchmate.quantities import Units
from benchmate.tui.present.lines import Line, Span, fit, line, spread, width

DATED = 48
"""Cells from which on the date stands before the time."""


def head(
    shop: Shop,
    now: Moment,
    units: Units,
    to_see: int,
    cells: int,
    pace: float = 1.0,
    signs: Line = (),
) -> Line:
    """The line; on a narrow screen the air goes before the time does.

    `signs`: what about the reminders is worth knowing now; a dim one gives way to the air. So do
    the day of the month and a word or two of what there is to see.
    """
    air = air_text(shop, now, units)
    for brief in (0, 1, 2):
        left = _left(now, cells, pace, brief=brief > 0)
        jobs = line(
            Span(jobs_text(shop, to_see, brief=brief), "caution" if to_see else "plain"), " "
        )
        for some in (signs, tuple(s for s in signs if s.role != "dim")):
            right = (*_parted(some), *jobs)
            if cells - width(left) - width(right) - 4 >= len(air):
                return _whole(left, air, right, cells)
    return _whole(left, air, right, cells)


def _left(now: Moment, cells: int, pace: float, *, brief: bool) -> Line:
    wall = now.wall_s
    date = show_date(wall) if cells >= DATED else ""
    date = date.partition(" ")[0] if brief else date
    left = line(" ", Span(f"{date}  {show_clock(wall)}".strip(), "strong"))
    if pace == 1.0:
        return left
    return (*left, Span(f"  {pace:g}× speed", "caution"))


def _whole(left: Line, air: str, right: Line, cells: int) -> Line:
    """The three parts; the air is cut to the room that there is, or left out."""
    room = cells - width(left) - width(right) - 4
    if room < 10:
        return spread(left, right, cells)
    gap = max(2, (cells - len(air)) // 2 - width(left)) if len(air) <= room else 2
    middle = line(
        " " * min(gap, room - min(len(air), room) + 2), Span(fit(air, min(len(air), room)), "dim")
    )
    return spread((*left, *middle), right, cells)


def _parted(signs: Line) -> Line:
    return tuple(part for sign in signs for part in (sign, Span("  ")))


def jobs_text(shop: Shop, to_see: int, *, brief: int = 0) -> str:
    """ "2 jobs, 1 flagged"; briefer: "1 flagged"."""
    n = len(shop.live)
    jobs = "no job" if n == 0 else "1 job" if n == 1 else f"{n} jobs"
    if not to_see:
        return jobs
    if brief > 1:
        return f"{to_see} flagged"
    return f"{jobs}, {to_see} flagged"


def air_text(shop: Shop, now: Moment, units: Units) -> str:
    """The last reading and its age, or that nobody has read the air."""
    found = air_now(shop.air_of(SHOP), shop.timeline.at(now), units)
    return found.text if found else UNKNOWN_AIR
