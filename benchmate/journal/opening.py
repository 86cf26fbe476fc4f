"""The care taken before a journal is used: nothing is written until its end is known to be there.

SQLite tidies a damaged write-ahead log away when the last writer closes, and with it whatever a
patient person might still have read from it. So a journal is first looked at through a
connection that can't write.
"""

from __future__ import annotations

from pathlib import Path

from benchmate.journal import head as heads
from benchmate.journal.appending import last
from benchmate.journal.database import Database
from benchmate.journal.errors import JournalMissing, JournalUnwritable, explain_os
from benchmate.journal.files import JOURNAL, create_private, make_folder, sync_folder
from benchmate.journal.head import HEAD, Head, HeadFile
from benchmate.journal.keeping.verify import check_head, check_present
from benchmate.journal.reading import read_since
from benchmate.journal.schema import applied, is_readable, migrate, pending


def open_to_read(folder: Path) -> Database:
    """A connection that can't write, to a journal found whole. Raises as `Journal.open` does.

    An older layout is read as it is where that can be, and otherwise brought up to date first,
    which needs a folder that may be written.
    """
    head = heads.read(folder / HEAD)
    check_present(folder, head)
    database = Database.connect(folder / JOURNAL, read_only=True)
    try:
        _insist_whole(database, head)
        if not applied(database):
            raise JournalMissing(f"The logbook in {folder} is empty.")
        readable = is_readable(database)
    except BaseException:
        database.close()
        raise
    if readable:
        return database
    database.close()
    _bring_up_to_date(folder)
    return open_to_read(folder)


def _bring_up_to_date(folder: Path) -> None:
    try:
        database, head = open_to_write(folder, create=False)
    except JournalUnwritable as error:
        raise JournalUnwritable(
            f"The logbook in {folder} is of an older benchmate and has to be brought up to date "
            f"before it can be read, which was refused: {error}"
        ) from error
    head.close()
    database.close()


def open_to_write(folder: Path, *, create: bool) -> tuple[Database, HeadFile]:
    """A connection that writes, and the head it keeps. Raises as `Journal.open` does."""
    head = heads.read(folder / HEAD)
    try:
        check_present(folder, head)
    except JournalMissing:
        if not create:
            raise
        _create(folder)
    _look_first(folder, head)
    database = Database.connect(folder / JOURNAL)
    try:
        _insist_whole(database, head)
        if pending(database):
            migrate(database)
            _insist_whole(database, head)
        return database, _head_file(folder)
    except BaseException:
        database.close()
        raise


def _look_first(folder: Path, head: Head | None) -> None:
    database = Database.connect(folder / JOURNAL, read_only=True)
    try:
        _insist_whole(database, head)
    finally:
        database.close()


def _insist_whole(database: Database, head: Head | None) -> None:
    if not applied(database):
        # The tables themselves may have been in the log that was lost.
        check_head(head, 0, None)
    elif is_readable(database):
        _insist_on_end(database, head)


def _insist_on_end(database: Database, head: Head | None) -> None:
    """Raise `Damaged` unless all that the head remembers is there and the last event is good."""
    end = last(database)
    if head is None and end.events > 0:
        # The journal may have been made by another process between the two readings.
        head = heads.read(database.path.with_name(HEAD))
    found = database.run("SELECT hash FROM events WHERE seq = ?", (head.events if head else 0,))
    check_head(head, end.events, found[0][0] if found else None)
    read_since(database, max(end.events - 1, 0))


def _create(folder: Path) -> None:
    try:
        make_folder(folder)
        create_private(folder / JOURNAL)
        sync_folder(folder)
    except FileExistsError:
        return  # another process was first; the lock sorts out who lays out the tables
    except OSError as error:
        raise explain_os(error, folder) from error


def _head_file(folder: Path) -> HeadFile:
    try:
        return HeadFile(folder / HEAD)
    except OSError as error:
        raise explain_os(error, folder) from error
