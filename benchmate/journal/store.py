"""The journal: append, read, and the care taken when it is opened."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from types import TracebackType
from typing import Self

from benchmate.journal import appending, reading
from benchmate.journal.database import Database
from benchmate.journal.deliveries import Deliveries
from benchmate.journal.errors import Damaged
from benchmate.journal.head import Head, HeadFile
from benchmate.journal.keeping import backup as backups
from benchmate.journal.keeping.backup import BackupInfo
from benchmate.journal.keeping.verify import Progress, Verdict, verify
from benchmate.journal.opening import open_to_read, open_to_write
from benchmate.journal.rows import NewRow, StoredRow, StreamInfo


class Journal:
    """An append-only journal of streams of bytes in one folder.

    Many processes may have it open and write; threads of one process may share it. Close it, or
    use it in a `with`. Every method may raise a `JournalError`.
    """

    def __init__(self, folder: Path, database: Database, head: HeadFile | None) -> None:
        """Use `Journal.open`."""
        self.folder = folder
        self.deliveries = Deliveries(database)
        self._database = database
        self._head = head
        self._known = appending.last(database)
        # A writer killed between its commit and its note left the head one commit behind.
        self._note()

    @classmethod
    def open(cls, folder: Path, *, create: bool = True, read_only: bool = False) -> Self:
        """Open the journal in `folder`; with `create`, make an empty one where there is none.

        Raises `JournalMissing`; `Damaged` (with the last good backup named) when its end is lost
        or it can't be read as a journal; `JournalUnwritable` or `JournalFull` when the folder
        can't be written and `read_only` wasn't asked for; `JournalNewer`, `JournalBusy`. A
        read-only journal writes no event, whatever the rights.
        """
        try:
            if read_only:
                return cls(folder, open_to_read(folder), None)
            database, head = open_to_write(folder, create=create)
            return cls(folder, database, head)
        except Damaged as damage:
            raise backups.with_advice(damage, folder) from damage

    def append(
        self,
        rows: Sequence[NewRow],
        expected: Mapping[str, int],
        *,
        open_streams: Mapping[str, bool] | None = None,
    ) -> tuple[StoredRow, ...]:
        """Record rows in one or several streams, all or none, and return them as stored.

        `expected` gives, for every stream written and any other the decision rested on, the
        version it was decided at (0 for a new one). `open_streams` opens or shuts streams in the
        same commit; a new stream that isn't named is shut. When this returns, the rows are synced.

        Raises `StaleVersion` when a stream has moved on, `JournalFull` or `JournalUnwritable` when
        the disk refuses, and then nothing was recorded.
        """
        stored = appending.append(self._database, self._known, rows, expected, open_streams or {})
        if stored:
            self._known = Head(stored[-1].seq, stored[-1].hash)
            self._note()
        return tuple(stored)

    def read_stream(self, stream: str, after_version: int = 0) -> list[StoredRow]:
        """A stream's rows after a version, each checked; raises `Damaged` at a bad one."""
        return reading.read_stream(self._database, stream, after_version)

    def read_since(self, seq: int, limit: int = -1) -> list[StoredRow]:
        """All streams' rows after `seq` (at most `limit`), each checked."""
        return reading.read_since(self._database, seq, limit)

    def read_open(self) -> list[StoredRow]:
        """The rows of all open streams in `seq` order, each checked."""
        return reading.read_open(self._database)

    def streams(self) -> list[StreamInfo]:
        """Every stream, by name."""
        return reading.streams(self._database)

    @property
    def end(self) -> int:
        """The number of the last event this process knows of: its own, or the last at opening."""
        return self._known.events

    def data_version(self) -> int:
        """A number that changes when another connection has committed something.

        Microseconds; the one thing that may be polled.
        """
        return int(self._database.run("PRAGMA data_version")[0][0])

    def insist_in_place(self) -> None:
        """Raise `JournalUnwritable` where the file was taken away or replaced since it was opened.

        Microseconds; may be polled.
        """
        self._database.insist_in_place()

    @property
    def trouble(self) -> str | None:
        """A sentence when `journal.head` can't be kept; the events themselves are safe."""
        return None if self._head is None else self._head.trouble

    def verify(self, progress: Progress | None = None) -> Verdict:
        """Check everything through a connection of its own; may run in any thread.

        `progress` is called with (events done, events in all) from that thread.
        """
        return verify(self.folder, progress)

    def backup(self, target: Path) -> BackupInfo:
        """Write the journal as one file `target`, which must not exist, and check it.

        Raises `Damaged` when the copy isn't whole, and then leaves none.
        """
        return backups.write_backup(self.folder, target)

    def close(self) -> None:
        """Let go of the files. What was appended is safe without it."""
        if self._head is not None:
            self._head.close()
            self._head = None
        self._database.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def _note(self) -> None:
        if self._head is not None:
            self._head.note(self._known)
