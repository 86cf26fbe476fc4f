"""What every command shares: opening the bench, picking a job, and turning refusals into exits."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NoReturn

import click

from benchmate.bench import Bench
from benchmate.bench.errors import Damaged, JournalError
from benchmate.cli.exits import Exit, code_of
from benchmate.cli.saying import echo, in_short, put
from benchmate.clock import Clock, SystemClock
from benchmate.job.state.state import JobState
from benchmate.localtime import parse_when
from benchmate.moment import Moment
from benchmate.nearest import did_you_mean
from benchmate.plan.address import matches
from benchmate.quantities import QuantityError
from benchmate.refusal import Refused
from benchmate.settings import Folders, Settings, find_folders, load

make_clock: Callable[[], Clock] = SystemClock
"""What tells the time; rehearsals put a clock that is set in its place."""


def fail(text: str, code: Exit = Exit.REFUSED) -> NoReturn:
    """Say a sentence on standard error and end with a code."""
    put(in_short(text), err=True)
    raise SystemExit(code)


@contextmanager
def the_bench(
    home: Path | None, *, write: bool = True, everything: bool = False, anyhow: bool = False
) -> Iterator[Bench]:
    """The open bench; whatever it refuses ends the command with a sentence and a code.

    Reading commands open it read-only, and where there is no journal yet they make none. Of a
    damaged one they show what is whole, say so, and end with the code for damage; those that read
    `everything` look all of it over first. `anyhow`: where it can't be written it is only read.
    """
    folders = find_folders(home)
    settings, trouble = load(folders)
    if trouble:
        put(in_short(trouble), err=True)
    try:
        if everything:
            _insist_whole(folders)
        if anyhow:
            bench = Bench.open_anyhow(folders, settings, clock=make_clock())
        else:
            bench = Bench.open(
                folders, settings, clock=make_clock(), create=write, read_only=not write
            )
    except Damaged as damage:
        if write:
            fail(str(damage), Exit.DAMAGED)
        with _whole_of(folders, settings, damage) as bench:
            yield bench
        raise SystemExit(Exit.DAMAGED) from damage
    except JournalError as error:
        fail(str(error), code_of(error))
    if bench.clock_note:
        put(bench.clock_note, err=True)
    try:
        yield bench
    except (Refused, QuantityError) as error:
        fail(str(error))
    except JournalError as error:
        fail(str(error), code_of(error))
    finally:
        bench.close()


def _insist_whole(folders: Folders) -> None:
    from benchmate.bench.keeping.rescue import verify
    from benchmate.bench.keeping.safekeeping import with_advice_of

    verdict = verify(folders.data)
    if not verdict.ok:
        raise Damaged(with_advice_of(verdict, folders.data))


@contextmanager
def _whole_of(folders: Folders, settings: Settings, damage: Damaged) -> Iterator[Bench]:
    from benchmate.bench.keeping.rescue import whole_part

    put(in_short(str(damage)), err=True)
    try:
        with whole_part(folders) as (part, how_much):
            if not how_much:
                raise SystemExit(Exit.DAMAGED)
            put(how_much, err=True)
            bench = Bench.open(part, settings, clock=make_clock(), create=False, read_only=True)
            try:
                yield bench
            finally:
                bench.close()
    except (Refused, QuantityError) as error:
        fail(str(error))
    except JournalError as error:
        fail(str(error), code_of(error))


def pick_job(
    bench: Bench,
    name: str | None,
    address: str = "",
    *,
    also_clocks: bool = False,
    fits: Callable[[JobState], bool] | None = None,
) -> JobState:
    """The job meant: named, or the first part of an address, or the only one it can be.

    Where several are running, an address may fit one of them alone. Clocks that were started on
    their own stand back for a job, unless `also_clocks`: for what may as well be meant for them.
    `fits` says which of the jobs knows what was named.
    """
    live = {j.job: j for j in bench.shop.live}
    wanted = name or address.partition("/")[0]
    if wanted in live:
        return live[wanted]
    if name:
        found = bench.job(name)
        if found is not None:
            return found
        fail(f"There is no job “{name[:40]}”.{did_you_mean(name, live)}")
    known = [j for j in live.values() if fits(j)] if fits is not None else []
    others = known or _meant(list(live.values()), address, also_clocks=also_clocks)
    if len(others) == 1:
        return others[0]
    if not live:
        fail("No job is open. `benchmate start` starts one.")
    fail(f"Which job? Add --job and one of: {', '.join(live)}.")


def _meant(live: list[JobState], address: str, *, also_clocks: bool) -> list[JobState]:
    """The jobs that can be meant; all of them where nothing tells them apart."""
    from benchmate.bench.shelf.shelf import holds_clocks

    step = address.partition(":")[0]
    fits = [j for j in live if step and any(matches(step, a) for a in j.steps)]
    return fits or [j for j in live if also_clocks or not holds_clocks(j)] or live


def moment_from(bench: Bench, at: str | None) -> Moment | None:
    """The moment that `--at` names; None where it wasn't given."""
    if at is None:
        return None
    return bench.moment_at_wall(parse_when(at, bench.now().wall_s))


def say_json(value: Any) -> None:
    """Data for another program."""
    echo(json.dumps(value, ensure_ascii=False, indent=2))


def answer_back(bench: Bench, text: str, job: str = "", wide: int | None = None) -> None:
    """What was recorded, and what comes next in the shop, or in the job just started."""
    from benchmate.bench.next_line import next_line

    put(text, wide=wide)
    put(f"Next: {next_line(bench, job)}")


job_option = click.option("--job", "job", help="The job, where more than one is open.")
at_option = click.option(
    "--at", "at", metavar="WHEN", help='When it was: "16:35", "10 min ago", "Sat 9:00".'
)
keep_option = click.option(
    "--keep", is_flag=True, help="It is right: record it though it is asked about."
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
