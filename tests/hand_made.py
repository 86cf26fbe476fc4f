"""Events that no command would make, put into a bench's journal as they are."""

from __future__ import annotations

from dataclasses import replace

from benchmate.bench import Bench
from benchmate.job.state.shop import Write
from benchmate.job.state.state import JobState, Recorded
from benchmate.journal.deliveries import Deliveries, Delivery


def record(bench: Bench, *writes: Write) -> tuple[Recorded, ...]:
    """Commit events of any stream, undecided."""
    return tuple(recorded for _, recorded in bench._write(lambda: writes))


def without_records(state: JobState) -> JobState:
    """The state without its history, to compare two runs that were recorded differently."""
    return replace(state, records=(), void=frozenset(), version=0)


def in_state(deliveries: Deliveries, state: str) -> list[Delivery]:
    """All deliveries in one state, oldest first."""
    return [d for d in deliveries.since(float("-inf")) if d.state == state]
