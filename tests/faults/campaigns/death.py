"""Processes are killed at any moment of any act that writes."""

from __future__ import annotations

import json
import shlex
import shutil
import sqlite3
import sys
import time
from collections import Counter
from collections.abc import Callable
from contextlib import closing, redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

from benchmate.bench import Bench
from benchmate.cli.group import cli
from benchmate.job.deciding import commands as cmd
from benchmate.journal import verify
from benchmate.journal.keeping.verify import verify_copy
from benchmate.journal.told import told_in
from benchmate.settings import Settings, find_folders
from tests.faults import remind_child
from tests.faults.terminals import Terminal
from tests.faults.test_remind_kills import PATIENCE_S, heard, repeats_of
from tests.faults.work import Campaign, Child, Tell, Work, die_at
from tests.unit.shop_of_tests import plan

ROUND = 50
"""So many kills hit one shop before the next one is opened."""
JOURNALS = Path(__file__).parents[2] / "journals"
ACTS = (
    "note {t} --job t",
    "note --next-time pour {t} --job t",
    "done {t} --extra --name lid --job t",
    "weigh 12{n}g t/A/block/pour#1 --tare 1g --keep --again --job t",
    "air 1{n}.5C --rh 5{n} --place {t} --keep",
    "shelf add {t} --kind 'slow casting epoxy'",
    "scale {t} --division 0.1g",
    "job pause {t} --job t",
    "job resume --job t",
    "start --free {t}",
    "skip t/B/cover/clamp#1 {t} --job t",
    "undo --job t",
    "remind ok",
    "flags --ok --job t",
    "start matched-bookends --id {t}",
    "clock 'yellow wood glue' clamped --name {t}",
)
"""Whatever carries its own word {t} is looked for by it afterwards."""


def command(home: Path, *words: str) -> int:
    """Run a command in this process; its code."""
    try:
        cli.main(["--home", str(home), *words], prog_name="benchmate")
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else 0
    return 0


def set_up(home: Path) -> None:
    """A shop in which every act can be done."""
    with closing(Bench.open(find_folders(home), Settings())) as bench:
        bench.do("t", cmd.StartJob(job="t", title="Pair", plan=plan()))
        bench.do("t", cmd.MarkDone(address="mix"))


def work_on(home: Path, first: int) -> Callable[[Tell], None]:
    """Act after act, each told once its command has ended with 0."""

    def act(tell: Tell) -> None:
        sys.stderr = sys.stdout
        number = first
        while True:
            token = f"w{number}w"
            words = shlex.split(ACTS[number % len(ACTS)].format(t=token, n=number % 9))
            code = command(home, *words)
            tell(f"{code} {number}")
            number += 1

    return act


def written(home: Path) -> Counter[str]:
    """How often each word stands in the stream that it was written to. What names it from another
    stream later (a plan its material, a weighing its scale) is no second record of it."""
    path = find_folders(home).data / "journal.db"
    with closing(sqlite3.connect(path)) as base:
        rows = base.execute(
            "SELECT stream, data FROM events GROUP BY stream, data ORDER BY min(seq)"
        ).fetchall()
        every = base.execute("SELECT count(*) FROM events").fetchone()[0]
    if every != len(rows):
        return Counter({"TWICE": every - len(rows)})
    found: Counter[str] = Counter()
    written_to: dict[str, str] = {}
    for stream, data in rows:
        words = {*_words(json.loads(data)), stream.rpartition(":")[2]}
        own = {w for w in words if w.startswith("w") and w.endswith("w")}
        found.update(w for w in own if written_to.setdefault(w, stream) == stream)
    return found


def _words(value: object) -> list[str]:
    match value:
        case str():
            return [value]
        case dict():
            return [w for v in value.values() for w in _words(v)]
        case list():
            return [w for v in value for w in _words(v)]
    return []


def commands(work: Work, kills: int) -> None:
    """Every writing command, over and over."""
    usual: dict[int, int] = {}
    warm_up(work)
    for start in range(0, kills, ROUND):
        with work.part("commands") as home:
            set_up(home)
            number, told = start * 7, {}
            for _ in range(min(ROUND, kills - start)):
                child = Child(work_on(home, number))
                if work.chance.random() < 0.7:
                    child.first()
                lines = child.kill_after(work.chance.uniform(0.0, 0.09))
                done = [(int(c), int(n)) for c, n in (line.split() for line in lines)]
                told |= {n: c for c, n in done}
                number = max((n for _, n in done), default=number) + 2
                work.did("kills of commands")
                work.did("acts that said they were recorded", sum(c == 0 for c, _ in done))
            _check(work, home, told, usual)
    work.hold(len(usual) >= min(10, kills // 8), f"only {len(usual)} acts were ever told")


def warm_up(work: Work) -> None:
    """Each act once in this process, so that no child is killed while it loads modules."""
    with work.part("warming up") as home, redirect_stdout(StringIO()), redirect_stderr(StringIO()):
        set_up(home)
        for number, act in enumerate(ACTS):
            command(home, *shlex.split(act.format(t=f"w{number}w", n=number % 9)))


def _check(work: Work, home: Path, told: dict[int, int], usual: dict[int, int]) -> None:
    verdict = verify(find_folders(home).data)
    work.hold(verdict.ok, f"after kills: {verdict.sentence}")
    found = written(home)
    work.hold(not found["TWICE"], f"{found['TWICE']} events stand there twice")
    for number, code in told.items():
        act = number % len(ACTS)
        if "{t}" not in ACTS[act]:
            continue
        times = found[f"w{number}w"]
        wanted = usual.setdefault(act, times) if code == 0 else 0
        once = times == wanted and (times or code)
        work.hold(once, f"{ACTS[act]}: there {times}, of {wanted}")
    with closing(Bench.open(find_folders(home), Settings())) as bench:
        work.hold("t" in bench.shop.jobs, "the job is gone")


FILES: dict[str, tuple[str, ...]] = {
    "backup": ("logbook", "backup", "{out}/a.journal.db"),
    "papers": ("papers", "t", "card", "--html", "--out", "{out}"),
    "papers in tables": ("papers", "matched-bookends", "cutting", "--csv", "--out", "{out}"),
    "calendar": ("logbook", "calendar", "{out}/a.ics"),
    "salvage": ("logbook", "salvage"),
    "photo": ("note", "--photo", "{out}/p.png", "--job", "t"),
    "starter": ("procedure", "new", "mine"),
}


def files(work: Work, kills: int) -> None:
    """Acts that write files, killed at each touch of a file in turn: whole, or not there."""
    for name, words in FILES.items():
        touch, more = 1, True
        while more and touch <= max(2, kills // len(FILES)):
            with work.part(name) as home:
                set_up(home)
                out = home / "out"
                out.mkdir()
                (out / "p.png").write_bytes(b"\x89PNG" + bytes(9000))
                if name == "salvage":
                    damage(home)
                more = _killed_file(work, name, home, [w.format(out=out) for w in words], touch)
            touch += 1 if not work.short else 17


def damage(home: Path) -> None:
    with closing(sqlite3.connect(find_folders(home).data / "journal.db")) as base:
        base.execute("UPDATE events SET data = zeroblob(9) WHERE seq = 2")
        base.commit()


def _killed_file(work: Work, name: str, home: Path, words: list[str], touch: int) -> bool:
    def act(tell: Tell) -> None:
        sys.stderr = sys.stdout
        die_at(touch)
        tell(str(command(home, *words)))

    whole = told_in(find_folders(home).data).rows
    lines, code = Child(act).ended()
    work.did("kills at a touch of a file", code == -9)
    work.hold(code in (0, -9) and lines in ([], ["0"]), f"{name}: ended with {code}, {lines}")
    for path in (home / "out").iterdir():
        if path.name.endswith(".journal.db"):
            work.hold(verify_copy(path).ok, f"{name} at touch {touch}: half a backup")
        elif path.suffix in (".html", ".csv", ".ics"):
            ends = {".html": "</html>", ".ics": "END:VCALENDAR", ".csv": ""}[path.suffix]
            text = path.read_text(encoding="utf-8").rstrip()
            work.hold(text and text.endswith(ends), f"{name} at touch {touch}: half of {path.name}")
    again = Child(lambda tell: tell(str(command(home, *words)))).ended()[0]
    fine = again == ["0"] or (code == 0 and again == ["2"])
    fine = fine or (name in ("backup", "starter") and again in (["2"], ["3"], ["4"], ["5"]))
    work.hold(fine, f"{name}, killed at touch {touch}: again it ends with {again}")
    work.hold(verify(find_folders(home).data).ok, f"{name} at touch {touch}: a damaged journal")
    kept = {row.data for row in told_in(find_folders(home).data).rows}
    work.hold(kept.issuperset(r.data for r in whole), f"{name} at touch {touch}: events are lost")
    return code == -9


def migrations(work: Work, kills: int) -> None:
    """Journals of earlier versions are killed while a bench opens and migrates them."""
    for number in range(kills):
        version = ("v1", "v2", "v3")[number % 3]
        with work.part("migration") as home:
            folders = find_folders(home)
            folders.data.mkdir()
            for file in ("journal.db", "journal.head"):
                shutil.copy(JOURNALS / version / file, folders.data / file)
            before = _rows(folders.data)
            touch = work.chance.randrange(1, 12)

            def act(_: Tell, touch: int = touch, home: Path = home) -> None:
                if touch < 9:
                    die_at(touch)
                Bench.open(find_folders(home), Settings())
                time.sleep(9)

            Child(act).kill_after(0.001 + work.chance.random() * 0.04)
            with closing(Bench.open(folders, Settings())):
                pass
            work.hold(verify(folders.data).ok, f"{version} killed at {touch} isn't whole")
            work.hold(_rows(folders.data)[: len(before)] == before, f"{version}: events changed")
            work.did("kills of migrations")


def _rows(data: Path) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(data / "journal.db")) as base:
        return base.execute("SELECT seq, stream, version, data, hash FROM events").fetchall()


def reminding(work: Work, kills: int) -> None:
    """Who reminds is killed and another goes on: all is said, and once but where it is marked."""
    with work.part("reminding") as folder:
        count, first_s = kills * 3, time.time() + 0.2
        per_kill_s = 0.06

        def act(_: Tell) -> None:
            remind_child.main(folder, count, first_s, per_kill_s, remind_child.Point())

        for _ in range(kills):
            Child(act).kill_after(work.chance.uniform(0.02, 0.14))
            work.did("kills of who reminds")
        last, most, end = Child(act), -1, 0.0
        # Lost is what stays unheard while nothing else is heard either.
        while (now := len({one.key for one in heard(folder)})) < count:
            if now > most:
                most, end = now, time.monotonic() + PATIENCE_S
            if time.monotonic() > end:
                break
            time.sleep(0.05)
        last.kill_after(0.3)
        found = heard(folder)
        lost = count - len({one.key for one in found})
        work.hold(not lost, f"{lost} reminders of {count} were lost")
        unmarked = [one.key for one in repeats_of(found) if not one.again]
        work.hold(not unmarked, f"said twice unmarked: {unmarked[:3]}")
        work.did("reminders said", len(found))


def screens(work: Work, kills: int) -> None:
    """A bench in a terminal, with its reminding, air and scale threads: what it said stands."""
    with work.part("screens") as home:
        set_up(home)
        said, number = [], 0
        for _ in range(kills):
            with Terminal(home, size=(90, 28)) as terminal:
                terminal.until("backspace")
                number += 1
                terminal.press("n")
                terminal.until("cancel")
                terminal.press(f"w{number}w\r")
                terminal.until("Noted")
                said.append(f"w{number}w")
                number += 1
                terminal.press("n")
                time.sleep(0.1)
                terminal.press(f"w{number}w\r")
                time.sleep(work.chance.uniform(0.0, 0.06))
                terminal.process.kill()
            work.did("kills of the screen in a terminal")
        found = written(home)
        for word in said:
            work.hold(found[word] == 1, f"the screen said {word} was noted: there {found[word]}")
        work.hold(verify(find_folders(home).data).ok, "a damaged journal")


def run(work: Work) -> None:
    commands(work, work.share(0.62))
    files(work, work.share(0.2))
    migrations(work, work.share(0.06, 3))
    reminding(work, work.share(0.1, 4))
    screens(work, work.share(0.02))


CAMPAIGN = Campaign(
    "death",
    "What a command that ended with 0, or the screen, said was recorded is there once.",
    "kill -9 at random moments of every writing command, at each touch of a file by backup, "
    "papers, calendar, salvage, photos and starters, while journals of v1 to v3 migrate, of who "
    "reminds, of the screen in a terminal",
    2000,
    20,
    run,
    mended=(
        "salvage killed after the damaged logbook was set aside and before its remainder stood in "
        "its place left a folder that said there had never been a logbook (seed 20, touch 24)",
    ),
)
