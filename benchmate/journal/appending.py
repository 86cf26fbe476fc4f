"""One append as one transaction: versions checked, rows chained, streams put in their place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .chain import GENESIS, link, stream_check
from .database import Database
from .errors import Damaged, StaleVersion
from .head import Head
from .reading import stream_info
from .rows import NewRow, StoredRow, StreamInfo


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
    with database.transaction():
        database.insist_in_place()
        infos = _at_versions(database, expected)
        stored = _chained(rows, expected, _end(database, known))
        database.run_many(
            "INSERT INTO events (seq, stream, version, data, hash) VALUES (?, ?, ?, ?, ?)", stored
        )
        _place(database, infos, stored, open_streams)
    return stored


def last(database: Database) -> Head:
    """Where the journal ends now."""
    found = database.run("SELECT seq, hash FROM events ORDER BY seq DESC LIMIT 1")
    return Head(*found[0]) if found else Head(0, GENESIS)


def _insist_on_expected(
    rows: Sequence[NewRow], expected: Mapping[str, int], open_streams: Mapping[str, bool]
) -> None:
    for stream in (*[row.stream for row in rows], *open_streams):
        if stream not in expected:
            raise ValueError(f"no expected version was given for {stream}")


def _at_versions(database: Database, expected: Mapping[str, int]) -> dict[str, StreamInfo]:
    infos = {}
    for stream, version in expected.items():
        info = stream_info(database, stream) or StreamInfo(stream, 0, False)
        if info.version != version:
            raise StaleVersion(stream, version, info.version)
        infos[stream] = info
    return infos


def _end(database: Database, known: Head) -> Head:
    end = last(database)
    if end.events < known.events or (end.events == known.events and end.hash != known.hash):
        raise Damaged(
            f"The journal has lost its end while it was open: it had {known.events} events and "
            f"has {end.events}.",
            seq=end.events + 1,
        )
    return end


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


def _place(
    database: Database,
    infos: Mapping[str, StreamInfo],
    stored: Sequence[StoredRow],
    open_streams: Mapping[str, bool],
) -> None:
    versions = {row.stream: row.version for row in stored}
    places = []
    for stream in versions.keys() | open_streams.keys():
        version = versions.get(stream, infos[stream].version)
        is_open = open_streams.get(stream, infos[stream].is_open)
        places.append((stream, version, is_open, stream_check(stream, version, is_open=is_open)))
    database.run_many(
        "INSERT OR REPLACE INTO streams (stream, version, is_open, guard) VALUES (?, ?, ?, ?)",
        places,
    )
