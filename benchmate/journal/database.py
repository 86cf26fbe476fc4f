"""One SQLite connection, set up for a journal and speaking in this package's errors."""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, suppress
from pathlib import Path
from typing import Any

from benchmate.clock import steady_s, wait_s
from benchmate.journal.errors import (
    Damaged,
    JournalBusy,
    JournalError,
    JournalUnwritable,
    explain,
    is_refusal,
)

BUSY_TIMEOUT_S = 10.0
PAGE_BYTES = 1024
"""A weighing changes one page each of the events, their index and the list of streams. In small
pages the log takes about as much for all three as SQLite's usual 4096 take for one, and a commit
costs about a tenth of a bare one less. Reading is the price: the open jobs of years take a quarter
longer, a whole check half as long again. Only a new file heeds it."""
_FULL = 2  # what PRAGMA synchronous answers for FULL


class Database:
    """A connection that several threads may use in turn.

    `run` reads or writes, `transaction` writes several things as one, `snapshot` reads several
    things as they stood at one moment.
    """

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self._connection = connection
        self._mutex = threading.RLock()
        self._writing = _Between(connection, self._mutex, "BEGIN IMMEDIATE", path.parent)
        self._reading = _Between(connection, self._mutex, "BEGIN", path.parent)
        # As text: this is asked at every append, where a `Path` costs more than the question.
        self._name = str(path)
        self._file = os.stat(self._name).st_ino

    @classmethod
    def connect(cls, path: Path, *, read_only: bool = False) -> Database:
        """Open an existing file. Raises a `JournalError`; writing is tried out, not assumed."""
        with _translated(path.parent):
            database = cls(path, _reader(path) if read_only else _connection(path, "mode=rw"))
        try:
            if not read_only:
                database._prepare_to_write()
        except BaseException:
            database.close()
            raise
        return database

    def run(self, sql: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        """Run one statement and return all its rows."""
        with self._mutex:
            try:
                return self._connection.execute(sql, values).fetchall()
            except _SQLITE_SAYS as error:
                raise _translation(error, self.path.parent) from error

    def rows(self, sql: str, values: Sequence[Any] = ()) -> Iterator[tuple[Any, ...]]:
        """Run one query and give its rows one by one; for a connection of one's own."""
        with _translated(self.path.parent):
            # No `yield from`: given up halfway, it would close the cursor after the connection.
            for row in self._connection.execute(sql, values):  # noqa: UP028
                yield row

    def transaction(self) -> AbstractContextManager[sqlite3.Connection]:
        """Everything inside is committed and synced, or none of it.

        Gives the bare connection, for whoever minds what `run` costs for each statement; SQLite's
        errors are translated on the way out.
        """
        return self._writing

    def snapshot(self) -> AbstractContextManager[sqlite3.Connection]:
        """Everything read inside is of one moment, whatever other processes commit meanwhile."""
        return self._reading

    def insist_in_place(self) -> None:
        """Raise `JournalUnwritable` when the file was moved aside or replaced since it was opened.

        A restore by another process does that; what is written here would land in the old file.
        """
        try:
            same = os.stat(self._name).st_ino == self._file
        except OSError:
            same = False
        if not same:
            raise JournalUnwritable(
                f"{self.path} was moved or replaced while it was open here. Nothing was recorded; "
                "leave benchmate and start it again."
            )

    def copy_to(self, target: Path) -> None:
        """Write a whole copy as one plain file, as it stands at one moment."""
        with self._mutex, _translated(target.parent):
            copy = sqlite3.connect(target, isolation_level=None)
            try:
                self._connection.backup(copy)
                # A copy has no log beside it, so it is put back to a mode that needs none.
                copy.execute("PRAGMA journal_mode=DELETE").fetchone()
            finally:
                copy.close()

    def close(self) -> None:
        """Close the connection; closing one twice does nothing."""
        with self._mutex:
            self._connection.close()

    def _prepare_to_write(self) -> None:
        self.run(f"PRAGMA page_size={PAGE_BYTES}")
        self._insist_on_wal()
        self.run("PRAGMA synchronous=FULL")
        if self.run("PRAGMA synchronous") != [(_FULL,)]:
            raise JournalUnwritable(f"SQLite won't sync its writes for {self.path}.")
        # SQLite opens a write-protected file for reading without a word. A lock that is taken and
        # given back shows it now instead of at the first weighing.
        with self.transaction():
            pass

    def _insist_on_wal(self) -> None:
        # Two processes that turn a new file to this mode at once get "locked" at once, whatever
        # the busy timeout: SQLite doesn't wait here.
        give_up = steady_s() + BUSY_TIMEOUT_S
        while True:
            try:
                answer = self.run("PRAGMA journal_mode=WAL")[0][0]
                break
            except JournalBusy:
                if steady_s() > give_up:
                    raise
                wait_s(0.01)
        if answer != "wal":
            raise JournalUnwritable(
                f"The file system under {self.path.parent} can't hold a logbook safely (SQLite "
                f"answered {answer!r} when asked for a write-ahead log). Move it to a local disk "
                "with BENCHMATE_HOME."
            )


class _Between(AbstractContextManager[sqlite3.Connection]):
    """From BEGIN to COMMIT, or to ROLLBACK when something was raised inside; used again and again.

    A class and not a generator: this stands in the way of every weighing.
    """

    def __init__(
        self, connection: sqlite3.Connection, mutex: threading.RLock, begin: str, folder: Path
    ) -> None:
        self._connection = connection
        self._mutex = mutex
        self._begin = begin
        self._folder = folder

    def __enter__(self) -> sqlite3.Connection:
        self._mutex.acquire()
        try:
            self._connection.execute(self._begin)
        except BaseException as error:
            self._mutex.release()
            self._translate(error)
            raise
        return self._connection

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, _trace: object
    ) -> None:
        try:
            if error is None:
                self._connection.execute("COMMIT")
        except BaseException as failure:
            self._translate(failure)
            raise
        finally:
            # SQLite may have rolled back itself; the first error is the one to be seen.
            if self._connection.in_transaction:
                with suppress(sqlite3.Error):
                    self._connection.execute("ROLLBACK")
            self._mutex.release()
        self._translate(error)

    def _translate(self, error: BaseException | None) -> None:
        if isinstance(error, _SQLITE_SAYS):
            raise _translation(error, self._folder) from error


def _connection(path: Path, mode: str) -> sqlite3.Connection:
    return sqlite3.connect(
        f"{path.absolute().as_uri()}?{mode}",
        uri=True,
        timeout=BUSY_TIMEOUT_S,
        isolation_level=None,
        check_same_thread=False,
    )


def _reader(path: Path) -> sqlite3.Connection:
    """A connection that can't write; one that reads can't spoil a damaged log by tidying it up."""
    connection = _connection(path, "mode=ro")
    try:
        connection.execute("SELECT 1 FROM sqlite_master").fetchone()
    except Exception as error:
        connection.close()
        if not is_refusal(error) or _log_size(path) > 0:
            raise
        # A write-protected folder has no room for the log's index. With no log there is nothing
        # to miss, and the file can be read as it lies.
        connection = _connection(path, "mode=ro&immutable=1")
    return connection


def _log_size(path: Path) -> int:
    log = path.with_name(path.name + "-wal")
    return log.stat().st_size if log.exists() else 0


_SQLITE_SAYS = (sqlite3.Error, UnicodeDecodeError, OverflowError)


def _translation(error: Exception, folder: Path) -> JournalError:
    if isinstance(error, sqlite3.Error):
        return explain(error, folder)
    if isinstance(error, UnicodeDecodeError):
        # SQLite quotes the damaged name in its message, and the message then can't be decoded.
        return Damaged(f"The logbook in {folder} can't be read as one ({error.reason}).")
    return JournalUnwritable(f"A number is too large for the logbook: {error}.")


@contextmanager
def _translated(folder: Path) -> Iterator[None]:
    try:
        yield
    except _SQLITE_SAYS as error:
        raise _translation(error, folder) from error
