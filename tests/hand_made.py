"""Events that no command would make, put into a bench's journal as they are."""

from __future__ import annotations

from benchmate.bench import Bench
from benchmate.job.state.shop import Write
from benchmate.job.state.state import Recorded


def record(bench: Bench, *writes: Write) -> tuple[Recorded, ...]:
    """Commit events of any stream, undecided."""
    return tuple(recorded for _, recorded in bench._write(lambda: writes))
