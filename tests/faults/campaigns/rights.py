"""Disks that are full, folders that may not be written, that go away, links and long paths."""

from __future__ import annotations

import os
import resource
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from click.testing import CliRunner, Result

from benchmate.bench import Bench
from benchmate.cli.group import cli
from benchmate.job.deciding import commands as cmd
from benchmate.journal import JournalError, JournalUnwritable, database, verify
from benchmate.settings import Settings, find_folders
from tests.faults.mounts import read_only_view, tiny_disk
from tests.faults.work import Campaign, Child, Tell, Work
from tests.unit.shop_of_tests import plan
from tests.unit.test_commands_swept import fault_of

SENTENCE = "Nothing was recorded"
NOBODY = 65534


def set_up(home: Path) -> None:
    with opened(home) as bench:
        bench.do("t", cmd.StartJob(job="t", title="Pair", plan=plan()))
        bench.do("t", cmd.MarkDone(address="mix"))


@contextmanager
def opened(home: Path) -> Iterator[Bench]:
    with closing(Bench.open(find_folders(home), Settings())) as bench:
        yield bench


def notes(bench: Bench) -> list[str]:
    return [n.event.text.split()[0] for n in bench.shop.jobs["t"].notes]


def run_command(home: Path, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--home", str(home), *words])


def note_until_refused(bench: Bench, first: int) -> tuple[int, JournalError]:
    """How many notes stand there, and the refusal of the next one."""
    number = first
    while True:
        try:
            bench.do("t", cmd.Note(text=f"{number} " + "x" * 700))
        except JournalUnwritable as refusal:
            return number, refusal
        number += 1


def keeps(work: Work, bench: Bench, where: str, room: Callable[[], object]) -> None:
    """Until it is full, while it is full, and when there is room again."""
    number, refusal = note_until_refused(bench, 0)
    work.hold(SENTENCE in str(refusal), f"{where}: {refusal}")
    work.hold(notes(bench) == [str(n) for n in range(number)], f"{where}: shows what isn't there")
    work.hold(bench.agenda().windows, f"{where}: the clocks are gone")
    again, _ = note_until_refused(bench, number)
    work.hold(again - number < 3, f"{where}: full, and it went on")
    room()
    bench.do("t", cmd.Note(text=f"{again} there is room"))
    with opened(bench.folders.data.parent) as other:
        wanted = [str(n) for n in range(again + 1)]
        work.hold(notes(other) == wanted, f"{where}: {len(notes(other))} of {len(wanted)} notes")
    verdict = verify(bench.folders.data)
    work.hold(verdict.ok, f"{where}: {verdict.sentence}")
    work.did("acts up to a full disk", number)


def pages(work: Work) -> None:
    """SQLite is allowed so many pages more, and no further."""
    with work.part("page limit") as home:
        set_up(home)
        with opened(home) as bench:
            base = bench.journal._database
            used = base.run("PRAGMA page_count")[0][0]
            base.run(f"PRAGMA max_page_count={used + work.chance.randrange(1, 40)}")
            keeps(work, bench, "page limit", lambda: base.run("PRAGMA max_page_count=999999"))
    work.did("page limits")


def small_disk(work: Work) -> None:
    with (
        work.part("small disk") as folder,
        tiny_disk(folder / "disk", work.chance.randrange(500, 900)) as disk,
    ):
        filler = disk / "somebody else's"
        filler.write_bytes(bytes(work.chance.randrange(100_000, 250_000)))
        set_up(disk)
        with opened(disk) as bench:
            keeps(work, bench, "small disk", filler.unlink)
            note_until_refused(bench, 500)
            work.hold("backup couldn't" in bench.backup_if_due(), "a full disk's backup is silent")
        for words, code in ((["next"], 0), (["logbook", "verify"], 0), (["note", "no"], None)):
            done = run_command(disk, *words)
            work.hold(not fault_of(done), f"full disk, {words}: {fault_of(done)}")
            work.hold(code is None or done.exit_code == code, f"full disk: {words} {done.stderr}")
    work.did("small disks")


def file_limit(work: Work) -> None:
    """Files may grow so far in this process, and then it is killed; needs no superuser."""
    with work.part("file limit") as home:
        set_up(home)

        def act(tell: Tell) -> None:
            with opened(home) as bench:
                limit = work.chance.randrange(80_000, 200_000)
                resource.setrlimit(resource.RLIMIT_FSIZE, (limit, resource.RLIM_INFINITY))
                number, _ = note_until_refused(bench, 0)
                tell(str(number))
                os.kill(os.getpid(), 9)

        lines, _ = Child(act).ended()
        with opened(home) as bench:
            work.hold(lines == [str(len(notes(bench)))], f"said {lines}, there {len(notes(bench))}")
        work.did("file limits")


def read_only(work: Work) -> None:
    with work.part("read-only") as folder:
        set_up(folder / "home")
        with read_only_view(folder / "home", folder / "view") as view:
            for words in (["next"], ["logbook", "verify"], ["weights"]):
                done = run_command(view, *words)
                work.hold(done.exit_code == 0, f"read-only, {words}: {done.output}")
            for words in (["note", "no"], ["done", "pour#1"], ["air", "18C"]):
                done = run_command(view, *words)
                work.hold(done.exit_code and "writable" in done.stderr, f"{words}: {done.output}")
            with closing(Bench.open_anyhow(find_folders(view), Settings())) as bench:
                work.hold(bench.only_read and bench.agenda().windows, "no clocks when read-only")
    work.did("read-only views")


def other_user(work: Work) -> None:
    """Somebody else opens the shop, which is the owner's alone."""
    if os.geteuid():
        work.skipped["another user: only a superuser may become one"] += 1
        return
    with work.part("other user") as home:
        set_up(home)
        data = find_folders(home).data
        for path in (home, *home.parents[:2]):
            path.chmod(0o755)
        if work.chance.random() < 0.5:
            data.chmod(0o755)
        before = {p.name: p.read_bytes() for p in data.iterdir() if p.is_file()}

        def act(tell: Tell) -> None:
            os.setgroups([])
            os.setgid(NOBODY)
            os.setuid(NOBODY)
            for words in (["next"], ["note", "no", "--job", "t"], ["logbook", "verify"], ["job"]):
                done = run_command(home, *words)
                tell(f"{done.exit_code} {fault_of(done)}")

        lines, code = Child(act).ended()
        work.hold(code == 0 and len(lines) == 4, f"another user: ended with {code}")
        for line in lines:
            work.hold(line.endswith(" ") and line != "0 ", f"another user is answered {line!r}")
        after = {p.name: p.read_bytes() for p in data.iterdir() if p.is_file()}
        work.hold(before == after, "another user changed something")
    work.did("other users")


def taken_away(work: Work) -> None:
    """The folder goes away under an open bench (a disk pulled out), and comes back."""
    with work.part("taken away") as home:
        set_up(home)
        data = find_folders(home).data
        with opened(home) as bench:
            data.rename(home / "elsewhere")
            for _ in range(3):
                try:
                    bench.do("t", cmd.Note(text="lost?"))
                    work.wrong("a note was taken while the folder was away")
                except JournalError as error:
                    work.hold(SENTENCE in str(error) or "gone" in str(error), f"away: {error}")
            work.hold(bench.agenda().windows, "the clocks are gone with the folder")
            (home / "elsewhere").rename(data)
            bench.do("t", cmd.Note(text="back"))
        with opened(home) as bench:
            work.hold(notes(bench) == ["back"], f"put back: {notes(bench)}")
    work.did("folders taken away")


def no_log(work: Work) -> None:
    """A file system that can't hold a write-ahead log, played by SQLite's dot-file locks."""
    with work.part("no log") as home:
        plain = database._connection

        def dotted(path: Path, mode: str) -> sqlite3.Connection:
            return plain(path, f"{mode}&vfs=unix-dotfile")

        database._connection = dotted
        try:
            done = run_command(home, "note", "no")
            work.hold("safely (SQLite answered" in done.stderr, f"no log: {done.output}")
            work.hold(not fault_of(done), f"no log: {fault_of(done)}")
        finally:
            database._connection = plain
    work.did("file systems without a log")


def links(work: Work) -> None:
    """The shop behind symbolic links: the same shop; a journal with two names: no harm."""
    with work.part("links") as folder:
        set_up(folder / "home")
        real = find_folders(folder / "home").data
        (folder / "by-home").symlink_to(folder / "home")
        (folder / "by-data").mkdir()
        (folder / "by-data" / "data").symlink_to(real)
        for number, home in enumerate((folder / "by-home", folder / "by-data")):
            done = run_command(home, "note", f"linked{number}", "--job", "t")
            work.hold(done.exit_code == 0, f"through a link: {done.output}")
        os.link(real / "journal.db", folder / "second-name.db")
        work.hold(run_command(folder / "home", "note", "c", "--job", "t").exit_code == 0, "linked")
        with opened(folder / "home") as bench:
            work.hold(notes(bench) == ["linked0", "linked1", "c"], f"links: {notes(bench)}")
        (folder / "loop").symlink_to(folder / "loop")
        fault = fault_of(run_command(folder / "loop", "note", "x"))
        work.hold(not fault, f"a link to itself: {fault}")
    work.did("shops behind links")


LONG = "x" * 200
LONG_PATH = "/".join([LONG] * 20)
WITH_PATHS = (
    ("--home", "{p}", "note", "x"),
    ("note", "--photo", "{p}.png", "--job", "t"),
    ("papers", "t", "card", "--html", "--out", "{p}"),
    ("logbook", "backup", "{p}"),
    ("logbook", "import", "{p}"),
    ("logbook", "restore", "{p}"),
    ("logbook", "calendar", "{p}"),
    ("start", "{p}.toml"),
    ("procedure", "check", "{p}.toml"),
    ("procedure", "new", "{p}"),
    ("calc", "fill", "block=@{p}"),
)


def long_paths(work: Work) -> None:
    """Paths of 4,000 characters, and names longer than a file system takes."""
    with work.part("long paths") as home:
        set_up(home)
        for words in WITH_PATHS:
            for path in (f"{home}/{LONG_PATH}", LONG * 20, f"{home}/{LONG}{LONG}"):
                done = run_command(home, *(w.format(p=path) for w in words))
                work.hold(not fault_of(done), f"{words}, {len(path)} long: {fault_of(done)}")
                work.did("long and strange paths")
        deep = home.joinpath(*["d" * 100] * 8)
        deep.mkdir(parents=True)
        shutil.copytree(find_folders(home).data, deep / "data")
        done = run_command(deep, "note", "deep", "--job", "t")
        work.hold(done.exit_code == 0 or not fault_of(done), f"a deep home: {done.output}")


PARTS = (pages, small_disk, file_limit, taken_away, other_user, read_only, links)


def run(work: Work) -> None:
    for number in range(work.count):
        PARTS[number % len(PARTS)](work)
    no_log(work)
    long_paths(work)


CAMPAIGN = Campaign(
    "rights",
    "On a disk that is full, read-only, somebody else's or gone nothing recorded is lost, the "
    "clocks are shown, and a sentence says what to do.",
    "page limits, small disks, file limits with a kill, read-only views, another user, the folder "
    "taken away and put back, a file system without a log, links, paths of 4,000 characters",
    280,
    7,
    run,
    mended=("a settings file's path of 4,000 characters was said back whole (seed 20)",),
)
