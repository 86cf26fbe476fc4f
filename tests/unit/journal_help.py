"""Small makings for the journal's tests."""

from __future__ import annotations

from pathlib import Path

from benchmate.journal import Journal, NewRow, StoredRow


def add(journal: Journal, stream: str, *texts: str, is_open: bool | None = None) -> StoredRow:
    """Append texts to a stream at whatever version it has, and return the last row."""
    version = len(journal.read_stream(stream))
    flags = None if is_open is None else {stream: is_open}
    rows = [NewRow(stream, text.encode()) for text in texts]
    return journal.append(rows, {stream: version}, open_streams=flags)[-1]


def filled(folder: Path, events: int = 20) -> Journal:
    """An open journal with `events` events, three in each commit's turn of streams."""
    journal = Journal.open(folder)
    for number in range(events):
        stream = f"job:{number % 3}"
        add(journal, stream, f'{{"kind": "weighed", "n": {number}}}', is_open=number % 3 == 0)
    return journal


def texts(rows: list[StoredRow]) -> list[str]:
    return [row.data.decode() for row in rows]
