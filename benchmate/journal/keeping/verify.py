"""Check everything: the chain, the versions, the list of streams, the head, the file itself."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from benchmate.journal import head as heads
from benchmate.journal.chain import GENESIS
from benchmate.journal.database import Database
from benchmate.journal.errors import (
    Damaged,
    JournalError,
    JournalMissing,
    JournalUnwritable,
    entries,
    explain_os,
)
from benchmate.journal.files import JOURNAL, READY
from benchmate.journal.head import HEAD, Head
from benchmate.journal.reading import follow, streams
from benchmate.journal.rows import StoredRow
from benchmate.journal.schema import applied, pending

Progress = Callable[[int, int], None]
_STEP = 1000


def _tell_nobody(_done: int, _total: int) -> None:
    pass


class Verdict(NamedTuple):
    """What a whole check found.

    `events` were read and found good before the first bad one; `hash` is the chain after them.
    `seq`, `stream` and `version` name the first bad event where there is one. `sentence` is for
    the maker, whichever way it went.
    """

    ok: bool
    events: int
    hash: bytes
    sentence: str
    seq: int | None = None
    stream: str | None = None
    version: int | None = None


def verify(folder: Path, progress: Progress | None = None) -> Verdict:
    """Check the journal in a folder against itself and its head. Never writes.

    Damage is a verdict and isn't raised; what keeps it from being read at all is: `JournalMissing`,
    `JournalBusy`, `JournalNewer`, `JournalUnwritable`.
    """
    # The head first: whatever it claims must already be in the journal that is read after it.
    head = heads.read(folder / HEAD)
    walk = _Walk(head)
    try:
        check_present(folder, head)
        _check_everything(folder / JOURNAL, walk, progress or _tell_nobody)
    except Damaged as damage:
        return walk.verdict(damage)
    return walk.verdict(None)


def verify_copy(path: Path) -> Verdict:
    """The same for a lone file with no head, which is what a backup is."""
    walk = _Walk(None, has_head=False)
    try:
        if not _check_everything(path, walk, _tell_nobody):
            raise Damaged(f"{path} is empty, so it is no logbook.")
    except Damaged as damage:
        return walk.verdict(damage)
    return walk.verdict(None)


def check_present(folder: Path, head: Head | None) -> None:
    """Raise `JournalMissing` where there is no journal, `Damaged` where there was one, and
    `JournalUnwritable` where something else stands in its place or nobody may look."""
    there = _is_there(folder)
    if (folder / READY).exists():
        raise Damaged(f"Putting a logbook in place in {folder} was cut short.", seq=1)
    if there:
        return
    if head is None or head.events == 0:
        raise JournalMissing(f"There is no logbook in {folder} yet; the first entry makes one.")
    raise Damaged(
        f"{folder / JOURNAL} is gone, though {HEAD} beside it remembers {entries(head.events)}.",
        seq=1,
    )


def is_missing(folder: Path) -> bool:
    """Whether there is no journal and never was one; damage is for whoever opens it to say."""
    try:
        check_present(folder, heads.read(folder / HEAD))
    except JournalMissing:
        return True
    except JournalError:
        return False
    return False


def _is_there(folder: Path) -> bool:
    path = folder / JOURNAL
    try:
        mode = os.stat(path).st_mode
    except FileNotFoundError:
        return False
    except NotADirectoryError:
        raise JournalUnwritable(
            f"{folder} is no folder, so it can't hold a logbook. Move the file aside, or name "
            "another folder with BENCHMATE_HOME."
        ) from None
    except OSError as error:
        raise explain_os(error, folder) from error
    if stat.S_ISDIR(mode):
        raise JournalUnwritable(
            f"{path} is a folder where the logbook's file should be. Move it aside and put the "
            "file in its place, or `benchmate logbook restore` a backup."
        )
    return True


def check_head(head: Head | None, events: int, hash_there: bytes | None) -> None:
    """Raise `Damaged` unless the journal has all that its head remembers.

    `events` is how many rows there are, `hash_there` the hash of the row the head speaks of. More
    events than the head knows of is no damage: a program was killed between the two.
    """
    if head is None:
        if events == 0:
            return
        raise Damaged(
            f"{HEAD} is missing or unreadable beside a logbook of {entries(events)}, "
            "so nothing says whether the newest are all there."
        )
    if events < head.events:
        lost = head.events - events
        which = f"The last entry of the logbook is missing (number {head.events})"
        if lost > 1:
            numbers = f"numbers {events + 1} to {head.events}"
            which = f"The last {lost} entries of the logbook are missing ({numbers})"
        raise Damaged(f"{which}.", seq=events + 1)
    if head.events > 0 and hash_there != head.hash:
        raise Damaged(
            f"Entry {head.events} isn't the one {HEAD} remembers: the two files don't "
            "belong together.",
            seq=head.events,
        )


class _Walk:
    """What has been read so far; kept apart so that a verdict can tell it after an error."""

    def __init__(self, head: Head | None, *, has_head: bool = True) -> None:
        self.events = 0
        self.hash = GENESIS
        self.versions: dict[str, int] = {}
        self._head = head
        self._has_head = has_head
        self._hash_at_head: bytes | None = None

    def take(self, row: StoredRow) -> None:
        if row.version != self.versions.get(row.stream, 0) + 1:
            raise Damaged(
                f"Entry {row.seq} is number {row.version} of {row.stream}, out of its order.",
                seq=row.seq,
                stream=row.stream,
                version=row.version,
            )
        self.versions[row.stream] = row.version
        self.events, self.hash = row.seq, row.hash
        if self._head is not None and row.seq == self._head.events:
            self._hash_at_head = row.hash

    def check_end(self) -> None:
        if self._has_head:
            check_head(self._head, self.events, self._hash_at_head)

    def verdict(self, damage: Damaged | None) -> Verdict:
        if damage is None:
            found = f"All {entries(self.events)} are as they were recorded."
            return Verdict(True, self.events, self.hash, found)
        return Verdict(
            False,
            self.events,
            self.hash,
            str(damage),
            damage.seq,
            damage.stream,
            damage.version,
        )


def _check_everything(path: Path, walk: _Walk, progress: Progress) -> bool:
    """Raise `Damaged` at the first fault; false when there isn't even a table."""
    database = Database.connect(path, read_only=True)
    try:
        with database.snapshot():
            pending(database)  # for its complaint about a newer layout
            laid_out = bool(applied(database))
            if laid_out:
                _check_rows(database, walk, progress)
            walk.check_end()
            if laid_out:
                _check_streams(database, walk)
            _check_file(database)
    finally:
        database.close()
    return laid_out


def _check_rows(database: Database, walk: _Walk, progress: Progress) -> None:
    total = int(database.run("SELECT count(*) FROM events")[0][0])
    for row in follow(
        database.rows("SELECT seq, stream, version, data, hash FROM events ORDER BY seq")
    ):
        walk.take(row)
        if row.seq % _STEP == 0:
            progress(row.seq, total)
    progress(walk.events, total)


def _check_streams(database: Database, walk: _Walk) -> None:
    listed = {info.stream: info.version for info in streams(database)}
    for stream in sorted(listed.keys() | walk.versions.keys()):
        if listed.get(stream, 0) != walk.versions.get(stream, 0):
            raise Damaged(
                f"The list of jobs and places says {entries(listed.get(stream, 0))} for {stream}; "
                f"the logbook has {walk.versions.get(stream, 0)}.",
                stream=stream,
            )


def _check_file(database: Database) -> None:
    """SQLite's own check sees what the rows don't show: indexes, and pages nobody reads."""
    answers = [str(answer) for (answer,) in database.run("PRAGMA integrity_check(1)")]
    if answers != ["ok"]:
        raise Damaged(f"The logbook's file is damaged ({' '.join(answers[0].split())}).")
