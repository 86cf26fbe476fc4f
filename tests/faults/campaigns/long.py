"""Thirty days of shop time through the real bench by a driven clock, in three zones."""

from __future__ import annotations

import gc
from collections import Counter
from contextlib import closing
from pathlib import Path
from zoneinfo import ZoneInfo

from benchmate.bench import Bench
from benchmate.clock import SetClock
from benchmate.moment import Moment
from benchmate.settings import Settings, find_folders
from tests.faults.reminder_rules import ZONES
from tests.faults.weeks import Week, by_edge, expected
from tests.faults.work import Campaign, Work
from tests.minding_help import DAY, zone

NEAR_S = 0.05


def resident_mb() -> float:
    """What this process holds of the machine's memory."""
    try:
        pages = int(Path("/proc/self/statm").read_text().split()[1])
    except OSError:
        return 0.0
    return pages * 4096 / 1e6


def run(work: Work) -> None:
    for number, (name, monday) in enumerate(reversed(ZONES.items())):
        if work.short and number:
            break
        days = 7 if work.short else max(7, work.count // len(ZONES) // 7 * 7)
        with work.part(name) as home, zone(name):
            start = Moment(round(monday.timestamp() * 1e9), "boot-of-the-week", 10**15)
            bench = Bench.open(find_folders(home), Settings(), clock=SetClock(start))
            with closing(bench):
                week = Week(bench, monday.timestamp(), work.seed + number, days)
                marks: list[float] = []
                for day in range(days // 7, days + 1, days // 7):
                    week.at(week.start_s + day * DAY - 1, lambda m=marks: _mark(m))
                week.run()
                _compare(work, week, ZoneInfo(name))
            work.did("days", days)
            work.did("reminders", len(week.spoken))
            half, end = marks[len(marks) // 2], marks[-1]
            work.hold(end < half + 25 or work.short, f"memory grew from {half:.0f} to {end:.0f} MB")
            work.measured.append(
                f"{name}: {days} days, {len(week.spoken)} reminders, memory "
                + " ".join(f"{mb:.0f}" for mb in marks)
                + " MB"
            )


def _mark(marks: list[float]) -> None:
    gc.collect()
    marks.append(resident_mb())


def _compare(work: Work, week: Week, tz: ZoneInfo) -> None:
    """All that was said, against the list made from the journal's bare JSON."""
    wanted, found = by_edge(expected(week, tz)), by_edge(week.spoken)
    for key in sorted(wanted.keys() | found.keys()):
        want, said = wanted.get(key, []), found.get(key, [])
        same = [one[1:] for one in want] == [one[1:] for one in said]
        near = same and all(abs(a[0] - b[0]) < NEAR_S for a, b in zip(want, said, strict=True))
        work.hold(near, f"{tz.key} {key}: said {said[:4]}, wanted {want[:4]}")
        work.did("edges compared")
    given = Counter(
        (one.key, one.stage, one.round) for r in week.mind.channel.given for one in (r, *r.also)
    )
    twice = [name for name, times in given.items() if times > 1]
    work.hold(not twice, f"sent twice: {twice[:3]}")


CAMPAIGN = Campaign(
    "long",
    "Over a month the reminders are those of an independent list, none is sent twice, and memory "
    "stays flat.",
    "a maker in shop hours who walks off, forgets weights, pauses, answers some and not others, in "
    "three zones whose clocks change; against a list made from the journal's bare JSON",
    90,
    7,
    run,
)
