"""One pair of hands: no clock is started whose time other clocks need the hands for.

Three pieces in coats: the third is not oiled while the second's oil is about to be wiped off. What
is held back waits, with its reason, until the hands are free; nothing is forbidden.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act, Agenda
from benchmate.job.windows.windows import Around, edges_from
from benchmate.plan.plan import Step

AHEAD_S = 24 * 3600.0
"""Nobody holds a coat back for what closes later than this."""
LEAST_S = 60.0
"""What is held back waits at least so long."""
SLACK_S = 1.0
"""Lateness that is no more than rounding."""


class Due(NamedTuple):
    """Hands that a clock will need: from when, until when at the latest, and for how long."""

    from_s: float
    until_s: float
    hands_s: float


def give_way(agenda: Agenda, jobs: Iterable[JobState], around: Around, now: float) -> Agenda:
    """The same agenda, with nothing ready that would make another late if it were begun now."""
    every = (*agenda.ready, *agenda.later)
    running = [(a, d) for a in every if (d := _due(a, now)) is not None]
    if not running:
        return agenda
    by_name = {job.job: job for job in jobs}
    ready, held = [], []
    for act in agenda.ready:
        first = _comes_first(act, running, by_name[act.job], around, now)
        if first is None:
            ready.append(act)
        else:
            other, due = first
            free_at = max(now + LEAST_S, due.from_s + due.hands_s)
            held.append(replace(act, ready_at=free_at, gives_way=other))
    later = sorted((*agenda.later, *held), key=lambda a: (a.ready_at, a.order))
    return replace(agenda, ready=tuple(ready), later=tuple(later))


def _due(act: Act, now: float) -> Due | None:
    """What an act needs of the hands, where a running clock closes on it within the day."""
    closes = act.bound.closes if act.bound is not None else None
    if act.kind != "do" or act.step is None or closes is None:
        return None
    if not now < closes.at < now + AHEAD_S:
        return None
    from_s, hands_s = max(now, act.ready_at), act.step.hands_s
    return Due(from_s, max(closes.at, from_s + hands_s), hands_s)


def _comes_first(
    act: Act,
    running: Sequence[tuple[Act, Due]],
    job: JobState,
    around: Around,
    now: float,
) -> tuple[Act, Due] | None:
    """What has to be done before this act, or one of two would be late; None: begin it now."""
    step, others = act.step, [(a, d) for a, d in running if a is not act]
    if act.kind != "do" or step is None or not others:
        return None
    started = _started(job, step, around, now + step.hands_s)
    if not started:
        return None
    mine = [d for a, d in running if a is act]
    dues = [d for _, d in others]
    anyway = _late([*dues, *mine], now)
    late = _late([*dues, *started], now + step.hands_s)
    for n, one in enumerate(others):
        if late[n] > anyway[n] + SLACK_S:
            return one
    if any(late[len(dues) :]):
        return min(others, key=lambda o: o[1].until_s)
    return None


def _started(job: JobState, step: Step, around: Around, done_at: float) -> list[Due]:
    """What the clocks that a step starts will need of the hands; nothing where they can't be met
    even with hands for nothing else: that is the plan's own trouble."""
    opens: dict[str, float] = {}
    closes: dict[str, float] = {}
    for window in step.windows:
        begins, _, ends = edges_from(window, around, done_at)
        if begins is not None:
            opens[window.address] = begins.at
        if ends is not None and ends.at < done_at + AHEAD_S:
            closes[window.address] = ends.at
    users = {u for w in closes for u in job.users.get(w, ()) if u in job.steps}
    dues = []
    for user in (job.steps[u] for u in users if not job.is_settled(u)):
        until = [closes[w] for w in user.within if w in closes]
        from_s = max((opens[w] for w in user.waits if w in opens), default=done_at)
        if until:
            dues.append(Due(from_s, min(until), user.hands_s))
    return [] if any(_late(dues, done_at)) else dues


def _late(dues: Sequence[Due], free_s: float) -> list[float]:
    """How late each would end if always the one that closes first is done next."""
    ends, left = [0.0] * len(dues), set(range(len(dues)))
    while left:
        there = [n for n in left if dues[n].from_s <= free_s]
        if not there:
            free_s = min(dues[n].from_s for n in left)
            continue
        n = min(there, key=lambda n: dues[n].until_s)
        free_s += dues[n].hands_s
        ends[n] = free_s
        left.remove(n)
    late = (max(0.0, end - due.until_s) for end, due in zip(ends, dues, strict=True))
    return [s if s > SLACK_S else 0.0 for s in late]
