"""Two benches on one journal, for tests."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from typing import Self

from benchmate.bench import Bench
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import PLACE, Shop
from benchmate.job.state.state import JobState
from benchmate.settings import Settings, find_folders
from tests.hand_made import record
from tests.unit.shop_of_tests import moment, plan

MIX = "t/all/all/mix#1"
POUR = "t/A/block/pour#1"


class Benches(ExitStack):
    """Opens one more bench on the same journal, with the same clock; lets go of all at the end.

    `one` and `other` know a job "t" that `one` has started.
    """

    def __init__(self, home: Path) -> None:
        super().__init__()
        self.folders = find_folders(home)
        self.clock = SetClock(moment())

    def __enter__(self) -> Self:
        super().__enter__()
        self.one = self.open()
        start(self.one)
        self.other = self.open()
        return self

    def open(self) -> Bench:
        bench = Bench.open(self.folders, Settings(), clock=self.clock)
        self.callback(bench.close)
        return bench


def start(bench: Bench, job: str = "t") -> None:
    bench.do(job, cmd.StartJob(job=job, title="Bookends", plan=plan()))


def read_air(bench: Bench, celsius: float) -> None:
    now = bench.now()
    event = ev.AirRead(happened=now, recorded=now, temperature_c=celsius)
    record(bench, (PLACE + "shop", event))


def job_of(bench: Bench, name: str = "t") -> JobState:
    """A job, whose events are all there, each once."""
    state = bench.shop.jobs[name]
    assert [r.version for r in state.records] == list(range(1, state.version + 1))
    return state


def same(one: Shop, other: Shop) -> bool:
    """Alike in all but the logs of air, which carry sums of their own."""
    airs = [{n: log.readings for n, log in shop.air.items()} for shop in (one, other)]
    names = ("jobs", "scales", "shelf", "lessons", "versions", "timeline", "rules", "dates")
    return airs[0] == airs[1] and all(getattr(one, n) == getattr(other, n) for n in names)


def raises(error: Exception) -> Callable[..., object]:
    """Something to put in the place of what is to fail."""

    def no(*_: object, **__: object) -> object:
        raise error

    return no
