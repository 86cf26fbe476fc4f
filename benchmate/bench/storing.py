"""What the journal is given: bytes that are known to read back, and which streams stay open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from benchmate.job.deciding.streams.lessons import runs_on
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import JOB, Write
from benchmate.job.state.state import JobState
from benchmate.refusal import Refused


def checked_bytes(event: ev.AnyEvent) -> bytes:
    """The bytes to store, once they are known to read back. Raises Refused.

    A number that is none ("nan") would be stored as nothing at all, and a name of a file may hold
    bytes that are no text: found out now, it costs one act; found out at the next opening, a job.
    """
    try:
        data = ev.encode(event)
    except UnicodeEncodeError as error:
        raise Refused(
            f"Character {error.start + 1} of that text is no character that can be recorded. "
            "Type it again."
        ) from error
    if isinstance(ev.decode(data), ev.Unknown):
        raise Refused(
            f"“{ev.kind_of(event)}” can't be recorded: a number in it isn't one. Type it again."
        )
    return data


def open_after(writes: Sequence[Write], jobs: Mapping[str, JobState]) -> dict[str, bool]:
    """Which streams stay open: a job's closes with its end, and opens when that is taken back."""
    out: dict[str, bool] = {}
    for stream, event in writes:
        if isinstance(event, (ev.Stopped, ev.Finished)):
            out[stream] = False
        elif isinstance(event, ev.TakenBack):
            out[stream] = runs_on(jobs.get(stream.removeprefix(JOB)), event)
        else:
            out.setdefault(stream, True)
    return out
