"""Bits flipped, files cut, pages swapped in whatever lies in the shop's folder."""

from __future__ import annotations

import re
import shutil
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path
from random import Random

from benchmate.bench import Bench
from benchmate.bench.papers.photos import keep_photo, photo_of
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.journal import Damaged, Journal, JournalError, verify
from benchmate.journal.keeping.backup import automatic
from benchmate.journal.keeping.rescue import restore, salvage
from benchmate.settings import Settings, find_folders, load
from tests.faults.work import Campaign, Work
from tests.unit.shop_of_tests import moment, plan

PAGE = 1024
NOTES = 40
Row = tuple[int, str, int, bytes, bytes]
SETTINGS = 'units = "metric"\n[reminders]\nquiet = "22:00-7:00"\nvolume = 60\n'


def flipped(content: bytearray, chance: Random) -> None:
    bit = chance.randrange(len(content) * 8)
    content[bit // 8] ^= 1 << bit % 8


def cut(content: bytearray, chance: Random) -> None:
    del content[chance.randrange(len(content)) :]


def swapped(content: bytearray, chance: Random) -> None:
    pages = max(1, len(content) // PAGE)
    one, other = (chance.randrange(pages) * PAGE for _ in range(2))
    first, second = content[one : one + PAGE], content[other : other + PAGE]
    content[one : one + PAGE], content[other : other + PAGE] = second, first


def blanked(content: bytearray, chance: Random) -> None:
    at = chance.randrange(len(content)) // 512 * 512
    content[at : at + 512] = bytes(len(content[at : at + 512]))


def garbled(content: bytearray, chance: Random) -> None:
    at, length = chance.randrange(len(content)), chance.randrange(1, 60)
    content[at : at + length] = chance.randbytes(len(content[at : at + length]))


WAYS: Sequence[Callable[[bytearray, Random], None]] = (
    flipped,
    flipped,
    flipped,
    cut,
    swapped,
    blanked,
    garbled,
)
FILES = (
    "journal.db",
    "journal.db",
    "journal.db-wal",
    "journal.head",
    "backup",
    "settings",
    "photo",
)


class Shop:
    """A shop with a backup of its first half, whole: its files open in use and closed, its rows."""

    def __init__(self, home: Path) -> None:
        self.folders = find_folders(home)
        home.mkdir(exist_ok=True)
        self.folders.settings_file.write_text(SETTINGS)
        picture = home / "p.png"
        picture.write_bytes(b"\x89PNG" + Random(3).randbytes(3000))
        clock = SetClock(moment())
        with closing(Bench.open(self.folders, Settings(), clock=clock)) as bench:
            bench.do("t", cmd.StartJob(job="t", title="Pair", plan=plan()))
            self.photo = keep_photo(self.folders, str(picture))
            for number in range(NOTES):
                bench.do("t", cmd.Note(text=f"{number} " + "x" * (number * 37 % 400)))
                if number == NOTES // 3:
                    bench.backup_if_due()
                if number == NOTES // 2:
                    with closing(sqlite3.connect(self.folders.data / "journal.db")) as base:
                        base.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
            self.in_use = home.with_name("in-use")
            shutil.copytree(home, self.in_use, ignore=shutil.ignore_patterns("*-shm", "*.lock"))
        self.closed = home
        self.rows = rows_of(self.folders.data / "journal.db")


def rows_of(path: Path) -> list[Row]:
    """The rows as plain SQL reads them, also beyond those that can't be read."""
    query, out, at = "SELECT seq, stream, version, data, hash FROM events WHERE seq > ? ", [], 0
    with closing(sqlite3.connect(path)) as base:
        for _ in range(4 * NOTES):
            try:
                row = base.execute(query + "ORDER BY seq LIMIT 1", (at,)).fetchone()
                if row is None:
                    break
                out.append(row)
                at = row[0]
            except (sqlite3.Error, UnicodeDecodeError, OverflowError):
                at += 1
    return out


def vouched(path: Path, whole: list[Row]) -> set[tuple[str, bytes]]:
    """What its own hash bears out: rows that read as written, the one before them too."""
    try:
        found = {row[0]: row for row in rows_of(path)}
    except (sqlite3.Error, TypeError):
        return set()
    same = {row[0] for row in whole if found.get(row[0]) == row}
    return {(r[1], r[3]) for r in whole if r[0] in same and (r[0] == 1 or r[0] - 1 in same)}


def run(work: Work) -> None:
    with work.part("damage") as folder:
        shop = Shop(folder / "home")
        for number in range(work.count):
            place = folder / "copy"
            shutil.copytree(shop.in_use if number % 2 else shop.closed, place)
            name, way = FILES[number % len(FILES)], work.chance.choice(WAYS)
            folders = find_folders(place)
            path = {
                "backup": next((folders.data / "backups").iterdir()),
                "settings": folders.settings_file,
                "photo": folders.data / shop.photo,
            }.get(name, folders.data / name)
            if not path.exists():
                name, path = "journal.db", folders.data / "journal.db"
            content = bytearray(path.read_bytes())
            way(content, work.chance)
            path.write_bytes(content)
            try:
                came = _what_came(work, shop, place, name)
            except Exception as error:
                came = f"BROKE: {error!r}"
            if came.isupper() or came.startswith("BROKE"):
                work.wrong(f"{way.__name__} {name}, number {number}: {came}")
            work.did(f"{name.removeprefix('journal.')}: {came}")
            shutil.rmtree(place)
        work.counts["damages"] = work.count


def _what_came(work: Work, shop: Shop, home: Path, name: str) -> str:
    folders = find_folders(home)
    match name:
        case "photo":
            seen = photo_of(folders, shop.photo, "")
            whole = photo_of(shop.folders, shop.photo, "")
            return "not shown" if seen is None else "equal" if seen == whole else "UNNOTICED"
        case "settings":
            found, trouble = load(folders)
            with closing(Bench.open(folders, found)):
                return "named" if trouble else "read"
        case "backup":
            (backup,) = automatic(folders.data)
            try:
                restore(backup, home / "again")
            except JournalError as error:
                return "named" if len(str(error)) > 20 else "UNNOTICED"
            part = [r[:4] for r in rows_of(home / "again" / "journal.db")]
            return "equal" if part == [r[:4] for r in shop.rows][: len(part)] else "UNNOTICED"
    return _journal(work, shop, home)


def _journal(work: Work, shop: Shop, home: Path) -> str:
    """Equal, or named with a remedy that brings back what is vouched for."""
    folders = find_folders(home)
    aside = home / "as it was"
    shutil.copytree(folders.data, aside)
    bears_out = vouched(aside / "journal.db", shop.rows)
    try:
        with closing(Bench.open(folders, Settings(), clock=SetClock(moment()))) as bench:
            trouble = bench.verify_sentence()
            equal = rows_of(folders.data / "journal.db")[: len(shop.rows)] == shop.rows
    except Damaged as damage:
        trouble = str(damage)
    if not trouble:
        return "equal" if equal else "UNNOTICED"
    if len(trouble) < 20:
        return "UNNAMED"
    advised = re.search(r"`benchmate logbook (salvage|restore)", trouble)
    if advised is None:
        return f"BROKE: no remedy in {trouble!r}"
    if advised[1] == "salvage":
        salvage(folders.data)
    else:
        restore(automatic(folders.data)[0], folders.data)
    if not verify(folders.data).ok:
        return "BROKE: the remedy left it damaged"
    with Journal.open(folders.data) as journal:
        back = {(r.stream, r.data) for r in journal.read_since(0)}
    if advised[1] == "salvage" and bears_out - back:
        return f"BROKE: {len(bears_out - back)} whole events were not brought back"
    foreign = {d for _, d in back} - {r[3] for r in shop.rows}
    if any(b"lost" not in d and b"boot" not in d for d in foreign):
        return "BROKE: it brought back what nobody recorded"
    work.did("remedies followed")
    with closing(Bench.open(folders, Settings(), clock=SetClock(moment()))) as bench:
        bench.agenda()
    return f"named, {advised[1]}d"


CAMPAIGN = Campaign(
    "damage",
    "Damage is harmless or named; the named remedy brings back all that its own hash vouches for.",
    "bits flipped, ends cut off, pages swapped, blanked and garbled in journal, log, head, "
    "backups, settings and photos, in use and closed; then the named remedy, against rows read by "
    "plain SQL",
    5000,
    70,
    run,
    mended=(
        "salvage lost the whole row before a page that can't be read: the library reads one row "
        "ahead (seed 20, number 50)",
        "salvage took a row of another table, in a page that changed places, for the event of that "
        "number (seed 20, number 85)",
        "a damaged list of layouts was called a newer benchmate's, whose advice mends nothing "
        "(seed 20, number 85)",
        "a flipped bit in the description of the table of events, so that rows have no number, was "
        "a traceback at the start (seed 20, number 1878)",
    ),
)
