"""A process that works through a job, telling each act on its standard output once it is kept.

Started again after a kill it goes on where the journal stands, as a maker would.
"""

from __future__ import annotations

import sys
from pathlib import Path

from benchmate.bench import Bench
from benchmate.bench.starting.starting import start_job
from benchmate.bench.trying.rehearsal import Rehearsal
from benchmate.clock import SetClock
from benchmate.moment import Moment
from benchmate.settings import Settings, find_folders

START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)


def main(home: Path, procedure: str) -> None:
    """Work until nothing is left to do."""
    clock = SetClock(START)
    bench = Bench.open(find_folders(home), Settings(), clock=clock)
    last = [r.event.recorded for j in bench.shop.jobs.values() for r in j.records]
    clock.moment = max(last, default=START, key=lambda m: m.wall_ns)
    if not bench.shop.live:
        start_job(bench, procedure)
    hands = Rehearsal(bench, clock)
    while True:
        found = bench.agenda()
        if found.next is None:
            if not found.later:
                break
            clock.tick(found.later[0].ready_at - bench.now_s() + 1.0)
            continue
        hands.do(found.next)
        state = bench.shop.jobs[found.next.job]
        # Only what is told here has been acknowledged to the maker.
        sys.stdout.write(f"{state.version}\n")
        sys.stdout.flush()
    sys.stdout.write("done\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2])
