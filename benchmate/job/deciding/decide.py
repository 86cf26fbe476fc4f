"""Commands in, events or a refusal out. Nothing is recorded here, and no clock is read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding import taking_back
from benchmate.job.deciding.acts import answer_missed, do_freely
from benchmate.job.deciding.amounts import say_amounts
from benchmate.job.deciding.guards import (
    begun_by,
    check_before,
    check_in_time,
    check_moment,
    check_not_done,
    check_open,
    check_step,
    check_waited,
    check_warm,
    in_order,
)
from benchmate.job.deciding.weights import correct, read_scale, weigh
from benchmate.job.events import stored as ev
from benchmate.job.state.state import JobState
from benchmate.job.windows.windows import Around
from benchmate.moment import Moment
from benchmate.refusal import AlreadySo, JobClosed, NotNow, Refused, UnknownAddress

Events = list[ev.JobEvent]


def decide(job: JobState | None, command: cmd.Command, now: Moment, around: Around) -> Events:
    """The events that a command makes of a job. Raises Refused with a sentence for the maker."""
    if isinstance(command, cmd.StartJob):
        return _start(job, command, now)
    if job is None:
        raise UnknownAddress("There is no such job; `benchmate jobs` lists them.")
    if isinstance(command, cmd.TakeBack):
        return taking_back.decide(job, command, now)
    check_open(job)
    if command.at is not None:
        command = replace(command, at=check_moment(job, around, command.at, now))
    return _DECIDE[type(command)](job, command, now, around)


def _start(job: JobState | None, c: cmd.StartJob, now: Moment) -> Events:
    if job is not None:
        raise AlreadySo(f"There is already a job called {c.job}.")
    return [
        ev.JobStarted(
            happened=c.at or now, recorded=now, job=c.job, title=c.title, plan=c.plan, text=c.text
        )
    ]


def _begin(job: JobState, c: cmd.Begin, now: Moment, around: Around) -> Events:
    step = check_step(job, c.address)
    check_not_done(job, step)
    return [ev.Begun(happened=c.at or now, recorded=now, address=step.address)]


def _mark_done(job: JobState, c: cmd.MarkDone, now: Moment, around: Around) -> Events:
    step = check_step(job, c.address)
    check_not_done(job, step)
    check_before(job, step)
    when = in_order(job, step, around, c.at) if c.at else now
    at = around.timeline.at(when)
    if not c.anyway:
        check_waited(job, step, around, at)
    check_in_time(job, step, around, at)
    if not c.anyway:
        check_warm(job, step, around, at)
    if step.act == "weighed" and step.weigh:
        raise NotNow(f"{step.address} is a weighing: give its weight.")
    return [
        ev.Done(
            happened=when,
            recorded=now,
            address=step.address,
            used=c.used,
            left_g=c.left_g,
            begun=begun_by(job, step.address, around, when, c.begun),
        )
    ]


def _check(job: JobState, c: cmd.AnswerCheck, now: Moment, around: Around) -> Events:
    step = check_step(job, c.address)
    if c.name not in {check.name for check in step.checks}:
        names = ", ".join(check.name for check in step.checks) or "none"
        raise UnknownAddress(f"{step.address} has no check “{c.name[:40]}”; it has: {names}.")
    return [
        ev.Checked(
            happened=c.at or now,
            recorded=now,
            address=step.address,
            name=c.name,
            value=c.value,
            text=c.text,
        )
    ]


def _skip(job: JobState, c: cmd.Skip, now: Moment, around: Around) -> Events:
    step = check_step(job, c.address)
    if not c.reason.strip():
        raise Refused("Skipping needs a reason: next time you will want to know it.")
    owes_weight = step.weigh is not None and job.weighing_at(step.address) is None
    if step.address in job.skipped or (step.address in job.done and not owes_weight):
        raise AlreadySo(f"{step.address} is already done or skipped.")
    return [ev.Skipped(happened=c.at or now, recorded=now, address=step.address, reason=c.reason)]


def _spoil(job: JobState, c: cmd.Spoil, now: Moment, around: Around) -> Events:
    pieces = {p.name for p in job.plan.pieces} if job.plan else set()
    if c.piece not in pieces:
        raise UnknownAddress(f"{job.title} has no piece “{c.piece[:20]}”.")
    if c.piece in job.spoiled:
        raise AlreadySo(f"Piece {c.piece} is already spoiled.")
    return [
        ev.Spoiled(
            happened=c.at or now, recorded=now, piece=c.piece, reason=c.reason, remake=c.remake
        )
    ]


def _note(job: JobState, c: cmd.Note, now: Moment, around: Around) -> Events:
    if not (c.text.strip() or c.photo.strip()):
        raise Refused("The note is empty.")
    address = check_step(job, c.address).address if c.address else ""
    return [
        ev.Noted(
            happened=c.at or now, recorded=now, text=c.text.strip(), address=address, photo=c.photo
        )
    ]


def _wish(job: JobState, c: cmd.WishNextTime, now: Moment, around: Around) -> Events:
    if not c.text.strip():
        raise Refused("Say what to do differently next time.")
    return [
        ev.NextTime(happened=c.at or now, recorded=now, file_step=c.file_step, text=c.text.strip())
    ]


def _pause(job: JobState, c: cmd.Pause, now: Moment, around: Around) -> Events:
    if job.status == "paused":
        raise AlreadySo(f"{job.title} is already paused.")
    return [ev.Paused(happened=c.at or now, recorded=now, reason=c.reason)]


def _resume(job: JobState, c: cmd.Resume, now: Moment, around: Around) -> Events:
    if job.status != "paused":
        raise AlreadySo(f"{job.title} is not paused.")
    return [ev.Resumed(happened=c.at or now, recorded=now)]


def _stop(job: JobState, c: cmd.Stop, now: Moment, around: Around) -> Events:
    if not c.reason.strip():
        raise Refused("Stopping a job needs a reason.")
    return [ev.Stopped(happened=c.at or now, recorded=now, reason=c.reason)]


def _finish(job: JobState, c: cmd.Finish, now: Moment, around: Around) -> Events:
    left = [s for s in job.steps.values() if not job.is_settled(s.address)]
    if left:
        many = f"{len(left)} steps are still to do, first" if left[1:] else "Still to do is"
        raise NotNow(
            f"{many} {left[0].address}. Do what is left, skip it, or stop the job with a reason."
        )
    return [ev.Finished(happened=c.at or now, recorded=now, outcome=c.outcome, photo=c.photo)]


def _see(job: JobState, c: cmd.See, now: Moment, around: Around) -> Events:
    fresh = tuple(k for k in c.keys if k not in job.seen)
    return [ev.Seen(happened=now, recorded=now, keys=fresh)] if fresh else []


def _tick(job: JobState, c: cmd.Tick, now: Moment, around: Around) -> Events:
    if (c.what in job.ticked) == c.there:
        return []
    return [ev.Ticked(happened=now, recorded=now, what=c.what, there=c.there)]


def _change(job: JobState, c: cmd.ChangePlan, now: Moment, around: Around) -> Events:
    if c.plan.job != job.job:
        raise JobClosed(f"That plan belongs to {c.plan.job}.")
    return [
        ev.PlanChanged(
            happened=c.at or now,
            recorded=now,
            plan=c.plan,
            lines=c.lines,
            reason=c.reason,
            text=c.text,
        )
    ]


_DECIDE: dict[type, Callable[[JobState, Any, Moment, Around], Events]] = {
    cmd.Begin: _begin,
    cmd.MarkDone: _mark_done,
    cmd.SayAmounts: say_amounts,
    cmd.DoFreely: do_freely,
    cmd.ReadScale: read_scale,
    cmd.Weigh: weigh,
    cmd.Correct: correct,
    cmd.AnswerCheck: _check,
    cmd.AnswerMissed: answer_missed,
    cmd.Skip: _skip,
    cmd.Spoil: _spoil,
    cmd.Note: _note,
    cmd.WishNextTime: _wish,
    cmd.Pause: _pause,
    cmd.Resume: _resume,
    cmd.Stop: _stop,
    cmd.Finish: _finish,
    cmd.See: _see,
    cmd.Tick: _tick,
    cmd.ChangePlan: _change,
}
