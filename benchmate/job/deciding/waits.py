"""Clocks that were tested: what a test says, and what a material's wait really took by it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import inf
from typing import Literal

import msgspec

from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.guards import check_window
from benchmate.job.events import stored as ev
from benchmate.job.state.fold import fold
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.windows.windows import Around, anchor_of, rule_for, view
from benchmate.moment import Moment
from benchmate.plan.plan import Window
from benchmate.refusal import NotNow

Awaited = Literal["opens", "full"]
EARLY = 0.95
"""Ready before this share of the label's time teaches something by itself; later says nothing,
since nobody had looked before."""


def try_wait(job: JobState, c: cmd.Try, now: Moment, around: Around) -> list[ev.JobEvent]:
    """The test of a clock that waits. Raises NotNow for one that only runs out."""
    when = c.at or now
    window = check_window(job, c.window, around, around.timeline.at(when)).window
    edge = _edge_meant(job, window, around, around.timeline.at(when))
    if edge is None:
        raise NotNow(f"{window.label} only runs out: there is nothing to wait for.")
    return [ev.Tried(happened=when, recorded=now, window=window.address, edge=edge, ready=c.ready)]


def _edge_meant(job: JobState, window: Window, around: Around, at: float) -> Awaited | None:
    """What was tested: what a step still waits for, else the edge that is nearer."""
    seen = view(job, window, around, at)
    steps = [job.steps[a] for a in seen.pending if a in job.steps] if seen else []
    if window.full_s is not None and any(window.address in s.waits_full for s in steps):
        return "full"
    if window.opens_s is None:
        return "full" if window.full_s is not None else None
    is_past = seen is not None and seen.full is not None and seen.full.at <= at
    return "full" if is_past and not steps else "opens"


def waits_seen(
    job: JobState,
    made: Sequence[ev.JobEvent],
    known: Mapping[tuple[str, str], ev.WaitSeen],
    around: Around,
) -> list[ev.WaitSeen]:
    """What these events say of waits, where that isn't known yet."""
    touched = dict.fromkeys(at for event in made for at in _touched(job, event))
    if not touched:
        return []
    after = fold(job, *(Recorded(job.version + n, event) for n, event in enumerate(made, 1)))
    found = []
    for at in touched:
        old, seen = known.get(at), _seen(after, *at, around, made[-1].recorded)
        if seen is None and old is not None:
            found.append(msgspec.structs.replace(old, recorded=made[-1].recorded, counts=False))
        elif seen is not None and (old is None or _ends(seen) != _ends(old)):
            found.append(seen)
    return found


def _touched(job: JobState, event: ev.AnyEvent | ev.Unknown) -> Iterator[tuple[str, str]]:
    """Windows and edges that an event says something of."""
    match event:
        case ev.Tried():
            yield event.window, event.edge
        case ev.Done():
            step = job.steps.get(event.address)
            yield from ((w, "opens") for w in step.waits) if step else ()
            yield from ((w, "full") for w in step.waits_full) if step else ()
        case ev.TakenBack():
            for record in job.records:
                if record.version in event.versions:
                    yield from _touched(job, record.event)


def _ends(seen: ev.WaitSeen) -> tuple[float, float | None]:
    return seen.not_by_s, seen.by_s


def _seen(
    job: JobState, address: str, edge: str, around: Around, now: Moment
) -> ev.WaitSeen | None:
    """What a wait really took, in seconds at the label's air; None where nobody can say."""
    window = job.windows.get(address)
    label_s: float | None = getattr(window, f"{edge}_s") if window is not None else None
    begun = anchor_of(job, window) if window is not None else None
    if window is None or begun is None or not window.material or not label_s:
        return None
    anchor, rule = around.timeline.at(begun), rule_for(window, edge)
    tests = [t for t in _tests(job, window, edge, around) if t[0] > anchor]
    by = min((at for at, ready in tests if ready), default=inf)
    not_by = max((at for at, ready in tests if not ready and at < by), default=anchor)
    seen = view(job, window, around, by if by < inf else not_by)
    if seen is None or seen.is_ruined:
        return None
    air = around.air_of(window)
    not_by_s = air.progress(rule, anchor, not_by).mid if not_by > anchor else 0.0
    by_s = air.progress(rule, anchor, by).mid if by < inf else None
    if not not_by_s and (by_s is None or by_s > EARLY * label_s):
        return None
    return ev.WaitSeen(
        happened=now,
        recorded=now,
        material=window.material,
        clock=window.name,
        edge="full" if edge == "full" else "opens",
        window=address,
        label_s=label_s,
        not_by_s=not_by_s,
        by_s=by_s,
    )


def _tests(
    job: JobState, window: Window, edge: str, around: Around
) -> Iterator[tuple[float, bool]]:
    """Places on the time line at which it was found ready or not: by a test, or by the step that
    waited for it."""
    place = around.timeline.at
    for record in job.records:
        event = record.event
        if record.version in job.void or not isinstance(event, ev.Tried):
            continue
        if (event.window, event.edge) == (window.address, edge):
            yield place(event.happened), event.ready
    for address in job.users.get(window.address, ()):
        step, done = job.steps[address], job.done.get(address)
        awaited = step.waits_full if edge == "full" else step.waits
        if done is not None and window.address in awaited:
            yield place(done.begun or done.done), True
