"""The logbook: the journal as a person reads it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from benchmate.bench.service import Bench
from benchmate.job.deciding.taking_back import describe
from benchmate.job.events import stored as ev
from benchmate.job.state.fold import voided
from benchmate.job.state.shop import JOB
from benchmate.job.state.state import Recorded
from benchmate.job.words.event_text import Known, tell
from benchmate.job.words.phrases import short_address
from benchmate.journal import StoredRow


@dataclass(frozen=True)
class Entry:
    """One line of the logbook. Times are Unix seconds as the wall clock showed them."""

    seq: int
    stream: str
    version: int
    happened_s: float | None
    recorded_s: float | None
    kind: str
    text: str
    taken_back: bool = False


def entries(bench: Bench, stream: str | None = None) -> Iterator[Entry]:
    """All entries of a stream, or of the whole journal, oldest first."""
    rows = bench.journal.read_stream(stream) if stream else bench.journal.read_since(0)
    events = [(row, ev.decode(row.data)) for row in rows]
    void = _void(events)
    for row, event in events:
        yield entry_of(bench, row, event, (row.stream, row.version) in void)


def _void(events: list[tuple[StoredRow, ev.AnyEvent | ev.Unknown]]) -> set[tuple[str, int]]:
    by_stream: dict[str, list[Recorded]] = {}
    for row, event in events:
        by_stream.setdefault(row.stream, []).append(Recorded(row.version, event))
    return {(name, v) for name, records in by_stream.items() for v in voided(records)}


def telling(bench: Bench, row: StoredRow, event: ev.AnyEvent | ev.Unknown) -> str:
    """An entry in words. What was taken back or corrected is named, and by its address."""
    known = Known(
        partial(_name_of, bench, row.stream), partial(_window, bench), bench.settings.units
    )
    return tell(event, known)


def _window(bench: Bench, address: str) -> str:
    job = bench.job(address.partition("/")[0])
    window = job.windows.get(address) if job is not None else None
    return window.label if window is not None else short_address(address)


def _name_of(bench: Bench, stream: str, version: int) -> str:
    if not stream.startswith(JOB):
        rows = bench.journal.read_stream(stream, version - 1)[:1]
        words = tell(ev.decode(rows[0].data)) if rows else ""
        return f"“{f'{words} (entry {version})'.strip()}”"
    job = bench.job(stream.removeprefix(JOB))
    records = job.records if job is not None else ()
    record = next((r for r in records if r.version == version), None)
    if record is None or job is None:
        return f"“entry {version}”"
    return f"“{describe(record, job)}”"


def entry_of(
    bench: Bench, row: StoredRow, event: ev.AnyEvent | ev.Unknown, taken_back: bool
) -> Entry:
    """A stored event as a line of the logbook."""
    happened = getattr(event, "happened", None)
    recorded = getattr(event, "recorded", None)
    return Entry(
        row.seq,
        row.stream,
        row.version,
        happened.wall_s if happened else None,
        recorded.wall_s if recorded else None,
        ev.kind_of(event),
        telling(bench, row, event),
        taken_back,
    )
