"""From events to a state. `fold_all` builds in a draft and freezes once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from benchmate.job.events import stored as ev
from benchmate.job.state.drafting import Draft, apply
from benchmate.job.state.state import JobState, Recorded


def fold_all(records: Iterable[Recorded]) -> JobState:
    """The state that a job's events leave. Raises ValueError when the first is no job's start."""
    kept = tuple(records)
    void = voided(kept)
    draft = _begin(kept)
    for record in kept[1:]:
        if record.version not in void:
            _apply(draft, record)
    return draft.freeze(kept, void)


def fold(state: JobState, *fresh: Recorded) -> JobState:
    """The state after these further events."""
    kept = (*state.records, *fresh)
    if any(isinstance(r.event, ev.TakenBack) for r in fresh):
        return fold_all(kept)
    draft = Draft.thaw(state)
    for record in fresh:
        _apply(draft, record)
    return draft.freeze(kept, state.void)


def voided(records: Sequence[Recorded]) -> frozenset[int]:
    """Versions that no longer count. Taking back a taking back brings the act back."""
    void: set[int] = set()
    for record in reversed(records):
        if isinstance(record.event, ev.TakenBack) and record.version not in void:
            void.update(record.event.versions)
    return frozenset(void)


def _begin(records: Sequence[Recorded]) -> Draft:
    if not records:
        raise ValueError("A job needs at least its start.")
    first = records[0].event
    if isinstance(first, ev.Unknown):
        draft = Draft.empty()
        _apply(draft, records[0])
        return draft
    if not isinstance(first, ev.JobStarted):
        raise ValueError(f"A job's first event is {ev.kind_of(first)!r}, not its start.")
    return Draft.start(first)


def _apply(draft: Draft, record: Recorded) -> None:
    event = record.event
    if isinstance(event, ev.Unknown) and event.kind == ev.LOST:
        if record.version == 1:
            draft.title = "A job whose start is lost"
            draft.read_only = "The start of this job was lost to damage: it can be read, no more."
        return
    if isinstance(event, ev.Unknown):
        what = f"A newer benchmate wrote “{event.kind}” into this job"
        if not event.kind:
            what = f"Entry {record.version} of this job is none that this benchmate can read"
        draft.read_only = (
            f"{what}: it can be read here, not changed. Update benchmate on this machine to go on."
        )
        return
    apply(draft, event, record.version)
