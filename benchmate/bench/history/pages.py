"""The logbook by pages: a long journal is read a stretch at a time, newest last."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from benchmate.bench.history.logbook import Entry, entry_of
from benchmate.bench.service import Bench
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import JOB, PLACE
from benchmate.journal import StoredRow

PAGE = 200


@dataclass(frozen=True)
class Page:
    """Some entries of the logbook, oldest first; `before` is how many older ones there are.

    Of the whole journal the entries are numbered by their place in it, of one stream by their
    number there.
    """

    entries: tuple[Entry, ...]
    before: int


def count_of(bench: Bench, stream: str = "") -> int:
    """How many entries a stream has, or the whole journal. Raises JournalError."""
    return sum(i.version for i in bench.journal.streams() if not stream or i.stream == stream)


def page(bench: Bench, stream: str = "", *, until: int | None = None, size: int = PAGE) -> Page:
    """At most `size` entries of a stream (of all where it is empty), the last of which is number
    `until`, or the newest. Raises JournalError."""
    end = count_of(bench, stream) if until is None else until
    start = max(0, end - size)
    if stream:
        rows = bench.journal.read_stream(stream, start)[: end - start]
    else:
        rows = bench.journal.read_since(start, end - start) if end > start else []
    return Page(tuple(_entries(bench, rows)), start)


def _entries(bench: Bench, rows: Sequence[StoredRow]) -> list[Entry]:
    return [
        entry_of(bench, row, ev.decode(row.data), _is_void(bench, row.stream, row.version))
        for row in rows
    ]


def _is_void(bench: Bench, stream: str, version: int) -> bool:
    """Whether it was taken back, perhaps by an entry far below. Only acts of jobs and readings of
    the air can be."""
    if stream.startswith(PLACE):
        return version in bench.shop.void_air.get(stream.removeprefix(PLACE), ())
    if not stream.startswith(JOB):
        return False
    job = bench.job(stream[len(JOB) :])
    return job is not None and version in job.void


def with_voids(bench: Bench, entries: Iterable[Entry]) -> list[Entry]:
    """The same entries, with what has been taken back since they were read."""
    out: list[Entry] = []
    for e in entries:
        void = _is_void(bench, e.stream, e.version)
        out.append(e if void == e.taken_back else replace(e, taken_back=void))
    return out


def job_names(bench: Bench) -> list[str]:
    """The ids of all jobs ever, running ones first. Raises JournalError."""
    live = [j.job for j in bench.shop.live]
    every = [i.stream[len(JOB) :] for i in bench.journal.streams() if i.stream.startswith(JOB)]
    return [*live, *(name for name in every if name not in live)]


def stream_names(bench: Bench) -> list[str]:
    """The names of all streams, running jobs first. Raises JournalError."""
    jobs = [JOB + name for name in job_names(bench)]
    return [*jobs, *(i.stream for i in bench.journal.streams() if i.stream not in jobs)]
