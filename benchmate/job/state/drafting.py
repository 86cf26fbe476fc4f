"""The mutable draft that folding works on, and what each event does to it.

Drafts exist because a frozen state grown event by event copies itself at every event: opening a
long journal would take quadratic time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import msgspec

from benchmate.job.events import stored as ev
from benchmate.job.state.remake import with_remade
from benchmate.job.state.state import (
    CheckRecord,
    DoneRecord,
    FreeRecord,
    JobState,
    NoteRecord,
    Recorded,
    Running,
    Status,
    Weighing,
)
from benchmate.moment import Moment
from benchmate.plan.plan import Plan, Step, Window

Layout = tuple[Mapping[str, Step], Mapping[str, Window], Mapping[str, tuple[str, ...]]]


@dataclass
class Draft:
    """A JobState in the making; same fields, but open."""

    job: str
    title: str
    started: Moment
    plan: Plan | None = None
    text: str = ""
    status: Status = "open"
    extra: dict[str, Step] = field(default_factory=dict)
    begun: dict[str, Moment] = field(default_factory=dict)
    done: dict[str, DoneRecord] = field(default_factory=dict)
    skipped: dict[str, str] = field(default_factory=dict)
    weighings: dict[int, Weighing] = field(default_factory=dict)
    running: dict[str, tuple[Running, ...]] = field(default_factory=dict)
    checks: dict[tuple[str, str], CheckRecord] = field(default_factory=dict)
    spoiled: dict[str, str] = field(default_factory=dict)
    answers: dict[str, str] = field(default_factory=dict)
    free: list[FreeRecord] = field(default_factory=list)
    notes: list[NoteRecord] = field(default_factory=list)
    wishes: list[ev.NextTime] = field(default_factory=list)
    seen: set[str] = field(default_factory=set)
    ticked: set[str] = field(default_factory=set)
    changes: list[ev.PlanChanged] = field(default_factory=list)
    outcome: str = ""
    photo: str = ""
    ended: Moment | None = None
    read_only: str = ""
    layout: (
        tuple[Mapping[str, Step], Mapping[str, Window], Mapping[str, tuple[str, ...]]] | None
    ) = None

    @classmethod
    def start(cls, event: ev.JobStarted) -> Draft:
        """A draft as the job's start leaves it."""
        return cls(event.job, event.title, event.happened, event.plan, event.text)

    @classmethod
    def empty(cls) -> Draft:
        """A draft for a stream whose start this benchmate can't read."""
        return cls("?", "written by a newer benchmate", Moment(0))

    @classmethod
    def thaw(cls, state: JobState) -> Draft:
        """An open copy of a state."""
        plan_steps = {s.address for s in state.plan.steps} if state.plan else set()
        return cls(
            job=state.job,
            title=state.title,
            started=state.started,
            plan=state.plan,
            text=state.text,
            status=state.status,
            extra={a: s for a, s in state.steps.items() if a not in plan_steps},
            begun=dict(state.begun),
            done=dict(state.done),
            skipped=dict(state.skipped),
            weighings=dict(state.weighings),
            running=dict(state.running),
            checks=dict(state.checks),
            spoiled=dict(state.spoiled),
            answers=dict(state.answers),
            free=list(state.free),
            notes=list(state.notes),
            wishes=list(state.wishes),
            seen=set(state.seen),
            ticked=set(state.ticked),
            changes=list(state.changes),
            outcome=state.outcome,
            photo=state.photo,
            ended=state.ended,
            read_only=state.read_only,
            layout=(state.steps, state.windows, state.users),
        )

    def freeze(self, records: tuple[Recorded, ...], void: frozenset[int]) -> JobState:
        """The state. The draft must not be used afterwards: they share their mappings."""
        steps, windows, users = self.layout or lay_out(self.plan, self.extra, self.free)
        return JobState(
            job=self.job,
            title=self.title,
            started=self.started,
            status=self.status,
            plan=self.plan,
            text=self.text,
            version=records[-1].version,
            steps=steps,
            windows=windows,
            users=users,
            begun=self.begun,
            done=self.done,
            skipped=self.skipped,
            weighings=self.weighings,
            running=self.running,
            checks=self.checks,
            spoiled=self.spoiled,
            answers=self.answers,
            free=tuple(self.free),
            notes=tuple(self.notes),
            wishes=tuple(self.wishes),
            seen=frozenset(self.seen),
            ticked=frozenset(self.ticked),
            changes=tuple(self.changes),
            outcome=self.outcome,
            photo=self.photo,
            ended=self.ended,
            read_only=self.read_only,
            records=records,
            void=void,
        )


def lay_out(
    plan: Plan | None, extra: Mapping[str, Step], free: list[FreeRecord]
) -> tuple[dict[str, Step], dict[str, Window], dict[str, tuple[str, ...]]]:
    """Steps in order (an extra step stands before the first step that is to wait for it)."""
    steps: dict[str, Step] = {}
    waiting = dict(extra)
    for step in plan.steps if plan else ():
        for address, more in list(waiting.items()):
            if step.address in more.before:
                steps[address] = waiting.pop(address)
        steps[step.address] = step
    steps.update(waiting)
    windows = {w.address: w for s in steps.values() for w in s.windows}
    windows.update({w.address: w for f in free for w in f.event.windows})
    users: dict[str, list[str]] = {}
    for step in steps.values():
        for name in dict.fromkeys((*step.within, *step.waits, *step.waits_full)):
            users.setdefault(name, []).append(step.address)
    return steps, windows, {name: tuple(who) for name, who in users.items()}


def _done(d: Draft, e: ev.Done, version: int) -> None:
    used = {a.what: a.amount for a in e.used}
    d.done[e.address] = DoneRecord(e.happened, version, e.begun, e.left_g, used)
    d.skipped.pop(e.address, None)


def _amounts(d: Draft, e: ev.AmountsSaid) -> None:
    old = d.done.get(e.address)
    if old is None:
        return
    used = {**old.used, **{a.what: a.amount for a in e.used}}
    left_g = old.left_g if e.left_g is None else e.left_g
    d.done[e.address] = msgspec.structs.replace(old, used=used, left_g=left_g)


def _free(d: Draft, e: ev.FreeAct, version: int) -> None:
    d.free.append(FreeRecord(e, version))
    d.done[e.address] = DoneRecord(e.happened, version, used={a.what: a.amount for a in e.used})
    d.layout = None


def _read(d: Draft, e: ev.RunningRead, version: int) -> None:
    fresh = Running(e.reading_g, e.text, e.adding, version)
    d.running[e.address] = (*d.running.get(e.address, ()), fresh)


def _weighed(d: Draft, e: ev.Weighed, version: int) -> None:
    d.weighings[version] = Weighing(
        e.address,
        e.net_g,
        version,
        e.happened,
        e.net_g,
        e.u_g,
        e.scale,
        e.division_g,
        e.split,
        e.gross_g,
        e.tare_g,
        e.piece,
        e.what,
        " ".join(e.gross),
        e.dof,
    )


def _corrected(d: Draft, e: ev.Corrected) -> None:
    old = d.weighings.get(e.version)
    if old is not None:
        d.weighings[e.version] = Weighing(
            old.address,
            e.net_g,
            old.version,
            old.happened,
            old.as_read_g,
            old.u_g,
            old.scale,
            old.division_g,
            {},
            None,
            None,
            old.piece,
            old.what,
            e.text,
            old.dof,
        )


def _spoiled(d: Draft, e: ev.Spoiled) -> None:
    if not e.remake:
        d.spoiled[e.piece] = e.reason
        return
    planned = d.plan.steps if d.plan else ()
    extra = {a for a, s in d.extra.items() if s.piece == e.piece}
    _start_anew(d, {s.address for s in planned if s.piece == e.piece} | extra)
    if extra:
        d.extra = {a: s for a, s in d.extra.items() if a not in extra}
        d.layout = None


def _start_anew(d: Draft, steps: set[str]) -> None:
    """These steps are to be done again: nothing that was recorded of them, or answered of their
    windows, counts for the new ones."""
    for gone in (d.done, d.begun, d.skipped, d.running):
        for address in steps & set(gone):
            del gone[address]
    d.weighings = {v: w for v, w in d.weighings.items() if w.address not in steps}
    d.checks = {k: c for k, c in d.checks.items() if k[0] not in steps}
    d.answers = {w: a for w, a in d.answers.items() if w.rpartition(":")[0] not in steps}


def _missed(d: Draft, e: ev.MissedAnswered) -> None:
    anchor = e.window.rpartition(":")[0] if ":" in e.window else e.window
    if e.answer == "spoiled":
        # The cup, joint or coat is to be made again: its act counts no more, so its window
        # is unanchored and the step comes up as the next act.
        _start_anew(d, {anchor})
        if e.step is not None and d.plan is not None:
            gone = {s.address for s in d.plan.steps if s.piece in d.spoiled}
            d.plan = with_remade(d.plan, e.step, {*d.done, *d.skipped, *gone})
            d.layout = None
        return
    d.answers[e.window] = e.answer
    if e.step is not None:
        d.extra[e.step.address] = e.step
        d.layout = None


def _ended(d: Draft, e: ev.Stopped | ev.Finished) -> None:
    d.ended = e.happened
    if isinstance(e, ev.Stopped):
        d.status, d.outcome = "stopped", e.reason
    else:
        d.status, d.outcome, d.photo = "finished", e.outcome, e.photo


def apply(d: Draft, e: ev.AnyEvent, version: int) -> None:
    """Put one event into a draft; what says nothing of a job's state leaves it as it is."""
    match e:
        case ev.Begun():
            d.begun[e.address] = e.happened
        case ev.Done():
            _done(d, e, version)
        case ev.AmountsSaid():
            _amounts(d, e)
        case ev.FreeAct():
            _free(d, e, version)
        case ev.RunningRead():
            _read(d, e, version)
        case ev.Weighed():
            _weighed(d, e, version)
        case ev.Corrected():
            _corrected(d, e)
        case ev.Checked():
            d.checks[e.address, e.name] = CheckRecord(e.value, version, e.text)
        case ev.Skipped():
            d.skipped[e.address] = e.reason
        case ev.Spoiled():
            _spoiled(d, e)
        case ev.MissedAnswered():
            _missed(d, e)
        case ev.Noted():
            d.notes.append(NoteRecord(e, version))
        case ev.NextTime():
            d.wishes.append(e)
        case ev.Seen():
            d.seen.update(e.keys)
        case ev.Ticked():
            (d.ticked.add if e.there else d.ticked.discard)(e.what)
        case ev.PlanChanged():
            d.plan = e.plan
            d.text = d.text if e.text is None else e.text
            d.changes.append(e)
            d.layout = None
        case ev.Paused():
            d.status = "paused"
        case ev.Resumed():
            d.status = "open"
        case ev.Stopped() | ev.Finished():
            _ended(d, e)
        case _:
            pass
