"""Commands in, events or a refusal out. Nothing is recorded here, and no clock is read."""

from __future__ import annotations

from dataclasses import replace

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
from benchmate.job.deciding.waits import try_wait
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
        raise UnknownAddress("There is no such job; `benchmate job` lists them.")
    if isinstance(command, cmd.TakeBack):
        return taking_back.decide(job, command, now)
    check_open(job)
    if command.at is not None:
        command = replace(command, at=check_moment(job, around, command.at, now))
    return _decided(job, command, now, around)


def _decided(job: JobState, c: cmd.Command, now: Moment, around: Around) -> Events:
    match c:
        case cmd.MarkDone():
            return _mark_done(job, c, now, around)
        case cmd.SayAmounts():
            return say_amounts(job, c, now)
        case cmd.DoFreely():
            return do_freely(job, c, now)
        case cmd.ReadScale():
            return read_scale(job, c, now)
        case cmd.Weigh():
            return weigh(job, c, now, around)
        case cmd.Correct():
            return correct(job, c, now)
        case cmd.AnswerCheck():
            return _check(job, c, now)
        case cmd.AnswerMissed():
            return answer_missed(job, c, now, around)
        case cmd.Try():
            return try_wait(job, c, now, around)
        case cmd.Begin():
            return _begin(job, c, now)
        case cmd.Skip():
            return _skip(job, c, now)
        case cmd.Spoil():
            return _spoil(job, c, now)
        case cmd.Pause() | cmd.Resume():
            return _pause_or_resume(job, c, now)
        case cmd.Stop():
            return _stop(c, now)
        case cmd.Finish():
            return _finish(job, c, now)
        case cmd.ChangePlan():
            return _change(job, c, now)
        case _:
            return _noted(job, c, now)


def _noted(job: JobState, c: cmd.Command, now: Moment) -> Events:
    """Commands that change what is known of a job, and nothing of its course."""
    match c:
        case cmd.Note():
            return _note(job, c, now)
        case cmd.WishNextTime():
            return _wish(c, now)
        case cmd.See():
            return _see(job, c, now)
        case cmd.Tick():
            return _tick(job, c, now)
        case _:
            raise TypeError(f"{type(c).__name__} is no command of a job that runs.")


def _start(job: JobState | None, c: cmd.StartJob, now: Moment) -> Events:
    if job is not None:
        raise AlreadySo(f"There is already a job called {c.job}.")
    return [
        ev.JobStarted(
            happened=c.at or now, recorded=now, job=c.job, title=c.title, plan=c.plan, text=c.text
        )
    ]


def _begin(job: JobState, c: cmd.Begin, now: Moment) -> Events:
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


def _check(job: JobState, c: cmd.AnswerCheck, now: Moment) -> Events:
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


def _skip(job: JobState, c: cmd.Skip, now: Moment) -> Events:
    step = check_step(job, c.address)
    if not c.reason.strip():
        raise Refused("Give a reason for skipping; you'll want it next time.")
    owes_weight = step.weigh is not None and job.weighing_at(step.address) is None
    if step.address in job.skipped or (step.address in job.done and not owes_weight):
        raise AlreadySo(f"{step.address} is already done or skipped.")
    return [ev.Skipped(happened=c.at or now, recorded=now, address=step.address, reason=c.reason)]


def _spoil(job: JobState, c: cmd.Spoil, now: Moment) -> Events:
    pieces = {p.name for p in job.plan.pieces} if job.plan else set()
    if c.piece not in pieces:
        raise UnknownAddress(f"{job.title} has no piece “{c.piece[:20]}”.")
    if c.piece in job.spoiled:
        raise AlreadySo(f"Piece {c.piece} is already scrap.")
    return [
        ev.Spoiled(
            happened=c.at or now, recorded=now, piece=c.piece, reason=c.reason, remake=c.remake
        )
    ]


def _note(job: JobState, c: cmd.Note, now: Moment) -> Events:
    if not (c.text.strip() or c.photo.strip()):
        raise Refused("The note is empty.")
    address = check_step(job, c.address).address if c.address else ""
    return [
        ev.Noted(
            happened=c.at or now, recorded=now, text=c.text.strip(), address=address, photo=c.photo
        )
    ]


def _wish(c: cmd.WishNextTime, now: Moment) -> Events:
    if not c.text.strip():
        raise Refused("Say what to do differently next time.")
    return [
        ev.NextTime(happened=c.at or now, recorded=now, file_step=c.file_step, text=c.text.strip())
    ]


def _pause_or_resume(job: JobState, c: cmd.Pause | cmd.Resume, now: Moment) -> Events:
    pauses, is_paused = isinstance(c, cmd.Pause), job.status == "paused"
    if pauses == is_paused:
        raise AlreadySo(f"{job.title} is {'already' if is_paused else 'not'} paused.")
    if isinstance(c, cmd.Pause):
        return [ev.Paused(happened=c.at or now, recorded=now, reason=c.reason)]
    return [ev.Resumed(happened=c.at or now, recorded=now)]


def _stop(c: cmd.Stop, now: Moment) -> Events:
    if not c.reason.strip():
        raise Refused("Stopping a job needs a reason.")
    return [ev.Stopped(happened=c.at or now, recorded=now, reason=c.reason)]


def _finish(job: JobState, c: cmd.Finish, now: Moment) -> Events:
    left = [s for s in job.steps.values() if not job.is_settled(s.address)]
    if left:
        many = f"{len(left)} steps are still to do, first" if left[1:] else "Still to do is"
        raise NotNow(
            f"{many} {left[0].address}. Do what is left, skip it, or stop the job with a reason."
        )
    return [ev.Finished(happened=c.at or now, recorded=now, outcome=c.outcome, photo=c.photo)]


def _see(job: JobState, c: cmd.See, now: Moment) -> Events:
    fresh = tuple(k for k in c.keys if k not in job.seen)
    return [ev.Seen(happened=now, recorded=now, keys=fresh)] if fresh else []


def _tick(job: JobState, c: cmd.Tick, now: Moment) -> Events:
    if (c.what in job.ticked) == c.there:
        return []
    return [ev.Ticked(happened=now, recorded=now, what=c.what, there=c.there)]


def _change(job: JobState, c: cmd.ChangePlan, now: Moment) -> Events:
    if c.plan.job != job.job:
        raise JobClosed(f"That plan belongs to {c.plan.job}.")
    return [
        ev.PlanChanged(
            happened=c.at or now,
            recorded=now,
            plan=c.plan,
            schema=2,
            amounts=c.amounts,
            differences=c.differences,
            reason=c.reason,
            text=c.text,
        )
    ]
