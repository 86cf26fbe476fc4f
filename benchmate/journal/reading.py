"""Reading rows, each checked on the way: its place, its hash, and that none is missing.

A row's hash is worked out anew from its own bytes and the stored hash of the row before it, so a
command that reads one stream proves that stream without reading the rest. Whether the whole
chain hangs together is `verify`'s to say.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from benchmate.journal.chain import GENESIS, link, stream_check
from benchmate.journal.database import Database
from benchmate.journal.errors import Damaged
from benchmate.journal.rows import StoredRow, StreamInfo

ONE_STREAM = "SELECT stream, version, is_open, guard FROM streams WHERE stream = ?"
_COLUMNS = "e.seq, e.stream, e.version, e.data, e.hash"
_WITH_PREVIOUS = f"SELECT {_COLUMNS}, p.hash FROM events e LEFT JOIN events p ON p.seq = e.seq - 1"
# The open streams are few beside all of them: they lead, and the index finds their events.
_OPEN = (
    f"SELECT {_COLUMNS}, p.hash FROM streams s CROSS JOIN events e ON e.stream = s.stream"
    " LEFT JOIN events p ON p.seq = e.seq - 1 WHERE s.is_open ORDER BY e.seq"
)


def read_stream(database: Database, stream: str, after_version: int) -> list[StoredRow]:
    """A stream's rows after a version. Raises `Damaged` at the first that isn't as recorded."""
    with database.snapshot():
        version = stream_version(database, stream)
        found = database.run(
            f"{_WITH_PREVIOUS} WHERE e.stream = ? AND e.version > ? ORDER BY e.version",
            (stream, after_version),
        )
    rows = [_checked(row) for row in found]
    _insist_on_versions(stream, rows, range(after_version + 1, version + 1))
    return rows


def read_since(database: Database, seq: int, limit: int = -1) -> list[StoredRow]:
    """The rows of all streams after `seq`, at most `limit`. Raises `Damaged` as above."""
    found = database.run(
        f"SELECT {_COLUMNS} FROM events e WHERE e.seq >= ? ORDER BY e.seq LIMIT ?",
        (max(seq, 1), limit if limit < 0 or seq < 1 else limit + 1),
    )
    return list(follow(found, seq))


def read_open(database: Database) -> list[StoredRow]:
    """The rows of every open stream, in `seq` order. Raises `Damaged` as above."""
    with database.snapshot():
        infos = [info for info in streams(database) if info.is_open]
        found = database.run(_OPEN)
    rows = [_checked(row) for row in found]
    by_stream: dict[str, list[StoredRow]] = {info.stream: [] for info in infos}
    for row in rows:
        by_stream[row.stream].append(row)
    for info in infos:
        _insist_on_versions(info.stream, by_stream[info.stream], range(1, info.version + 1))
    return rows


def streams(database: Database) -> list[StreamInfo]:
    """Every stream and where it stands, by name. Raises `Damaged`."""
    found = database.run("SELECT stream, version, is_open, guard FROM streams ORDER BY stream")
    return [guarded(*row) for row in found]


def stream_version(database: Database, stream: str) -> int:
    """How many rows a stream has; zero for one that isn't there. Raises `Damaged`."""
    info = stream_info(database, stream)
    return 0 if info is None else info.version


def stream_info(database: Database, stream: str) -> StreamInfo | None:
    """Where one stream stands, or `None`. Raises `Damaged`."""
    found = database.run(ONE_STREAM, (stream,))
    return guarded(*found[0]) if found else None


def follow(found: Iterable[tuple[Any, ...]], seq: int = 0) -> Iterator[StoredRow]:
    """Check rows that follow one another in `seq`, and give them.

    With `seq` above 0 the first row found is row `seq` itself: it is only the link to those
    after it. Raises `Damaged` at the first row that breaks the chain or isn't the next.
    """
    rows = iter(found)
    previous = GENESIS
    if seq > 0:
        first = next(rows, None)
        if first is None:
            raise Damaged(f"Entry {seq} is gone from the logbook, and all after it.", seq=seq)
        if first[0] != seq:
            raise _gap(seq)
        previous = first[4]
    for expected, row in enumerate(rows, max(seq, 0) + 1):
        if row[0] != expected:
            raise _gap(expected)
        yield _checked((*row, previous))
        previous = row[4]


def _checked(found: tuple[Any, ...]) -> StoredRow:
    """The row in a tuple of its columns and the stored hash of the row before it."""
    seq, stream, version, data, stored, previous = found
    if previous is None:
        if seq != 1:
            raise _gap(seq - 1)
        previous = GENESIS
    if not _fits(previous, stream, version, data, stored):
        raise Damaged(
            f"Entry {seq} ({stream}, its number {version}) is not what was recorded: its bytes no "
            "longer give its check sum.",
            seq=seq,
            stream=str(stream),
            version=version if isinstance(version, int) else None,
        )
    return StoredRow(seq, stream, version, data, stored)


def _fits(previous: bytes, stream: str, version: int, data: bytes, stored: bytes) -> bool:
    # A flipped bit in a row's header turns its text into a number or its number into a text.
    if type(stream) is not str or type(version) is not int or type(data) is not bytes:
        return False
    return version > 0 and link(previous, stream, version, data) == stored


def guarded(stream: str, version: int, is_open: int, guard: bytes) -> StreamInfo:
    """A row of the list of streams, checked against its guard. Raises `Damaged`."""
    whole = type(stream) is str and type(version) is int and version >= 0 and is_open in (0, 1)
    if not whole or guard != stream_check(stream, version, is_open=bool(is_open)):
        raise Damaged(f"The list of jobs and places is damaged at {stream!r}, number {version!r}.")
    return StreamInfo(stream, version, bool(is_open))


def _insist_on_versions(stream: str, rows: list[StoredRow], versions: range) -> None:
    present = [row.version for row in rows]
    if present == list(versions):
        return
    missing = sorted(set(versions) - set(present))
    if missing:
        raise Damaged(
            f"Entry {missing[0]} of {stream} is missing from the logbook.",
            stream=stream,
            version=missing[0],
        )
    raise Damaged(
        f"{stream} has more entries than the list of jobs and places says.", stream=stream
    )


def _gap(seq: int) -> Damaged:
    return Damaged(
        f"Entry {seq} is missing from the logbook, though later ones are there.", seq=seq
    )
