"""Windows and macOS, simulated: their modules and rules are played, nothing ran on them."""

from __future__ import annotations

import asyncio
import fcntl
import importlib
import os
import re
import signal
import subprocess
import sys
import time
import types
from collections.abc import Callable
from contextlib import closing
from typing import Any
from unittest import mock

from benchmate.bench import Bench
from benchmate.clock import SystemClock
from benchmate.remind.channels.speech import find_engine
from benchmate.settings import Settings, find_folders
from benchmate.tui.app import BenchApp
from tests.faults.campaign import ROOT
from tests.faults.campaigns.death import command, set_up
from tests.faults.campaigns.input import HOSTILE
from tests.faults.work import Campaign, Child, Tell, Work
from tests.tui.benches import Shop, filled_plan

FORBIDDEN = re.compile(r'[<>:"/\\|?*\x00-\x1f]|[. ]$')
RESERVED = {"con", "prn", "aux", "nul", *(f"com{n}" for n in range(10)), "lpt1", "lpt2"}
CONPTY = [(120, 30), (80, 25), (119, 29), (1, 1), (237, 62), (32766, 2), (80, 25)]


def byte_locks() -> types.ModuleType:
    """`msvcrt` whose locks belong to an open file, as Windows' do."""
    played = types.ModuleType("msvcrt")
    played.LK_LOCK, played.LK_NBLCK, played.LK_UNLCK = 1, 2, 0  # type: ignore[attr-defined]

    def locking(descriptor: int, mode: int, _count: int) -> None:
        how = (fcntl.LOCK_UN, fcntl.LOCK_EX, fcntl.LOCK_EX | fcntl.LOCK_NB)[mode]
        fcntl.flock(descriptor, how)

    played.locking = locking  # type: ignore[attr-defined]
    return played


def as_windows(act: Callable[[Tell], None]) -> Callable[[Tell], None]:
    """The act on a system that calls itself Windows: its locks, no SIGHUP, no folder to sync."""

    def played(tell: Tell) -> None:
        sys.modules["msvcrt"] = byte_locks()
        with mock.patch.object(sys, "platform", "win32"):
            for name in ("O_DIRECTORY",):
                delattr(os, name)
            for name in ("benchmate.journal.files", "benchmate.remind.voice"):
                importlib.reload(sys.modules[name])
            importlib.reload(sys.modules["benchmate.journal.head"])
            for name in ("SIGHUP", "pthread_kill"):
                delattr(signal, name)
            act(tell)

    return played


def locks(work: Work) -> None:
    """Two processes record at once, and one of them has the word, by Windows' locks."""
    with work.part("locks") as home:
        set_up(home)

        def noting(tell: Tell) -> None:
            for number in range(12):
                tell(str(command(home, "note", f"{os.getpid()} {number}", "--job", "t")))

        def speaking(tell: Tell) -> None:
            from benchmate.remind import voice

            one, other = (voice.OneVoice(home / "voice.lock") for _ in range(2))
            tell(f"{one.take()}")
            time.sleep(0.5)
            del other

        makers = [Child(as_windows(noting)) for _ in range(2)]
        for lines, code in [maker.ended() for maker in makers]:
            work.hold(code == 0 and lines == ["0"] * 12, f"as on Windows: {lines}, {code}")
        with closing(Bench.open(find_folders(home), Settings())) as bench:
            work.hold(len(bench.shop.jobs["t"].notes) == 24, "as on Windows: notes are lost")
        first = Child(as_windows(speaking))
        first.first()
        second = Child(as_windows(speaking)).ended()[0]
        said = [first.ended()[0], second]
        work.hold(said == [["True"], ["False"]], f"two have the word by Windows' locks: {said}")
    work.did("processes under msvcrt locks", 4)


def ending(work: Work) -> None:
    """No SIGHUP and no pthread_kill: the bench's end is watched all the same."""

    def act(tell: Tell) -> None:
        from benchmate.tui.ending import Ending, end_in_order

        end_in_order()
        watching = Ending(lambda: None, lambda: None)
        watching.watch()
        time.sleep(0.2)
        watching.done()
        tell("well")

    lines, code = Child(as_windows(act)).ended()
    work.hold((lines, code) == (["well"], 0), f"without SIGHUP: {lines}, {code}")
    work.did("endings without SIGHUP")


def consoles(work: Work) -> None:
    """A console that knows CP-1252 or CP-437 alone: no traceback, the same code."""
    with work.part("consoles") as home:
        set_up(home)
        command(home, "note", HOSTILE[6], "--job", "t")
        for coding in ("cp1252", "cp437", "ascii")[: 1 if work.short else 3]:
            for words in (["next"], ["job"], ["weights"], ["logbook", "list"], ["shelf", "kinds"]):
                done = subprocess.run(
                    [sys.executable, "-m", "benchmate", "--home", str(home), *words],
                    cwd=ROOT,
                    env={**os.environ, "PYTHONIOENCODING": coding, "PYTHONUTF8": "0"},
                    capture_output=True,
                    check=False,
                )
                fine = done.returncode == 0 and b"Traceback" not in done.stderr
                work.hold(fine, f"{coding}, {words}: {done.returncode} {done.stderr[-300:]!r}")
                work.did("commands at narrow consoles")


def names(work: Work) -> None:
    """No file that benchmate names breaks Windows' rules, whatever a job is called."""
    with work.part("names") as home:
        set_up(home)
        for title in (*HOSTILE, "con", "a: b?", "dots...", "com1"):
            command(home, "start", "--free", title)
        with closing(Bench.open(find_folders(home), Settings())) as bench:
            bench.backup_if_due()
            jobs = [job.job for job in bench.shop.live]
        for job in jobs:
            command(home, "papers", job, "report", "--md", "--out", str(home / "out"))
            command(home, "procedure", "new", job)
        for path in home.rglob("*"):
            bad = FORBIDDEN.search(path.name) or path.stem.split(".")[0].lower() in RESERVED
            work.hold(not bad, f"no name for Windows: {path.relative_to(home)}")
            work.did("file names")


def sizes(work: Work) -> None:
    """A ConPTY's sizes, also those that it sends for a moment while it is made."""

    async def resized(shop: Shop) -> None:
        app = BenchApp(shop.bench)
        async with app.run_test(size=CONPTY[0]) as pilot:
            for size in CONPTY:
                await pilot.resize_terminal(min(size[0], 500), size[1])
                await pilot.press("down")
                work.did("ConPTY sizes")

    with work.part("sizes") as home:
        shop = Shop(home).small(filled_plan())
        with closing(shop.bench):
            asyncio.run(resized(shop))


def clocks(work: Work) -> None:
    """The boot clocks of macOS and Windows: one boot stays one, and runs on."""
    for platform in ("darwin", "win32"):
        with mock.patch.object(sys, "platform", platform):
            one, other = SystemClock(), SystemClock()
            first, second = one.now(), other.now()
            same = first.boot_id == second.boot_id and first.boot_id
            work.hold(same, f"{platform}: two looks, two boots")
            runs = first.boot_ns is not None and (second.boot_ns or 0) >= first.boot_ns
            work.hold(runs, f"{platform}: the boot clock doesn't run on")
        which: dict[str, Callable[[str], str | None]] = {
            "darwin": lambda name: "/usr/bin/say" if name == "say" else None,
            "win32": lambda name: "powershell.exe" if name == "powershell" else None,
        }
        engine: Any = find_engine(platform=platform, which=which[platform])
        work.hold(engine is not None, f"{platform}: no voice")
        work.did("clocks and voices of other systems")


def run(work: Work) -> None:
    for _ in range(work.count):
        locks(work)
        ending(work)
    consoles(work)
    names(work)
    sizes(work)
    clocks(work)


CAMPAIGN = Campaign(
    "elsewhere",
    "What differs on Windows and macOS is written for them. Simulated, not run there.",
    "msvcrt's locks, a system without SIGHUP, consoles of CP-1252 and CP-437, Windows' rules for "
    "names, ConPTY's sizes, the other boot clocks and voices, all played on this system",
    10,
    1,
    run,
    mended=(
        "a console of CP-1252 or CP-437 that lacks a letter of a note ended `logbook list` with a "
        "sentence about what was typed (seed 20)",
    ),
    left=(
        "simulated: a procedure that a maker names nul.txt or con.x has a name that Windows keeps "
        "for itself",
    ),
)
