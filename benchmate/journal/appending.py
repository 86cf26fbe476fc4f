"""One append as one transaction: versions checked, rows chained, streams put in their place.

This is the one place that works on the bare connection. After a pause, as every weighing comes
after one, each call through a layer costs as much as a statement does.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence

from benchmate.journal.chain import GENESIS, link, stream_check
from benchmate.journal.database import Database
from benchmate.journal.errors import Damaged, StaleVersion, entries
from benchmate.journal.head import Head
from benchmate.journal.reading import ONE_STREAM, guarded
from benchmate.journal.rows import NewRow, StoredRow, StreamInfo

_LAST = "SELECT seq, hash FROM events ORDER BY seq DESC LIMIT 1"


def append(
    database: Database,
    known: Head,
    rows: Sequence[NewRow],
    expected: Mapping[str, int],
    open_streams: Mapping[str, bool],
) -> list[StoredRow]:
    """Write `rows`, or raise and write none; see `Journal.append`.

    `known` is the end this process has seen last: a journal that has since become shorter is
    damaged, however well it still reads.
    """
    _insist_on_expected(rows, expected, open_streams)
    with database.transaction() as connection:
        database.insist_in_place()
        infos = _at_versions(connection, expected)
        stored = _chained(rows, expected, _end(connection, known))
        connection.executemany(
            "INSERT INTO events (seq, stream, version, data, hash) VALUES (?, ?, ?, ?, ?)", stored
        )
        connection.executemany(
            "INSERT OR REPLACE INTO streams (stream, version, is_open, guard) VALUES (?, ?, ?, ?)",
            _places(infos, stored, open_streams),
        )
    return stored


def last(database: Database) -> Head:
    """Where the journal ends now. Raises `Damaged` where its last row has no number or hash."""
    match database.run(_LAST):
        case []:
            return Head(0, GENESIS)
        case [(int(seq), bytes(end))]:
            return Head(seq, end)
    raise Damaged("The last entry of the logbook can't be read.")


def _insist_on_expected(
    rows: Sequence[NewRow], expected: Mapping[str, int], open_streams: Mapping[str, bool]
) -> None:
    for stream in (*[row.stream for row in rows], *open_streams):
        if stream not in expected:
            raise ValueError(f"no expected version was given for {stream}")


def _at_versions(
    connection: sqlite3.Connection, expected: Mapping[str, int]
) -> dict[str, StreamInfo]:
    infos = {}
    for stream, version in expected.items():
        found = connection.execute(ONE_STREAM, (stream,)).fetchone()
        info = guarded(*found) if found else StreamInfo(stream, 0, False)
        if info.version != version:
            raise StaleVersion(stream, version, info.version)
        infos[stream] = info
    return infos


def _end(connection: sqlite3.Connection, known: Head) -> Head:
    events, end = connection.execute(_LAST).fetchone() or (0, GENESIS)
    if events < known.events or (events == known.events and end != known.hash):
        raise Damaged(
            f"The logbook has lost its end while it was open: it had {entries(known.events)} and "
            f"has {events}.",
            seq=events + 1,
        )
    return Head(events, end)


def _chained(rows: Sequence[NewRow], expected: Mapping[str, int], end: Head) -> list[StoredRow]:
    versions = dict(expected)
    stored = []
    seq, previous = end
    for stream, data in rows:
        seq += 1
        versions[stream] += 1
        previous = link(previous, stream, versions[stream], data)
        stored.append(StoredRow(seq, stream, versions[stream], data, previous))
    return stored


def _places(
    infos: Mapping[str, StreamInfo], stored: Sequence[StoredRow], open_streams: Mapping[str, bool]
) -> list[tuple[str, int, bool, bytes]]:
    versions = {row.stream: row.version for row in stored}
    places = []
    for stream in versions.keys() | open_streams.keys():
        version = versions.get(stream, infos[stream].version)
        is_open = open_streams.get(stream, infos[stream].is_open)
        places.append((stream, version, is_open, stream_check(stream, version, is_open=is_open)))
    return places
