"""Everything that can go wrong with a journal, as sentences a maker can act on.

One tree: catch `JournalError` for all of it, or a leaf for one cause. SQLite's own errors never
leave this package; `explain` turns each into the leaf that fits.
"""

from __future__ import annotations

import errno
import sqlite3
from pathlib import Path


class JournalError(Exception):
    """The journal could not do what was asked. `str()` is the sentence to show."""


def entries(count: int) -> str:
    """ "1 entry", "9 entries"."""
    return "1 entry" if count == 1 else f"{count} entries"


class StaleVersion(JournalError):  # noqa: N818 - named after the rule broken, like its siblings
    """Another writer was first: read the stream again, decide again, then append."""

    def __init__(self, stream: str, expected: int, actual: int) -> None:
        super().__init__(
            f"{stream} has moved on: somebody else recorded entry {actual} first; this was for "
            f"{expected + 1}."
        )
        self.stream = stream
        self.expected = expected
        self.actual = actual


class JournalBusy(JournalError):  # noqa: N818
    """Another process held the journal for longer than anyone should have to wait."""


class JournalMissing(JournalError):  # noqa: N818
    """There is no journal in the folder, and none was to be made."""


class JournalNewer(JournalError):  # noqa: N818
    """The journal was laid out by a newer benchmate."""


class JournalUnwritable(JournalError):  # noqa: N818
    """Nothing was recorded: the folder or the disk refuses to be written."""


class JournalFull(JournalUnwritable):
    """Nothing was recorded: the disk has no room left."""


class Damaged(JournalError):  # noqa: N818
    """What is stored isn't what was once recorded.

    `seq`, `stream` and `version` say where, as far as that is known. `backup` is the newest backup
    found good, or `None` when there is none. Nothing has been changed when this is raised.
    """

    def __init__(
        self,
        sentence: str,
        *,
        seq: int | None = None,
        stream: str | None = None,
        version: int | None = None,
        backup: Path | None = None,
    ) -> None:
        super().__init__(sentence)
        self.seq = seq
        self.stream = stream
        self.version = version
        self.backup = backup


# Primary result codes as SQLite numbers them (sqlite.org/rescode.html, from memory; the names
# in the sqlite3 module are the same numbers, but not every code has a name in Python 3.11).
_PERM, _BUSY, _LOCKED, _READONLY, _IOERR, _FULL, _CANTOPEN = 3, 5, 6, 8, 10, 13, 14
_NO_ROOM_FOR_INDEX = _IOERR | 19 << 8  # SQLITE_IOERR_SHMSIZE: the log's index couldn't be made
_WRITABLE_HELP = "Nothing was recorded. Make the folder writable, or move it with BENCHMATE_HOME."
_OPEN_HELP = (
    "Nothing was recorded. Make the folder writable and the files in it readable, or move it with "
    "BENCHMATE_HOME."
)
_FULL_HELP = "Nothing was recorded. Make some room on the disk, then do it again."


def explain(error: sqlite3.Error, folder: Path) -> JournalError:
    """The leaf of the tree, with its sentence, for an error SQLite raised about `folder`."""
    code = getattr(error, "sqlite_errorcode", None)
    primary = None if code is None else code & 0xFF
    name = getattr(error, "sqlite_errorname", None) or type(error).__name__
    if primary == _FULL or code == _NO_ROOM_FOR_INDEX:
        return JournalFull(f"The disk that holds {folder} is full. {_FULL_HELP}")
    if primary in (_BUSY, _LOCKED):
        return JournalBusy(
            f"Another benchmate has kept the logbook in {folder} locked for too long. "
            "Nothing was recorded; try again, or close the other one."
        )
    if primary in (_READONLY, _PERM):
        return JournalUnwritable(f"The logbook in {folder} can't be written. {_WRITABLE_HELP}")
    if primary == _CANTOPEN:
        return JournalUnwritable(f"The logbook in {folder} can't be opened. {_OPEN_HELP}")
    if primary == _IOERR:
        return JournalUnwritable(
            f"The disk that holds {folder} refused to read or write the logbook ({name}). "
            "Nothing was recorded. It may be full or failing; look at it before going on."
        )
    return Damaged(f"The logbook in {folder} can't be read as one ({name}: {error}).")


def is_refusal(error: Exception) -> bool:
    """Whether it was the file system that said no, rather than a lock or the content."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    return code in (_PERM, _READONLY, _IOERR, _CANTOPEN)


def explain_os(error: OSError, folder: Path) -> JournalError:
    """The same for the operating system's errors on the files beside the journal."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return JournalFull(f"The disk that holds {folder} is full. {_FULL_HELP}")
    reason = error.strerror or type(error).__name__
    return JournalUnwritable(f"{folder} can't be written ({reason}). {_WRITABLE_HELP}")
