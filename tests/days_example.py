"""Writes docs/days.md: a weekend planned, two hours late, planned again; then what can't be.

`TZ=UTC python -m tests.days_example > docs/days.md`. Dates, times and reasons are the planner's
own; a solve ends by the solver's own time, so the machine's load changes little.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from icalendar import Calendar
from msgspec.structs import replace

from benchmate.bench import Bench
from benchmate.bench.planning.asking import best_of
from benchmate.bench.planning.planning import adopt, kept_text, late_text, reasons
from benchmate.bench.planning.question import Question, question_of
from benchmate.bench.planning.saying import aims_text
from benchmate.bench.planning.sheet import Sheet, sheet_of
from benchmate.bench.planning.times import span_ahead, time_ahead
from benchmate.bench.reminding.reminding import write_calendar
from benchmate.bench.starting.starting import start_job
from benchmate.cli.jobs.days import sheet_text
from benchmate.clock import SetClock
from benchmate.job.deciding.streams import commands as cmd
from benchmate.job.deciding.streams.dates import pending_step
from benchmate.job.events.of_shop import OtherHours
from benchmate.localtime import show_when
from benchmate.moment import Moment
from benchmate.planner.process import answer
from benchmate.planner.wire import Answer
from benchmate.procedure.finding import shipped_folder
from benchmate.settings import Settings, find_folders
from benchmate.settings.shop import ShopSettings

THURSDAY_9 = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)
FRIDAY_17_S = 32 * 3600.0
HAS = ("6 clamp", "2 curing box")
JOBS = {"pair": "matched-bookends", "lamp": "turned-lamp-base", "hammer": "plane-setting-hammer"}
EFFORT = 0.3
LOOKS_S = 600.0


def shop(home: Path, jobs: dict[str, str] = JOBS, has: tuple[str, ...] = HAS) -> Bench:
    """A bench on a Friday at five, its fills curing in a box with two places."""
    folders = find_folders(home)
    for name in ("blocks/shot-pour", *JOBS.values()):
        mine = folders.procedures / f"{name}.toml"
        mine.parent.mkdir(parents=True, exist_ok=True)
        text = (shipped_folder() / f"{name}.toml").read_text(encoding="utf-8")
        mine.write_text(text.replace('"level place"', '"curing box"'), encoding="utf-8")
    clock = SetClock(THURSDAY_9.shifted(FRIDAY_17_S))
    bench = Bench.open(folders, Settings(shop=ShopSettings(has=has)), clock=clock)
    for job, procedure in jobs.items():
        start_job(bench, procedure, {}, job)
    return bench


def solved(bench: Bench, effort: float = EFFORT) -> tuple[Question, Sheet]:
    """The sheet that the planner comes to, in this process."""
    question, answers = question_of(bench), list[Answer]()
    old = bench.shop.dates.dates if bench.shop.dates else {}
    request = question.request(LOOKS_S, old)
    answer(replace(request, effort=effort), answers.append)
    told = best_of(answers)
    assert told is not None
    return question, sheet_of(bench, question, told)


def calendar_rows(bench: Bench, target: Path) -> list[str]:
    """The file's visits, read back by the calendar library."""
    write_calendar(bench, target)
    events = Calendar.from_ical(target.read_bytes()).walk("VEVENT")
    visits = sorted(
        (e for e in events if str(e["SUMMARY"]).startswith("Shop: ")), key=lambda e: e["DTSTART"].dt
    )
    return [
        f"{e['DTSTART'].dt:%a %d %b %H:%M}–{e['DTEND'].dt:%H:%M}  SEQUENCE {e['SEQUENCE']}  "
        f"{e['STATUS']}  UID {str(e['UID'])[:13]}…  {e['SUMMARY']}"
        for e in visits
    ]


def weekend(home: Path, effort: float = EFFORT) -> Iterator[tuple[str, list[str]]]:
    """Each part's heading and lines."""
    bench = shop(home)
    question, sheet = solved(bench, effort)
    assert sheet.told is not None
    yield "Planned", [*aims_text(question, sheet.told), "", *sheet_text(bench, sheet)]
    adopt(bench, sheet)
    yield "Its calendar", calendar_rows(bench, home / "shop.ics")
    begins = sheet.rows[0].begins
    clock = bench.clock
    assert isinstance(clock, SetClock)
    clock.tick(begins + 2 * 3600.0 - bench.now().wall_s)
    late = late_text(bench)
    question, again = solved(bench, effort)
    assert again.told is not None
    text = [late, kept_text(bench, again), *aims_text(question, again.told)]
    yield "Two hours late, nothing done: planned again", [*text, "", *sheet_text(bench, again)]
    adopt(bench, again)
    yield "Its calendar, moved", calendar_rows(bench, home / "shop.ics")
    bench.close()


# What can't be ----------------------------------------------------------------------------------


def _promise(bench: Bench, job: str, when: str) -> str:
    by = time_ahead(when, bench.now().wall_s, at="23:59")
    bench.settle(cmd.PromiseFinish(job=job, by=by, to="a customer"))
    return f"{job} promised for {when}"


def _too_soon(bench: Bench) -> list[str]:
    return [_promise(bench, "hammer", "Sun")]


def _one_place(bench: Bench) -> list[str]:
    return [_promise(bench, "pair", "Mon 7 Dec"), "one place in the curing box"]


def _nobody(bench: Bench) -> list[str]:
    begins, ends = span_ahead("5 Dec 0:00-23:59", bench.now().wall_s)
    bench.settle(cmd.ChangeHours(hours=OtherHours(begins=begins, ends=ends)))
    return [_promise(bench, "hammer", "Sat 5 Dec"), "nobody in the shop that day"]


def _pinned(bench: Bench) -> list[str]:
    at = time_ahead("Sun 11:00", bench.now().wall_s)
    step = pending_step(bench.shop, "dry-fit")
    bench.settle(cmd.PinStep(step=step, at=at))
    return [f"{step} pinned to {show_when(at, bench.now().wall_s)}"]


def _delivery(bench: Bench) -> list[str]:
    step = next(a for a in bench.shop.jobs["hammer"].steps if "mix#" in a)
    comes = time_ahead("Fri 4 Dec 18:00", bench.now().wall_s)
    bench.settle(cmd.AwaitDelivery(what="walnut", steps=(step,), comes=comes))
    return ["what is poured comes Fri 4 Dec", _promise(bench, "hammer", "Tue 8 Dec")]


ONE = {"hammer": "plane-setting-hammer"}
WISHES: dict[str, tuple[dict[str, str], tuple[str, ...], Callable[[Bench], list[str]]]] = {
    "Sooner than it cures": (ONE, HAS, _too_soon),
    "Too few places": ({"pair": "matched-bookends"}, ("6 clamp", "1 curing box"), _one_place),
    "Nobody there": (ONE, HAS, _nobody),
    "Pinned before its wait is over": (ONE, HAS, _pinned),
    "It comes too late": (ONE, HAS, _delivery),
}


def refused(home: Path, name: str) -> list[str]:
    """What is wished, why it can't be, and what frees it."""
    jobs, has, wish = WISHES[name]
    bench = shop(home, jobs, has)
    wished = wish(bench)
    question = question_of(bench)
    texts = reasons(question, 30.0)
    bench.close()
    return [f"Wished: {'; '.join(wished)}.", *texts]


HEAD = """# A weekend by the day sheet

Three jobs, started on a Friday at five: a pair of bookends, a lamp base, a small hammer. Six
clamps, a curing box with two places, one pair of hands, evenings and the weekend. Written by
`python -m tests.days_example`, with the planner's own times; made anew, a plan as good may look a
little different.
"""


def main() -> int:
    """The page."""
    out = sys.stdout.write
    out(HEAD)
    with TemporaryDirectory() as home:
        for title, lines in weekend(Path(home)):
            out(f"\n## {title}\n\n```\n" + "\n".join(line for line in lines) + "\n```\n")
    out("\n## What can't be, why, and what frees it\n\nWhat frees it was tried by planning it.\n")
    for name in WISHES:
        with TemporaryDirectory() as home:
            out(f"\n**{name}.** " + " ".join(refused(Path(home), name)) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
