"""Opening the bench on years of real jobs: 200 of 500 events each, 20 of them open.

Bare: read the data of all 100,000 rows with plain SQLite and make each an object with `json`.
Ours: `Bench.open`, which reads and checks what is open, decodes it and folds it into states.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from pathlib import Path

from benchmate.bench import Bench
from benchmate.clock import SetClock
from benchmate.job.events import stored as ev
from benchmate.journal import Journal, NewRow
from benchmate.moment import Moment
from benchmate.plan.plan import Plan
from benchmate.procedure.finding import find, load_file
from benchmate.settings import Settings, find_folders
from benchmate.shelf import FAMILIES
from tests.plans import expand
from tests.speed.bench_reopen import read_bare
from tests.speed.disk import folder_on_disk
from tests.speed.harness import Measure, against, alternately

JOBS, EVENTS, OPEN = 200, 500, 20
START = Moment(1_795_683_600_000_000_000, "boot-of-speed", 9_000_000_000_000)
ROUNDS = 5
TARGET_RATIO = 3.0


def plan_of(job: str) -> Plan:
    """The shipped bookends, expanded for a job."""
    found = find("matched-bookends")
    assert found is not None
    return expand(load_file(found.path), job_id=job, materials={}, families=FAMILIES)


def events_of(job: str) -> Iterator[ev.JobEvent]:
    """A long job: its start, its acts, and readings and notes up to the full number."""
    plan = plan_of(job)
    yield ev.JobStarted(happened=START, recorded=START, job=job, title=plan.title, plan=plan)
    made, at = 1, START
    for step in plan.steps:
        at = at.shifted(60)
        yield ev.Done(happened=at, recorded=at, address=step.address)
        made += 1
    pours = [s.address for s in plan.steps if s.weigh and s.weigh.kind == "gain"]
    while made < EVENTS:
        at = at.shifted(30)
        where = pours[made % len(pours)]
        if made % 5:
            yield ev.RunningRead(
                happened=at,
                recorded=at,
                address=where,
                reading_g=600.0 + made,
                text=f"{600 + made} g",
                adding=("shot", "resin")[made % 2],
            )
        else:
            yield ev.Noted(happened=at, recorded=at, text=f"bubbles rise at {made}", address=where)
        made += 1


def write_years(home: Path) -> Path:
    """The journal of all jobs; 20 stay open."""
    folders = find_folders(home)
    Bench.open(folders, Settings(), clock=SetClock(START)).close()
    with Journal.open(folders.data) as journal:
        for n in range(JOBS):
            job = f"job:bookends-{n}"
            rows = [NewRow(job, ev.encode(e)) for e in events_of(f"bookends-{n}")]
            journal.append(rows, {job: 0}, open_streams={job: n >= JOBS - OPEN})
    return folders.data


def open_bench(home: Path) -> int:
    """What every start of the bench does before its first frame."""
    bench = Bench.open(find_folders(home), Settings(), clock=SetClock(START))
    jobs = len(bench.shop.jobs)
    bench.close()
    return jobs


def measure() -> list[Measure]:
    """The bench's opening against the bare reading."""
    with folder_on_disk() as home:
        data = write_years(home)
        assert open_bench(home) == OPEN
        bare, ours = alternately([lambda: read_bare(data), lambda: open_bench(home)], ROUNDS)
        return [
            against(
                "open the bench on 100,000 events (200 jobs, 20 open)",
                statistics.median(ours),
                statistics.median(bare),
                "ms",
                "read and parse all rows, bare",
                target_ratio=TARGET_RATIO,
            )
        ]
