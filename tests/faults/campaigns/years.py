"""Ten years of a busy shop: 2,000 jobs, a million events, half of them readings of the air."""

from __future__ import annotations

import asyncio
import math
import resource
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import msgspec

from benchmate.bench import Bench
from benchmate.clock import SetClock
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import PLACE
from benchmate.journal import Journal, NewRow, verify
from benchmate.settings import Settings, find_folders
from benchmate.tui.app import BenchApp
from tests.faults.campaigns.death import command
from tests.faults.work import Campaign, Child, Tell, Work
from tests.speed.bench_years import START, events_of

OPEN = 6
JOB_EVENTS = 250
STEEPER = 1.15
"""Growth beyond this power of the size is more than linear."""
LEAST_S = 0.25
"""What is quicker than this grows too little to be told from the machine's own noise."""
SHARES = (0.1, 0.3, 1.0)
DAYS = 3650
APART_S = DAYS * 86_400 / 500_000
"""Between two readings of the air; the jobs that are open began by the last of them."""


def write_up_to(home: Path, have: tuple[int, int], events: int) -> tuple[int, int]:
    """Fill the journal up to so many events, half of jobs, half of air; jobs and readings now."""
    jobs, readings = have
    wanted_jobs = max(OPEN + 1, events // 2 // JOB_EVENTS)
    now_s = events // 2 * APART_S
    air = PLACE + "shop"
    with Journal.open(find_folders(home).data) as journal:
        for n in range(jobs, wanted_jobs):
            stream = f"job:years-{n}"
            is_open = n >= wanted_jobs - OPEN
            rows = [NewRow(stream, ev.encode(e)) for e in _job(n, now_s if is_open else n * 1e5)]
            if not is_open:
                rows.append(NewRow(stream, ev.encode(_finished(n))))
            journal.append(rows, {stream: 0}, open_streams={stream: is_open})
        versions = {s.stream: s.version for s in journal.streams()}  # a note was taken since
        for n in range(max(0, jobs - OPEN), jobs):  # what was open when the shop was smaller
            stream = f"job:years-{n}"
            row = NewRow(stream, ev.encode(_finished(n)))
            journal.append([row], {stream: versions[stream]}, open_streams={stream: False})
        for at in range(readings, events // 2, 5000):
            rows = [NewRow(air, ev.encode(e)) for e in _readings(at, min(5000, events // 2 - at))]
            journal.append(rows, {air: at}, open_streams={air: True})
    (home / "newest").write_text(str(wanted_jobs - 1), "utf-8")
    return wanted_jobs, events // 2


def _finished(n: int) -> ev.Finished:
    at = START.shifted(n * 1e5)
    return ev.Finished(happened=at, recorded=at)


def _job(n: int, later_s: float) -> Iterator[ev.JobEvent]:
    for number, at_start in enumerate(events_of(f"years-{n}")):
        if number >= JOB_EVENTS - 1:
            return
        event = msgspec.structs.replace(
            at_start,
            happened=at_start.happened.shifted(later_s),
            recorded=at_start.recorded.shifted(later_s),
        )
        if isinstance(event, ev.RunningRead) and number < JOB_EVENTS // 2:
            # Instead of some readings, the weights that charts are made of.
            net_g = 100.0 + (n * 7 + number) % 13 / 10
            at = event.happened
            yield ev.Weighed(happened=at, recorded=at, address=event.address, net_g=net_g)
        else:
            yield event


def _readings(first: int, count: int) -> Iterator[ev.AirRead]:
    for n in range(first, first + count):
        at = START.shifted(n * APART_S)
        degrees = round(17 + 5 * math.sin(n / 7919), 1) + n % 7 / 10
        yield ev.AirRead(happened=at, recorded=at, temperature_c=degrees, humidity_pct=55 + n % 9)


def first_frame(home: Path) -> None:
    async def shown() -> None:
        with closing(Bench.open(find_folders(home), Settings(), clock=later())) as bench:
            async with BenchApp(bench).run_test(size=(100, 30)) as pilot:
                await pilot.pause()

    asyncio.run(shown())


def later() -> SetClock:
    return SetClock(START.shifted(DAYS * 86_400))


def asked(*words: str) -> Callable[[Path], None]:
    def run(home: Path) -> None:
        assert command(home, *(w.replace("{open}", str(newest(home))) for w in words)) == 0

    return run


def newest(home: Path) -> int:
    """The number of the job that was begun last; told by a file, so that it costs nothing."""
    return int((home / "newest").read_text("utf-8"))


def backup(home: Path) -> None:
    with closing(Bench.open(find_folders(home), Settings(), clock=later())) as bench:
        bench.backup(home / f"b{time.monotonic_ns()}.journal.db")


def checked(home: Path) -> None:
    assert verify(find_folders(home).data).ok


THINGS: dict[str, Callable[[Path], None]] = {
    "first frame": first_frame,
    "next": asked("next"),
    "note": asked("note", "one more", "--job", "years-{open}"),
    "start": asked("start", "matched-bookends"),
    "air": asked("air"),
    "chart": asked("logbook", "chart", "--of", "gains"),
    "lessons": asked("procedure", "lessons", "matched-bookends"),
    "logbook": asked("logbook", "list"),
    "backup": backup,
    "verify": checked,
}


def measured(home: Path, thing: Callable[[Path], None]) -> tuple[float, float]:
    """Processor seconds and megabytes of one thing, in a forked process of its own."""

    def act(tell: Tell) -> None:
        began = time.process_time()
        thing(home)
        took = time.process_time() - began
        tell(f"{took} {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024}")

    lines, code = Child(act).ended()
    if code or not lines:
        raise AssertionError(f"ended with {code}")
    took, held = lines[-1].split()
    return float(took), float(held)


def run(work: Work) -> None:
    with work.part("years") as home:
        have, figures = (0, 0), {name: [] for name in THINGS}  # type: dict[str, list[tuple[float, float]]]
        sizes = [max(3000, int(work.count * share)) for share in SHARES]
        if work.short:
            sizes = sizes[-1:]
        for events in sizes:
            have = write_up_to(home, have, events)
            work.counts["jobs"], work.counts["readings"] = have
            work.counts["events"] = events
            for name, thing in THINGS.items():
                figures[name].append(measured(home, thing))
                work.did("measures")
                sys.stderr.write(f"  years: {events:,} {name} {figures[name][-1]}\n")
        work.measured += table(sizes, figures)
        if not work.short:
            for name, found in figures.items():
                _insist_linear(work, name, sizes, [s for s, _ in found])
            work.measured += plot(sizes, figures)


def _insist_linear(work: Work, name: str, sizes: list[int], took: list[float]) -> None:
    """From the middle size to the full one, where it takes long enough to tell."""
    if took[-1] < LEAST_S:
        return
    power = math.log(took[-1] / took[-2]) / math.log(sizes[-1] / sizes[-2])
    work.hold(power < STEEPER, f"{name} grows by the power {power:.2f} of the size")


def table(sizes: list[int], figures: dict[str, list[tuple[float, float]]]) -> list[str]:
    head = f"{'processor time':<18}" + "".join(f"{f'{n:,} events':>22}" for n in sizes)
    rows = [
        f"{name:<18}" + "".join(f"{f'{s:.2f} s ({mb:.0f} MB)':>22}" for s, mb in found)
        for name, found in figures.items()
    ]
    return [head, *rows, ""]


def plot(sizes: list[int], figures: dict[str, list[tuple[float, float]]]) -> list[str]:
    """Bars of the seconds, each thing beside its own linear growth from the smallest size."""
    out = ["= took, | where it would be if it grew with the size"]
    for name, found in figures.items():
        most = max(found[-1][0], found[0][0] * sizes[-1] / sizes[0])
        for events, (seconds, _) in zip(sizes, found, strict=True):
            straight = round(found[0][0] * events / sizes[0] / most * 50)
            bar = "=" * max(1, round(seconds / most * 50))
            row = list(bar.ljust(52))
            row[min(51, straight)] = "|"
            out.append(f"{name:<12}{events:>10,} {''.join(row).rstrip()}")
    return out


CAMPAIGN = Campaign(
    "years",
    "Ten years of a busy shop open, answer and are kept; the time grows no faster than they do.",
    "2,000 jobs and 500,000 readings of the air, a million events, at a tenth, three tenths and "
    "all of it; each thing in a process of its own",
    1_000_000,
    3000,
    run,
    left=(
        "`next` and the first frame read every reading of the air ever taken, though they reckon "
        "from the oldest running clock on",
    ),
)
