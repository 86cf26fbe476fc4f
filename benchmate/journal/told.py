"""What a damaged journal can still tell: every row whose hash bears it out, wherever it stands.

A row is borne out by its own hash, given the hash before it; where its own hash is what was
damaged, by the row after it, or by the head, which remembers the last one's. A row whose number
was damaged finds its place by its hash alone. What nothing bears out is lost, and only that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from benchmate.journal import head as heads
from benchmate.journal.chain import GENESIS, link
from benchmate.journal.database import Database
from benchmate.journal.errors import Damaged, JournalError
from benchmate.journal.head import HEAD, Head
from benchmate.journal.reading import guarded

LOST = b'{"kind":"lost"}'
"""Stands in the place of an event that is lost, so that the others keep their numbers: some speak
of another by its number."""
MOST_PROBES = 1000
"""So many unreadable rows in a row, where nothing says how many there were, are the end."""


class Row(NamedTuple):
    """One row as it was found; any of it may be damaged."""

    seq: Any
    stream: Any
    version: Any
    data: Any
    hash: Any


class Told(NamedTuple):
    """What is borne out, in order, and of how many."""

    rows: tuple[Row, ...]
    lost: tuple[int, ...]
    """The numbers of the events that are not."""
    is_open: dict[str, bool]
    """Which streams were open, as far as that can be told; of any other: yes."""

    @property
    def total(self) -> int:
        """How many there were, as far as can be told."""
        return len(self.rows) + len(self.lost)


def told_by(journal: Path, head: Head | None = None) -> Told:
    """What the journal file can tell; `head`: what its head remembers, if it does.

    Never writes. A file that can't be read at all tells nothing. Raises only what isn't damage.
    """
    if not journal.exists():
        return _told([], head, {})
    try:
        database = Database.connect(journal, read_only=True)
    except Damaged:
        return _told([], head, {})
    try:
        total = head.events if head is not None else None
        return _told(list(_found(database, total)), head, _open_streams(database))
    finally:
        database.close()


def told_in(folder: Path) -> Told:
    """What the journal in a folder can tell, with the help of its head."""
    return told_by(folder / "journal.db", heads.read(folder / HEAD))


def filled(told: Told) -> list[tuple[str, bytes]]:
    """Stream and data of every row, with a stand-in wherever a stream would skip a number."""
    versions: dict[str, int] = {}
    out: list[tuple[str, bytes]] = []
    for row in told.rows:
        missing = row.version - versions.get(row.stream, 0) - 1
        out += [(row.stream, LOST)] * missing
        out.append((row.stream, row.data))
        versions[row.stream] = row.version
    return out


_AFTER = "SELECT seq, stream, version, data, hash FROM events WHERE seq > ? ORDER BY seq LIMIT ?"
_ALL = -1


def _found(database: Database, total: int | None) -> Iterator[Row]:
    """Every row that can be read at all, also beyond pages that can't."""
    at, failed, most = 0, 0, _ALL
    while (total is None or at < total) and failed <= MOST_PROBES:
        before = at
        try:
            for found in database.rows(_AFTER, (at, most)):
                at, failed = max(at + 1, int(found[0])), 0
                yield Row(*found)
        except (JournalError, TypeError, ValueError):
            # Rows are read one ahead: the last one before what can't be read is asked for alone.
            if most == 1:
                at, failed = at + 1, failed + 1
            most = 1
            continue
        if most == _ALL or at == before:
            return
        most = _ALL


def _told(found: list[Row], head: Head | None, is_open: dict[str, bool]) -> Told:
    by_seq: dict[int, Row] = {}
    for read in found:
        # Of two with one number, the sound one: a page of another table may lie among these.
        if type(read.seq) is int and read.seq > 0 and not _is_sound(by_seq.get(read.seq)):
            by_seq[read.seq] = read
    total = _last(by_seq) if head is None else head.events
    while total + 1 in by_seq:
        total += 1  # a program was killed between a commit and its note in the head
    astray = [row for row in found if by_seq.get(row.seq) is not row or row.seq > total]
    kept: list[Row] = []
    lost: list[int] = []
    before: bytes | None = GENESIS
    for seq in range(1, total + 1):
        row, after = by_seq.get(seq), by_seq.get(seq + 1)
        end = head.hash if head is not None and seq == head.events else None
        held = _held(row, before, after, end)
        if held is None:
            held = next((r for r in astray if _fits(r, before, r.hash)), None)
        if held is None:
            lost.append(seq)
            before = row.hash if row is not None and type(row.hash) is bytes else None
        else:
            kept.append(held)
            before = held.hash
    return Told(tuple(kept), tuple(lost), is_open)


def _last(by_seq: Mapping[int, Row]) -> int:
    """The last number that is no outlier, where no head says how many there were."""
    last = 0
    for seq in sorted(by_seq):
        if seq - last > MOST_PROBES:
            break
        last = seq
    return last


def _held(
    row: Row | None, before: bytes | None, after: Row | None, end: bytes | None
) -> Row | None:
    """The row with its right hash, where its own, the next row or the head bears it out."""
    if row is None or before is None or not _is_sound(row):
        return None
    right = link(before, row.stream, row.version, row.data)
    borne_out = right in (row.hash, end) or (after is not None and _fits(after, right, after.hash))
    return row._replace(hash=right) if borne_out else None


def _is_sound(row: Row | None) -> bool:
    if row is None:
        return False
    kinds = (type(row.stream), type(row.version), type(row.data))
    return kinds == (str, int, bytes) and 0 < row.version < 2**63


def _fits(row: Row, before: bytes | None, stored: Any) -> bool:
    if before is None or not _is_sound(row):
        return False
    return bool(link(before, row.stream, row.version, row.data) == stored)


def _open_streams(database: Database) -> dict[str, bool]:
    """The list of streams as far as each of its rows is guarded."""
    found: dict[str, bool] = {}
    try:
        rows = database.run("SELECT stream, version, is_open, guard FROM streams")
    except JournalError:
        return found
    for row in rows:
        try:
            info = guarded(*row)
        except JournalError:
            continue
        found[info.stream] = info.is_open
    return found
