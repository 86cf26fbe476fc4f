"""What needs hands now, what comes later, and in which order.

The order: what can still be saved from spoiling, by its latest start (its window's close less the
hands-on time); then what extra work is about to be lost, and the weight of what was just poured:
the piece stands on the scale, and no other job is begun before; then the questions about what is
spoiled; then the rest by latest start, and the plan's order.

A missed window's question is about what is lost, unless an act that it holds back has another
window that still runs and spoils: then it is as pressing as that. A question of extra work stands
at the close that was missed, before what is no graver; it never pushes away an act that spoils.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from benchmate.job.state.state import JobState
from benchmate.job.windows.windows import Around, Edge, WindowView, window_views
from benchmate.plan.address import WHOLE, parse
from benchmate.plan.plan import Check, Step

FOREVER = float("inf")
WEIGH_WITHIN_S = 3600.0
"""What was poured is weighed within the hour (common practice, no source)."""
Kind = Literal["do", "weigh", "check", "answer"]


@dataclass(frozen=True)
class Act:
    """One thing for hands: to do, to weigh, to check, or to say what became of a missed window."""

    job: str
    address: str
    kind: Kind
    step: Step | None
    order: tuple[int, int]
    """Place among all jobs: the job's rank, the step's place in it."""
    ready_at: float = 0.0
    """When its last waited-for window opens."""
    latest_at: float = FOREVER
    """Latest start: its first window's close less the hands-on time."""
    spoils: bool = False
    bound: WindowView | None = None
    """The window that closes first on it."""
    waits_for: WindowView | None = None
    """The window that it still waits for."""
    check: Check | None = None
    is_lost: bool = False
    """A question about what can't be saved any more."""
    gives_way: Act | None = None
    """What has to be done first: begun now, this would take the hands that its clock needs."""

    @property
    def piece(self) -> str:
        """The piece it works on, or that a question is about; empty for the whole job."""
        if self.step is not None:
            return self.step.piece
        at = parse(self.address)
        return "" if at is None or at.piece == WHOLE else at.piece

    @property
    def awaited(self) -> Edge | None:
        """The edge that it still waits for: full strength, or that it opens."""
        if self.waits_for is None:
            return None
        full = self.step is not None and self.waits_for.address in self.step.waits_full
        return self.waits_for.edges.get("full" if full else "opens")

    @property
    def likely_since(self) -> float | None:
        """Since when what it waits for has likely come, though it isn't sure; None: it hasn't."""
        edge, view = self.awaited, self.waits_for
        return edge.middle if edge and view and edge.middle <= view.now < edge.at else None

    @property
    def owes_weight(self) -> bool:
        """Whether it is the weighing of what was done a moment ago."""
        return self.kind == "weigh" and self.step is not None and self.step.act != "weighed"

    def urgency(self) -> tuple[int, float, tuple[int, int]]:
        """Sorts acts: the smallest is next."""
        return (self._rank, self.latest_at, self.order)

    @property
    def _rank(self) -> int:
        if self.spoils:
            return 2 if self.is_lost else 0
        if self.owes_weight and self.latest_at < FOREVER:
            return 1
        closing = self.bound is not None and self.bound.state == "closing"
        return 1 if closing and not self.is_lost else 3


@dataclass(frozen=True)
class Agenda:
    """All of it, for one moment."""

    ready: tuple[Act, ...]
    """What can be done now, most urgent first."""
    later: tuple[Act, ...]
    """What waits for a window, soonest first."""
    windows: tuple[WindowView, ...]
    """Live windows, soonest edge first."""

    @property
    def next(self) -> Act | None:
        """The next act."""
        return self.ready[0] if self.ready else None

    def holding(self, job: JobState, piece: str) -> Act | None:
        """The act that a piece's next step has to wait for, where another's has to come first."""
        mine = (s for s in job.steps.values() if s.piece == piece)
        todo = [next((s.address for s in mine if not job.is_settled(s.address)), "")]
        open_ = {a.address: a for a in (*self.later, *self.ready) if a.job == job.job}
        asked = {p: a for a in self.ready if a.bound and a.step is None for p in a.bound.pending}
        known: set[str] = set()
        while todo:
            address = todo.pop()
            if (found := open_.get(address) or asked.get(address)) is not None:
                return found
            step = job.steps.get(address)
            if step is not None and address not in known:
                known.add(address)
                todo += [a for a in step.after if not job.is_settled(a)]
        return None

    def of_piece(self, job: str, piece: str) -> Act | None:
        """The most urgent act of one piece, for picking another piece by its digit."""
        mine = (a for a in self.ready if a.job == job and a.piece == piece)
        return next(mine, None)


def agenda(jobs: Iterable[JobState], around: Around, now: float) -> Agenda:
    """The agenda of several jobs at a place on the time line."""
    ready: list[Act] = []
    later: list[Act] = []
    live: list[WindowView] = []
    for rank, job in enumerate(jobs):
        views = {v.address: v for v in window_views(job, around, now)}
        live += [v for v in views.values() if v.is_live]
        if job.status == "open":
            for act in _weights_first(list(_acts(job, views, rank, around))):
                (ready if act.ready_at <= now else later).append(act)
    ready.sort(key=Act.urgency)
    later.sort(key=lambda a: (a.ready_at, a.order))
    live.sort(key=lambda v: (v.next_edge[1] if v.next_edge else v.now, v.address))
    return Agenda(tuple(ready), tuple(later), tuple(live))


def _acts(job: JobState, views: dict[str, WindowView], rank: int, around: Around) -> Iterable[Act]:
    answered: set[str] = set()
    for view in views.values():
        if view.asks:
            answered.update(view.pending)
            yield _question(job, view, views, rank)
    held = {
        a
        for s in job.steps.values()
        if s.before and not job.is_settled(s.address)
        for a in s.before
    }
    for place, step in enumerate(job.steps.values(), start=1):
        if step.piece in job.spoiled or step.address in job.skipped:
            continue
        if step.address in answered:
            continue
        if step.address in job.done:
            yield from _afterwork(job, step, (rank, place), views, around)
        elif step.address not in held and all(job.is_settled(a) for a in step.after):
            yield _to_do(job, step, (rank, place), views)


def _weights_first(acts: list[Act]) -> list[Act]:
    """A weight that is owed goes before a cup is mixed: mixing starts a clock, and what is weighed
    after the next pour can correct nothing."""
    mixing = [a for a in acts if a.kind == "do" and a.step is not None and a.step.act == "mixed"]
    if not mixing:
        return acts
    first = min(mixing, key=Act.urgency)
    return [_before(a, first) if a.owes_weight else a for a in acts]


def _before(act: Act, other: Act) -> Act:
    """The act, made at least as urgent as another of its job."""
    if act.urgency() < other.urgency():
        return act
    rank, place = other.order
    return replace(
        act,
        spoils=other.spoils,
        latest_at=other.latest_at,
        bound=other.bound,
        order=(rank, place - 1),
    )


def _question(job: JobState, view: WindowView, views: dict[str, WindowView], rank: int) -> Act:
    """What became of a missed or ruined window: as pressing as what can still be saved by it."""
    others = {w for a in view.pending if a in job.steps for w in job.steps[a].within}
    open_ = (v for w, v in views.items() if w in others and v.state in ("open", "closing"))
    saved_by = min((_close_of(v) for v in open_ if v.spoils), default=None)
    return Act(
        job.job,
        view.address,
        "answer",
        None,
        (rank, 0),
        latest_at=_lost_at(view) if saved_by is None else saved_by,
        bound=view,
        spoils=view.spoils or view.is_ruined or saved_by is not None,
        is_lost=saved_by is None,
    )


def _lost_at(view: WindowView) -> float:
    return view.spoiled_at if view.is_ruined and view.spoiled_at is not None else _close_of(view)


def _to_do(job: JobState, step: Step, order: tuple[int, int], views: dict[str, WindowView]) -> Act:
    waits = [views[w] for w in step.waits if w in views]
    ready = [(v.opens.at, v) for v in waits if v.opens is not None]
    full = [views[w] for w in step.waits_full if w in views]
    ready += [(v.full.at, v) for v in full if v.full is not None]
    ready_at, waits_for = max(ready, key=lambda r: r[0], default=(0.0, None))
    bound = _bound(step, views)
    latest = _close_of(bound) - step.hands_s if bound else FOREVER
    kind: Kind = "weigh" if step.act == "weighed" and step.weigh else "do"
    return Act(
        job.job,
        step.address,
        kind,
        step,
        order,
        ready_at,
        latest,
        bound is not None and bound.spoils,
        bound,
        waits_for if waits_for and ready_at > waits_for.now else None,
    )


def _bound(step: Step, views: dict[str, WindowView]) -> WindowView | None:
    """The unmet window that closes first on a step."""
    bounds = [views[w] for w in step.within if w in views and views[w].state != "met"]
    return min(bounds, key=_close_of, default=None)


def _close_of(view: WindowView) -> float:
    return view.closes.at if view.closes else FOREVER


def _afterwork(
    job: JobState,
    step: Step,
    order: tuple[int, int],
    views: dict[str, WindowView],
    around: Around,
) -> Iterable[Act]:
    """Weighings and checks that a done step still owes, while they can still say something."""
    for check in step.checks:
        if (step.address, check.name) not in job.checks:
            yield Act(job.job, step.address, "check", step, order, check=check)
    if step.weigh and step.act != "weighed" and job.weighing_at(step.address) is None:
        # What was missed hurries nobody any more: its question comes first.
        bound = _bound(step, {a: v for a, v in views.items() if v.state != "missed"})
        latest = FOREVER
        if bound is not None:
            # A moment before the next layer from the same cup: weighed after that one is poured,
            # it can correct nothing.
            latest = _close_of(bound) - step.hands_s - 1.0
        elif not is_covered(job, step.address) and not _is_asked(step, views):
            latest = around.timeline.at(job.done[step.address].done) + WEIGH_WITHIN_S
        spoils = bound is not None and bound.spoils
        yield Act(job.job, step.address, "weigh", step, order, 0.0, latest, spoils, bound)


def _is_asked(step: Step, views: dict[str, WindowView]) -> bool:
    """Whether a clock that it had to meet was missed: the question about that comes first."""
    return any(views[w].asks for w in step.within if w in views)


def is_covered(job: JobState, address: str) -> bool:
    """Whether what comes after it is done already, so that it can't be weighed alone any more."""
    return any(address in job.steps[a].after for a in job.done if a in job.steps)
