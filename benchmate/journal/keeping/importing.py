"""A journal made from the lines that an export wrote: how a shop moves to another laptop.

Every line's hash is worked out again from the first one on, so that a line that is missing, doubled
or changed is named by its number, and nothing is put in place.
"""

from __future__ import annotations

import json
import struct
from base64 import b64decode
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from benchmate.journal.chain import GENESIS, link
from benchmate.journal.errors import JournalError
from benchmate.journal.files import JOURNAL
from benchmate.journal.keeping.rescue import Rescue, put_in_place, room_for, write
from benchmate.journal.keeping.verify import verify_copy
from benchmate.journal.told import Row, Told

CLOSED = "closed"
"""The key of an export's last line: the streams that were closed."""

_NOT_WHOLE = (KeyError, TypeError, ValueError, AttributeError, OverflowError, struct.error)


class NotImported(JournalError):  # noqa: N818 - named as the sentence begins
    """What was to be imported isn't a whole export, or there is a journal already."""


def import_lines(lines: Iterable[str], folder: Path) -> Rescue:
    """Make a folder's journal from exported lines. Raises NotImported, `JournalUnwritable` or
    `JournalFull`; then nothing has changed."""
    if (folder / JOURNAL).exists():
        raise NotImported(
            f"There is a logbook in {folder} already; import into a home of its own (--home)."
        )
    told = _read(lines)
    with room_for(folder) as part:
        write(told, part)
        return put_in_place(part, folder, verify_copy(part))


def _read(lines: Iterable[str]) -> Told:
    rows: list[Row] = []
    closed: tuple[str, ...] = ()
    previous = GENESIS
    for number, text in enumerate(lines, 1):
        if not text.strip():
            continue
        record = _record(text, number)
        try:
            if CLOSED in record:
                closed = tuple(map(str, record[CLOSED]))
                continue
            row = _row(record)
            previous = link(previous, row.stream, row.version, row.data)
        except _NOT_WHOLE as error:
            raise NotImported(f"Line {number} is no whole entry: {error}.") from error
        if row.seq != len(rows) + 1 or row.hash != previous:
            raise NotImported(
                f"Line {number}: entry {row.seq} doesn't follow on what stands before it: a line "
                "is missing, doubled or changed. Export anew."
            )
        rows.append(row)
    if not rows:
        raise NotImported("There is no entry in it: give a file that `logbook export` wrote.")
    return Told(tuple(rows), (), dict.fromkeys(closed, False))


def _record(text: str, number: int) -> dict[str, Any]:
    try:
        record = json.loads(text)
    except ValueError as error:
        raise NotImported(f"Line {number} isn't JSON: {error}.") from error
    if not isinstance(record, dict):
        raise NotImported(f"Line {number} is no entry: {text[:40]!r}.")
    return record


def _row(record: dict[str, Any]) -> Row:
    kept = record.get("data_base64")
    data = b64decode(kept, validate=True) if kept is not None else record["data"].encode()
    place = int(record["seq"]), str(record["stream"]), int(record["version"])
    return Row(*place, data, bytes.fromhex(record["hash"]))
