"""The whole journal as JSON lines: one stored row a line, exactly as it lies there.

```json
{"seq": 1, "stream": "job:k3", "version": 1, "hash": "9f…", "data": "{\\"kind\\": …}"}
```
Where streams were closed, a last line names them: {"closed": ["job:k3"]}. `data` is the text of
the stored bytes, not the object it may spell, so that anyone can work out the
chain again; bytes that aren't UTF-8 stand in `data_base64` instead.
"""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Iterator

from benchmate.journal.rows import StoredRow
from benchmate.journal.store import Journal

_BATCH = 1000


def export_lines(journal: Journal, after_seq: int = 0) -> Iterator[str]:
    """Every row after `after_seq` as one line without its line end, read in small batches.

    Raises `Damaged` at the first bad row; the lines before it are good.
    """
    seq = after_seq
    while rows := journal.read_since(seq, _BATCH):
        yield from map(line, rows)
        seq = rows[-1].seq
    closed = [info.stream for info in journal.streams() if not info.is_open]
    if closed:
        yield json.dumps({"closed": closed}, ensure_ascii=False)


def line(row: StoredRow) -> str:
    """One row as a line of JSON."""
    record: dict[str, object] = {
        "seq": row.seq,
        "stream": row.stream,
        "version": row.version,
        "hash": row.hash.hex(),
    }
    try:
        record["data"] = row.data.decode()
    except UnicodeDecodeError:
        record["data_base64"] = b64encode(row.data).decode()
    return json.dumps(record, ensure_ascii=False)
