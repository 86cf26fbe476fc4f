"""A bench with a set clock and a minder in step, for tests of the reminders over real jobs."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from whenever import reset_system_tz

from benchmate.bench import Bench
from benchmate.bench.reminding.minding import minder_of
from benchmate.bench.trying.rehearsal import good_answer
from benchmate.bench.weights.weighing import Typed, record_weight
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.windows.agenda import Act
from benchmate.moment import Moment
from benchmate.remind.minding import Minder, Tick
from benchmate.remind.rules.edges import Reminder
from benchmate.settings import Reminding, Settings, find_folders
from tests.remind_help import FakeChannel, InStepSender
from tests.started import start_job
from tests.unit.shop_of_tests import plan

START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)
"""Thu 26 Nov 2026, 09:00 UTC."""
NO_QUIET = Settings(reminders=Reminding(quiet=""))
MIN, HOUR, DAY = 60.0, 3600.0, 86_400.0
TEST_PLAN = plan()
MIX = "t/all/all/mix#1"


@contextmanager
def zone(name: str) -> Iterator[None]:
    """The system's time zone, for a while."""
    before = os.environ.get("TZ")
    try:
        _set_zone(name)
        yield
    finally:
        _set_zone(before)


def _set_zone(name: str | None) -> None:
    if name is None:
        os.environ.pop("TZ", None)
    else:
        os.environ["TZ"] = name
    if hasattr(time, "tzset"):
        time.tzset()
    reset_system_tz()


def open_bench(home: Path, settings: Settings = NO_QUIET, start: Moment = START) -> Bench:
    """A bench of its own, with a clock that stands until it is moved."""
    return Bench.open(find_folders(home), settings, clock=SetClock(start))


def tick(bench: Bench, seconds: float) -> None:
    """Let time pass."""
    assert isinstance(bench.clock, SetClock)
    bench.clock.tick(seconds)


def start_plan(bench: Bench) -> None:
    """The tests' own small plan as job "t": one cup, two pieces of two layers, a glue-up."""
    bench.do("t", cmd.StartJob(job="t", title="Bookends", plan=TEST_PLAN, text=""))


def mark(bench: Bench, address: str) -> None:
    """A step is done."""
    bench.do("t", cmd.MarkDone(address=address))


def do_next(bench: Bench, act: Act) -> None:
    """Any act, as a maker without mishaps does it; no time passes."""
    if act.kind == "weigh":
        point = act.step.weigh if act.step else None
        record_weight(bench, act.job, act.address, Typed(f"{(point and point.plan_g) or 0:.0f} g"))
    elif act.kind == "check" and act.check is not None:
        value, text = good_answer(act.check)
        bench.do(
            act.job,
            cmd.AnswerCheck(address=act.address, name=act.check.name, value=value, text=text),
        )
    elif act.kind == "answer":
        bench.do(act.job, cmd.AnswerMissed(window=act.address, answer="let it be"))
    else:
        bench.do(act.job, cmd.MarkDone(address=act.address))


def work_until(bench: Bench, wanted: str, procedure: str = "matched-bookends") -> str:
    """Start a procedure and do all up to the first step whose address holds `wanted`; its job."""
    job = start_job(bench, procedure)
    for _ in range(200):
        found = bench.agenda()
        if found.next is None:
            tick(bench, found.later[0].ready_at - bench.now_s() + 1.0)
            continue
        if wanted in found.next.address:
            return job
        tick(bench, 20.0)
        do_next(bench, found.next)
    raise AssertionError(f"nothing holds {wanted}")


@dataclass
class Minded:
    """A bench and what minds it, tick by tick, with one channel that notes what it is given."""

    bench: Bench
    channel: FakeChannel = field(default_factory=lambda: FakeChannel("sound"))
    minder: Minder = field(init=False)

    def __post_init__(self) -> None:
        self.minder = minder_of(self.bench, InStepSender(self.channel))

    def tick(self) -> Tick:
        """One round."""
        return self.minder.tick()

    def said(self, after_s: float = 0.0) -> list[Reminder]:
        """What is said after so much time has passed; only what is new."""
        if after_s:
            tick(self.bench, after_s)
        before = len(self.channel.given)
        while self.minder.tick().given:
            pass
        return self.channel.given[before:]

    def texts(self, after_s: float = 0.0) -> list[str]:
        """The same in words."""
        return [r.text for r in self.said(after_s)]
