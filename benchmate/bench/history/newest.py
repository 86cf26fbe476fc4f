"""What was recorded last in the whole shop, so that undoing never reaches past it unseen."""

from __future__ import annotations

from benchmate.bench.service import Bench
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import JOB

_BESIDE = (ev.MaterialDescribed, ev.MaterialGone, ev.Learned, ev.ScaleChecked)
"""What a maker says beside the jobs; the rest there is written along with something else."""
LOOK_BACK = 64
"""So many entries back; further, nobody remembers what was last."""


def newest_beside(bench: Bench, job: str) -> ev.AnyEvent | None:
    """The maker's newest entry beside the jobs, where it is newer than the job's own newest.

    None: the job's own is the newest, or nothing is known beside it. Raises JournalError.
    """
    for row in reversed(bench.journal.read_since(max(0, bench.journal.end - LOOK_BACK))):
        event = ev.decode(row.data)
        if row.stream == JOB + job and not isinstance(event, (ev.Seen, ev.Unknown)):
            return None
        if isinstance(event, _BESIDE) or _is_typed_air(event):
            return event if not isinstance(event, ev.Unknown) else None
    return None


def _is_typed_air(event: ev.AnyEvent | ev.Unknown) -> bool:
    return isinstance(event, ev.AirRead) and event.source == "typed"
