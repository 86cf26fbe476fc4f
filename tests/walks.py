"""Which of the project's files five calls enter: how much a newcomer reads to follow one of them.

`make walks` prints the counts; `python -m tests.walks "a weighing" --list` the files too. Every
module is imported before, so that a file counts only where one of its functions runs.
"""

from __future__ import annotations

import argparse
import importlib
import pkgutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

import benchmate
from benchmate.bench import Bench
from benchmate.bench.air.recording import record_air
from benchmate.bench.reminding.minding import minder_of
from benchmate.bench.starting.starting import plan_for, start_job
from benchmate.bench.trying.rehearsal import Rehearsal
from benchmate.bench.weights.weighing import Typed, record_weight
from benchmate.clock import SetClock
from benchmate.moment import Moment
from benchmate.reckon import answer
from benchmate.remind.minding import Given
from benchmate.remind.rules.edges import Reminder
from benchmate.settings import Settings, find_folders

ROOT = Path(benchmate.__file__).parent
NOW = Moment(1_795_700_000_000_000_000, "boot-1", 5_000_000_000_000)
PROCEDURE = "matched-bookends"
Walk = Callable[[Path], Callable[[], object]]
"""Prepares a shop in a folder; what comes back is the call to trace."""


class Heard:
    """A channel's stand-in: it takes every reminder, and says nothing."""

    names = ("sound",)

    def submit(self, reminder: Reminder, channel: str) -> None:
        """Take it."""

    def stand(self, showing: object) -> None:
        """Nothing stands on any screen."""

    def outcomes(self) -> list[Given]:
        """Nothing was said yet."""
        return []


def shop(home: Path) -> tuple[Bench, SetClock]:
    """A bench on a journal of its own."""
    clock = SetClock(NOW)
    return Bench.open(find_folders(home), Settings(), clock=clock), clock


def pouring(home: Path) -> tuple[Bench, SetClock, str, str]:
    """A pair of bookends with its first layer poured, still to be weighed; job and address."""
    bench, clock = shop(home)
    job = start_job(bench, PROCEDURE)
    hands = Rehearsal(bench, clock)
    while True:
        act = bench.agenda().next
        if act is None:
            clock.tick(bench.agenda().later[0].ready_at - bench.now_s() + 1.0)
        elif act.kind == "weigh" and "/pour#1" in act.address:
            return bench, clock, job, act.address
        else:
            hands.do(act)


def a_weighing(home: Path) -> Callable[[], object]:
    """A weight is typed: understood, asked about, decided, committed, folded in, judged."""
    bench, _, job, address = pouring(home)
    return lambda: record_weight(bench, job, address, Typed("118.4 g"), stands=True)


def a_file_to_a_plan(home: Path) -> Callable[[], object]:
    """A procedure's file is read and expanded."""
    bench, _ = shop(home)
    return lambda: plan_for(bench, PROCEDURE)


def an_edge_to_a_reminder(home: Path) -> Callable[[], object]:
    """A cup of resin is about to gel: the minder's round gives it to a channel."""
    bench, clock, _, _ = pouring(home)
    (closes,) = {v.closes.at for v in bench.agenda().windows if v.closes and v.spoils}
    minder = minder_of(bench, Heard())  # type: ignore[arg-type]
    clock.tick(closes - bench.now_s() - 60.0)
    return minder.tick


def a_reading_of_the_air(home: Path) -> Callable[[], object]:
    """A thermometer is read while windows run: what moves is said."""
    bench, clock, _, _ = pouring(home)
    record_air(bench, "shop", 20.0, 50.0)
    clock.tick(600.0)
    return lambda: record_air(bench, "shop", 15.0, 50.0)


def a_reckoner(home: Path) -> Callable[[], object]:
    """A ready reckoner answers what was typed."""
    return lambda: answer("packing", {"shot_mm": "2", "gap_mm": "40"})


WALKS: dict[str, Walk] = {
    "a weighing": a_weighing,
    "a file to a plan": a_file_to_a_plan,
    "an edge to a reminder": an_edge_to_a_reminder,
    "a reading of the air": a_reading_of_the_air,
    "a reckoner": a_reckoner,
}


def entered(call: Callable[[], object]) -> list[str]:
    """The project's files, of which a function runs in the call, in the order they are entered."""
    files: dict[str, None] = {}

    def note(frame: FrameType, event: str, _: Any) -> None:
        name = frame.f_code.co_filename
        if event == "call" and frame.f_code.co_name != "<module>" and name.startswith(str(ROOT)):
            files.setdefault(str(Path(name).relative_to(ROOT)))

    sys.setprofile(note)
    try:
        call()
    finally:
        sys.setprofile(None)
    return list(files)


def import_all() -> None:
    """Load every module, so that no import stands in a walk's way."""
    for module in pkgutil.walk_packages([str(ROOT)], "benchmate."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)


def main() -> None:
    """Trace them, and print what they enter."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("only", nargs="?", default="", help="one walk's name, or a part of it")
    parser.add_argument("--list", action="store_true", help="the files themselves, too")
    wanted = parser.parse_args()
    import_all()
    for name, prepare in WALKS.items():
        if wanted.only in name:
            with tempfile.TemporaryDirectory() as home:
                files = entered(prepare(Path(home)))
            print(f"{len(files):3}  {name}")
            for file in files if wanted.list else ():
                print(f"     {file}")


if __name__ == "__main__":
    main()
