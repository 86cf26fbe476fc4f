"""The day sheet's visits for the calendar file: the phone knows when hands are wanted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from whenever import Instant

from benchmate.bench.planning.sheet import Visit, adopted_sheet, runs_of
from benchmate.bench.service import Bench
from benchmate.localtime import show_clock
from benchmate.papers.calendar import CalendarEntry


def visit_entries(bench: Bench) -> Iterator[CalendarEntry]:
    """One entry for each visit still to come, by its date: moved within it, it stays the same."""
    sheet, now = adopted_sheet(bench), bench.now().wall_s
    of_day: Counter[str] = Counter()
    for visit in sheet.visits if sheet is not None else ():
        of_day[visit.day] += 1
        if visit.ends > now:
            yield CalendarEntry(
                key=f"visit:{visit.day}#{of_day[visit.day]}",
                summary=f"Shop: {_who(visit)}",
                starts=Instant.from_timestamp(round(visit.begins)),
                lasts_s=visit.ends - visit.begins,
                description="\n".join(
                    f"{show_clock(run.rows[0].begins)} {run.says}" for run in runs_of(visit)
                ),
                alarms_before_s=(),
            )


def _who(visit: Visit) -> str:
    return ", ".join(dict.fromkeys(row.title for row in visit.rows))
