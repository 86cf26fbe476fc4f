"""A whole job, start to finish, three ways: through the service, by keys, by commands.

Each way does the same acts at the same times, so that the states they leave can be compared.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from benchmate.bench import Bench
from benchmate.bench.trying.rehearsal import good_answer
from benchmate.clock import SetClock
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.moment import Moment
from benchmate.settings import Folders, Settings, find_folders
from tests.hand_made import without_records

START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)
MOST_ACTS = 400


@dataclass
class Script:
    """What to do next, decided by looking at a bench; time passes only here."""

    clock: SetClock = field(default_factory=lambda: SetClock(START))
    acts: int = 0

    def folders(self, home: Path) -> Folders:
        return find_folders(home)

    def open(self, home: Path) -> Bench:
        return Bench.open(self.folders(home), Settings(), clock=self.clock)

    def next_act(self, bench: Bench) -> Act | None:
        """The next act, after waiting for a window where nothing can be done before."""
        found = bench.agenda()
        if found.next is None and found.later:
            self.clock.tick(found.later[0].ready_at - bench.now_s() + 1.0)
            bench.mind_clock()
            found = bench.agenda()
        self.acts += 1
        assert self.acts < MOST_ACTS, "the job does not come to an end"
        return found.next

    def pass_time(self, act: Act) -> None:
        """The hands are at it."""
        self.clock.tick(max(20.0, act.step.hands_s if act.step and act.kind == "do" else 20.0))


def reading(act: Act) -> str:
    """What the scale shows: the plan, but for a known small departure."""
    assert act.step is not None
    assert act.step.weigh is not None
    plan = act.step.weigh.plan_g or 0.0
    return f"{plan * 1.004:.1f} g"


def answer(act: Act) -> str:
    """A check's good answer, as it is typed."""
    assert act.check is not None
    return good_answer(act.check)[1]


def ended(home: Path, script: Script, job: str) -> JobState:
    """The job as the journal holds it."""
    bench = script.open(home)
    try:
        state = bench.job(job)
        assert state is not None
        return without_records(state)
    finally:
        bench.close()
