"""What a job's events leave for later jobs of its procedure: recorded in the same breath."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.job.events import stored as ev
from benchmate.job.state.shop import LEARNED, Shop, Write
from benchmate.job.state.state import JobState


def lessons_of(shop: Shop, state: JobState | None, made: Sequence[ev.JobEvent]) -> list[Write]:
    """What a job's events leave for later jobs: of its procedure, and of its materials' waits."""
    if state is None:
        return []
    from benchmate.job.deciding.waits import waits_seen  # `next` decides nothing and needs none

    waits = waits_seen(state, made, shop.lessons.waits, shop.around)
    if state.plan is None:
        return [(LEARNED, seen) for seen in waits]
    found = (lesson for event in made for lesson in _lessons(state, state.plan.procedure, event))
    return [(LEARNED, lesson) for lesson in (*found, *waits)]


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
    if not state.is_live and runs_on(state, e):
        out.append(_ended(state, procedure, e, "open"))
    return out


def runs_on(job: JobState | None, taken: ev.TakenBack) -> bool:
    """Whether a job is live once these events count no more."""
    if job is None or job.is_live:
        return True
    ends = (r for r in job.records if isinstance(r.event, (ev.Stopped, ev.Finished)))
    return all(r.version in job.void or r.version in taken.versions for r in ends)
