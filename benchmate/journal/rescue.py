"""After damage: put a backup in the journal's place, or what can still be read of it.

Neither overwrites anything. What was there is moved aside, whole, into a folder `set-aside-N`.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

from benchmate.journal import head as heads
from benchmate.journal.appending import append
from benchmate.journal.chain import GENESIS
from benchmate.journal.database import Database
from benchmate.journal.errors import Damaged, JournalError, explain_os
from benchmate.journal.files import JOURNAL, create_private, make_folder, sync_file, sync_folder
from benchmate.journal.head import HEAD, Head
from benchmate.journal.reading import follow
from benchmate.journal.rows import NewRow, StoredRow
from benchmate.journal.schema import migrate
from benchmate.journal.verify import Verdict, verify_copy

_LOGS = (f"{JOURNAL}-wal", f"{JOURNAL}-shm")
_BATCH = 1000


class Rescue(NamedTuple):
    """How many events the journal has now, and where the files that were there before lie."""

    events: int
    set_aside: Path | None


def restore(backup: Path, folder: Path) -> Rescue:
    """Put a backup, once it is found good, in the place of the journal in `folder`.

    Close every bench first: one that stays open refuses to record anything more. Raises `Damaged`
    when the backup itself isn't whole, `JournalUnwritable` or `JournalFull`.
    """
    verdict = verify_copy(backup)
    if not verdict.ok:
        raise Damaged(f"The backup {backup} isn't whole: {verdict.sentence}")
    with _part(folder) as part:
        part.write_bytes(backup.read_bytes())
        return _put_in_place(part, folder, verify_copy(part))


def salvage(folder: Path) -> Rescue:
    """Keep the events up to the first bad one as the new journal; the rest is set aside with it.

    For a journal with no backup, or a backup older than what can still be read. Raises
    `JournalUnwritable` or `JournalFull`.
    """
    with _part(folder) as part:
        _copy_good(folder / JOURNAL, part)
        return _put_in_place(part, folder, verify_copy(part))


@contextmanager
def _part(folder: Path) -> Iterator[Path]:
    """A new empty file to fill; gone again unless it was put in the journal's place."""
    part = folder / f"{JOURNAL}.part"
    leftovers = [folder / f"{part.name}{end}" for end in ("", "-wal", "-shm")]
    try:
        make_folder(folder)
        for path in leftovers:
            path.unlink(missing_ok=True)
        create_private(part)
        yield part
    except OSError as error:
        raise explain_os(error, folder) from error
    finally:
        for path in leftovers:
            with suppress(OSError):
                path.unlink()


def _put_in_place(part: Path, folder: Path, verdict: Verdict) -> Rescue:
    if not verdict.ok:
        raise Damaged(f"What was written to {part} doesn't read back: {verdict.sentence}")
    sync_file(part)
    aside = _set_aside(folder)
    # The head first. Cut short here, the folder has a head and no journal, which is noticed, and
    # doing it again mends it. The other way round a journal would stand there with no head.
    heads.write_fresh(folder / HEAD, Head(verdict.events, verdict.hash))
    part.rename(folder / JOURNAL)
    sync_folder(folder)
    return Rescue(verdict.events, aside)


def _set_aside(folder: Path) -> Path | None:
    # The log goes first and the head last. Cut short anywhere, what is left is still seen to be
    # damaged; and no new journal can ever meet an old one's log, which SQLite would mix into it.
    present = [folder / name for name in (*_LOGS, JOURNAL, HEAD) if (folder / name).exists()]
    if not present:
        return None
    number = 1
    while (aside := folder / f"set-aside-{number}").exists():
        number += 1
    make_folder(aside)
    for path in present:
        path.rename(aside / path.name)
    sync_folder(aside)
    sync_folder(folder)
    return aside


def _copy_good(damaged: Path, part: Path) -> None:
    copy = Database.connect(part)
    try:
        migrate(copy)
        end = Head(0, GENESIS)
        for batch in _good_batches(damaged):
            end = _append_same(copy, end, batch)
        copy.run("PRAGMA journal_mode=DELETE")
    finally:
        copy.close()


def _good_batches(damaged: Path) -> Iterator[list[StoredRow]]:
    batch: list[StoredRow] = []
    with suppress(JournalError):
        for row in _rows(damaged):
            batch.append(row)
            if len(batch) == _BATCH:
                yield batch
                batch = []
    yield batch


def _rows(damaged: Path) -> Iterator[StoredRow]:
    database = Database.connect(damaged, read_only=True)
    try:
        yield from follow(
            database.rows("SELECT seq, stream, version, data, hash FROM events ORDER BY seq")
        )
    finally:
        database.close()


def _append_same(copy: Database, end: Head, batch: list[StoredRow]) -> Head:
    """The same rows in the same order give the same chain, since nothing else goes into it."""
    expected: dict[str, int] = {}
    for row in batch:
        expected.setdefault(row.stream, row.version - 1)
    # Which streams were open is in the unchained table, which may be what is damaged. A stream
    # too many on the bench can be shut again; one too few would be a job that nobody sees.
    opened = dict.fromkeys(expected, True)
    stored = append(copy, end, [NewRow(row.stream, row.data) for row in batch], expected, opened)
    return Head(stored[-1].seq, stored[-1].hash) if stored else end
