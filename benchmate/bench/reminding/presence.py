"""When somebody last touched the bench: a key, an act, a weight, an answer to a reminder.

Acts stand in the journal. Keys and answers are one row in the table of deliveries, written at
most once a minute, so that whoever holds the voice knows of a maker at another process's screen.
"""

from __future__ import annotations

from contextlib import suppress

from whenever import SYSTEM_TZ, Instant

from benchmate.bench.reminding.at_machine import is_at_machine
from benchmate.bench.service import Bench
from benchmate.job.events.stored import Unknown
from benchmate.journal import JournalError
from benchmate.remind.rules.edges import Now

KEY, PLACE = "touched", "@maker"
EVERY_S = 60.0


def touched_s(bench: Bench) -> float | None:
    """The place on the time line; None: nobody has touched this shop yet. Any thread may ask."""
    shop = bench.shop
    acts = (j.records[-1].event for j in shop.jobs.values() if j.records)
    known = [shop.timeline.at(e.recorded) for e in acts if not isinstance(e, Unknown)]
    with suppress(JournalError):
        row = bench.journal.deliveries.find(KEY, PLACE)
        known += [row.at_wall] if row is not None else []
    known += [bench.touched_s] if bench.touched_s is not None else []
    return max(known, default=None)


def now_of(bench: Bench) -> Now:
    """The moment as the reminders take it: any thread may ask."""
    now = bench.now()
    wall = Instant.from_timestamp(now.wall_ns, unit="nanosecond").to_tz(SYSTEM_TZ)
    return Now(bench.shop.timeline.at(now), wall, is_at_machine(bench), touched_s(bench))


def note_touch(bench: Bench) -> None:
    """Keep when this process's keys were last pressed, where that is news to the others."""
    at_s = bench.touched_s
    if at_s is None:
        return
    with suppress(JournalError):
        row = bench.journal.deliveries.find(KEY, PLACE)
        if at_s > (row.at_wall if row is not None else 0.0) + EVERY_S:
            bench.journal.deliveries.record_all([(KEY, PLACE, "acknowledged", at_s, "")])
