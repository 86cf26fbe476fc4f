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
from benchmate.journal.errors import Damaged, explain_os
from benchmate.journal.files import (
    JOURNAL,
    READY,
    create_private,
    make_folder,
    sync_file,
    sync_folder,
)
from benchmate.journal.head import HEAD, Head
from benchmate.journal.keeping.verify import Verdict, verify_copy
from benchmate.journal.rows import NewRow
from benchmate.journal.schema import migrate
from benchmate.journal.told import Told, filled, told_in

_LOGS = (f"{JOURNAL}-wal", f"{JOURNAL}-shm")
_BATCH = 1000


class Rescue(NamedTuple):
    """How many events the journal has now, of how many, and where what was there before lies."""

    events: int
    set_aside: Path | None
    lost: tuple[int, ...] = ()
    """The numbers of those that nothing bears out any more."""

    @property
    def total(self) -> int:
        """How many there were, as far as can be told."""
        return self.events + len(self.lost)


def restore(backup: Path, folder: Path) -> Rescue:
    """Put a backup, once it is found good, in the place of the journal in `folder`.

    Close every bench first: one that stays open refuses to record anything more. Raises `Damaged`
    when the backup itself isn't whole, `JournalUnwritable` or `JournalFull`.
    """
    verdict = verify_copy(backup)
    if not verdict.ok:
        raise Damaged(f"The backup {backup} isn't whole: {verdict.sentence}")
    with room_for(folder) as part:
        part.write_bytes(backup.read_bytes())
        return put_in_place(part, folder, verify_copy(part))


def salvage(folder: Path) -> Rescue:
    """Keep every event that its hash, its neighbour or the head bears out, as the new journal.

    Where a stream would skip a number, a stand-in says that an event was lost there. What was
    there is set aside whole. Raises `JournalUnwritable` or `JournalFull`.
    """
    ready = folder / READY
    if ready.exists() and (verdict := verify_copy(ready)).ok:
        done = _placed(folder, verdict, cut_short=True)
        told = told_in(done.set_aside or folder)
    else:
        told = told_in(folder)
        with room_for(folder) as part:
            write(told, part)
            done = put_in_place(part, folder, verify_copy(part))
    return Rescue(len(told.rows), done.set_aside, told.lost)


def copy_whole(folder: Path, target: Path) -> Told:
    """What `salvage` would keep, as a journal of its own in an empty folder; `folder` stays as it
    is. For reading what is whole before anything is set aside."""
    told = told_in(folder)
    part = target / JOURNAL
    try:
        create_private(part)
        write(told, part)
        verdict = verify_copy(part)
        heads.write_fresh(target / HEAD, Head(verdict.events, verdict.hash))
    except OSError as error:
        raise explain_os(error, target) from error
    return told


@contextmanager
def room_for(folder: Path) -> Iterator[Path]:
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


def put_in_place(part: Path, folder: Path, verdict: Verdict) -> Rescue:
    """Let a filled file be the folder's journal; what was there is set aside whole.

    From the first rename on the folder is named as damaged until all is done, and `salvage` goes
    on where a power cut ended it.
    """
    if not verdict.ok:
        raise Damaged(f"What was written to {part} doesn't read back: {verdict.sentence}")
    sync_file(part)
    cut_short = (folder / READY).exists()
    part.replace(folder / READY)
    sync_folder(folder)
    return _placed(folder, verdict, cut_short=cut_short)


def _placed(folder: Path, verdict: Verdict, *, cut_short: bool) -> Rescue:
    aside = _set_aside(folder, cut_short=cut_short)
    heads.write_fresh(folder / HEAD, Head(verdict.events, verdict.hash))
    (folder / READY).rename(folder / JOURNAL)
    sync_folder(folder)
    return Rescue(verdict.events, aside)


def _set_aside(folder: Path, *, cut_short: bool) -> Path | None:
    # The log goes first: no new journal may ever meet an old one's log, which SQLite would mix
    # into it. The head goes last, so a folder that holds one holds all.
    present = [folder / name for name in (*_LOGS, JOURNAL, HEAD) if (folder / name).exists()]
    number = 1
    while (folder / f"set-aside-{number}").exists():
        number += 1
    begun = folder / f"set-aside-{number - 1}"
    if cut_short and begun.exists() and not (folder / JOURNAL).exists() and (begun / HEAD).exists():
        return begun
    if cut_short and begun.exists() and not any((begun / p.name).exists() for p in present):
        aside = begun
    elif present:
        aside = folder / f"set-aside-{number}"
    else:
        return None
    make_folder(aside)
    for path in present:
        path.rename(aside / path.name)
    sync_folder(aside)
    sync_folder(folder)
    return aside


def write(told: Told, part: Path) -> None:
    """The rows in their order; without a loss they give the same chain, since nothing else goes
    into it."""
    copy = Database.connect(part)
    rows = [NewRow(stream, data) for stream, data in filled(told)]
    try:
        migrate(copy)
        end = Head(0, GENESIS)
        versions: dict[str, int] = {}
        for at in range(0, len(rows), _BATCH):
            batch = rows[at : at + _BATCH]
            streams = {row.stream for row in batch}
            expected = {s: versions.get(s, 0) for s in streams}
            opened = {s: told.is_open.get(s, True) for s in streams}
            stored = append(copy, end, batch, expected, opened)
            end = Head(stored[-1].seq, stored[-1].hash)
            versions.update({row.stream: row.version for row in stored})
        copy.run("PRAGMA journal_mode=DELETE")
    finally:
        copy.close()
