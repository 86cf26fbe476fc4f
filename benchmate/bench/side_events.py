"""What is written with a command: its bytes as they will be read, and what it leaves elsewhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from benchmate.job.events import stored as ev
from benchmate.job.state.shop import JOB, LEARNED
from benchmate.job.state.state import JobState
from benchmate.refusal import Refused

Write = tuple[str, ev.AnyEvent]
"""A stream and an event for it."""


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
            f"“{ev.kind_of(event)}” can't be recorded: a number in it is none. Type it again."
        )
    return data


def open_after(writes: Sequence[Write], jobs: Mapping[str, JobState]) -> dict[str, bool]:
    """Which streams stay open: a job's closes with its end, and opens when that is taken back."""
    out: dict[str, bool] = {}
    for stream, event in writes:
        if isinstance(event, (ev.Stopped, ev.Finished)):
            out[stream] = False
        elif isinstance(event, ev.TakenBack):
            out[stream] = _runs_on(jobs.get(stream.removeprefix(JOB)), event)
        else:
            out.setdefault(stream, True)
    return out


def lessons_of(state: JobState | None, made: Sequence[ev.JobEvent]) -> list[Write]:
    """What a job's events leave for later jobs of its procedure."""
    if state is None or state.plan is None:
        return []
    found = (lesson for event in made for lesson in _lessons(state, state.plan.procedure, event))
    return [(LEARNED, lesson) for lesson in found]


def _lessons(state: JobState, procedure: str, e: ev.JobEvent) -> list[ev.AnyEvent]:
    if isinstance(e, ev.NextTime):
        return [
            ev.NextTimeKept(
                happened=e.happened,
                recorded=e.recorded,
                procedure=procedure,
                file_step=e.file_step,
                text=e.text,
                job=state.job,
            )
        ]
    if isinstance(e, ev.Stopped):
        return [_ended(state, procedure, e, "stopped")]
    if isinstance(e, ev.Finished):
        return [_ended(state, procedure, e, "finished")]
    if isinstance(e, ev.TakenBack):
        return _unlearned(state, procedure, e)
    return []


def _ended(state: JobState, procedure: str, e: ev.JobEvent, status: str) -> ev.JobEnded:
    return ev.JobEnded(
        happened=e.happened, recorded=e.recorded, procedure=procedure, job=state.job, status=status
    )


def _unlearned(state: JobState, procedure: str, e: ev.TakenBack) -> list[ev.AnyEvent]:
    """A wish taken back is no wish, and a job whose end is taken back has no end."""
    gone = [r.event for r in state.records if r.version in e.versions]
    out: list[ev.AnyEvent] = [
        ev.NextTimeDropped(
            happened=e.happened,
            recorded=e.recorded,
            procedure=procedure,
            file_step=wish.file_step,
            text=wish.text,
        )
        for wish in gone
        if isinstance(wish, ev.NextTime)
    ]
    if not state.is_live and _runs_on(state, e):
        out.append(_ended(state, procedure, e, "open"))
    return out


def _runs_on(job: JobState | None, taken: ev.TakenBack) -> bool:
    """Whether a job is live once these events count no more."""
    if job is None or job.is_live:
        return True
    ends = (r for r in job.records if isinstance(r.event, (ev.Stopped, ev.Finished)))
    return all(r.version in job.void or r.version in taken.versions for r in ends)
