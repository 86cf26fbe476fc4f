"""Backups: written by SQLite's own copying, read back and checked before they count as one."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from benchmate.journal.database import Database
from benchmate.journal.errors import Damaged, JournalError, JournalUnwritable, entries, explain_os
from benchmate.journal.files import (
    JOURNAL,
    READY,
    create_private,
    make_folder,
    sync_file,
    sync_folder,
)
from benchmate.journal.keeping.verify import Verdict, verify_copy
from benchmate.journal.told import told_by, told_in

KEEP = 10
_FOLDER = "backups"
_ENDING = ".journal.db"


class BackupInfo(NamedTuple):
    """A backup that was read back: where it lies, how many events, and the chain after them."""

    path: Path
    events: int
    hash: bytes


def write_backup(folder: Path, target: Path) -> BackupInfo:
    """Copy the journal in `folder` to a new file and check the copy. See `Journal.backup`."""
    if target.exists():
        raise JournalUnwritable(f"{target} exists already; a backup never replaces a file.")
    part = target.with_name(target.name + ".part")
    try:
        verdict = _copied(folder, part)
        sync_file(part)
        part.rename(target)
        sync_folder(target.parent)
    except OSError as error:
        raise explain_os(error, target.parent) from error
    finally:
        with suppress(OSError):
            part.unlink()
    return BackupInfo(target, verdict.events, verdict.hash)


def write_automatic(folder: Path, stamp: str, keep: int = KEEP) -> BackupInfo:
    """A backup under `backups/`. The oldest beyond `keep` go, but only once this one is good."""
    place = folder / _FOLDER
    try:
        make_folder(place)
    except OSError as error:
        raise explain_os(error, folder) from error
    made = write_backup(folder, _free_name(place, stamp))
    for old in automatic(folder)[keep:]:
        with suppress(OSError):
            old.unlink()
    return made


def automatic(folder: Path) -> list[Path]:
    """The automatic backups beside a journal, newest first."""
    return sorted((folder / _FOLDER).glob(f"*{_ENDING}"), reverse=True)


def last_good(folder: Path) -> BackupInfo | None:
    """The newest automatic backup that reads back whole."""
    for path in automatic(folder):
        with suppress(JournalError):
            verdict = verify_copy(path)
            if verdict.ok:
                return BackupInfo(path, verdict.events, verdict.hash)
    return None


def with_advice(damage: Damaged, folder: Path) -> Damaged:
    """The same damage, told with what can be done about it."""
    found = last_good(folder)
    told = _told(folder)
    # What to do comes first: on a small screen the end of a long sentence is cut off. Of the two
    # ways the one that brings back more leads.
    salvage = f"`benchmate logbook salvage` keeps {told} entries that are whole"
    if found is None:
        advice = f"{salvage}; there is no good backup."
    else:
        restore = (
            f"`benchmate logbook restore` puts back the last good backup, {found.path.name} "
            f"({entries(found.events)})"
        )
        first, then = (restore, salvage) if found.events >= told.kept else (salvage, restore)
        advice = f"{first}; {then}."
    return Damaged(
        f"{damage} {advice} Nothing was overwritten.",
        seq=damage.seq,
        stream=damage.stream,
        version=damage.version,
        backup=found.path if found else None,
    )


class _Told(NamedTuple):
    """How many events a salvage would keep, of how many."""

    kept: int
    total: int

    def __str__(self) -> str:
        return f"{self.kept} of {self.total}"


def _told(folder: Path) -> _Told:
    ready = folder / READY
    try:
        told = told_by(ready) if ready.exists() else told_in(folder)
    except JournalError:
        return _Told(0, 0)
    return _Told(len(told.rows), told.total)


def _copied(folder: Path, part: Path) -> Verdict:
    part.unlink(missing_ok=True)
    create_private(part)
    source = Database.connect(folder / JOURNAL, read_only=True)
    try:
        source.copy_to(part)
    finally:
        source.close()
    verdict = verify_copy(part)
    if not verdict.ok:
        raise with_advice(Damaged(verdict.sentence, seq=verdict.seq, stream=verdict.stream), folder)
    return verdict


def _free_name(place: Path, stamp: str) -> Path:
    # Two in one second or one day: the second must sort after the first.
    number = 1
    while (path := place / f"{stamp}-{number:03}{_ENDING}").exists():
        number += 1
    return path
