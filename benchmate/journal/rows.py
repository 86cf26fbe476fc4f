"""What goes into a journal and what comes out: plain tuples, no event types."""

from __future__ import annotations

from typing import NamedTuple


class NewRow(NamedTuple):
    """One event's bytes, bound for `stream`; its version is given when it is appended."""

    stream: str
    data: bytes


class StoredRow(NamedTuple):
    """One event as it lies in the journal.

    `seq` counts 1, 2, 3 over the whole journal, `version` 1, 2, 3 within `stream`. `data` is never
    rewritten. `hash` is the 32-byte chain value after this row.
    """

    seq: int
    stream: str
    version: int
    data: bytes
    hash: bytes


class StreamInfo(NamedTuple):
    """Where a stream stands; `is_open` says whether the bench should read it when it starts."""

    stream: str
    version: int
    is_open: bool
