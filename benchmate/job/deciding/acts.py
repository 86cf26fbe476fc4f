"""Decisions about acts without a plan, and about windows that were missed."""

from __future__ import annotations

import msgspec

from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.guards import begun_by, check_window, in_order
from benchmate.job.events import stored as ev
from benchmate.job.state.remake import remade
from benchmate.job.state.state import JobState
from benchmate.job.windows.windows import Around, WindowView
from benchmate.moment import Moment
from benchmate.plan.address import address, parse, slug, window_address
from benchmate.plan.plan import Step
from benchmate.refusal import NotNow, Refused

ANSWERS = ("spoiled", "extra step", "in time", "let it be")


def do_freely(job: JobState, c: cmd.DoFreely, now: Moment) -> list[ev.JobEvent]:
    """An act without a plan: it gets the next number of its kind, and so do its windows."""
    act = c.act.strip()
    if not act:
        raise Refused("Say what was done: mixed, spread, clamped, coated …")
    piece, part = slug(c.piece) if c.piece else "", slug(c.name or c.material or act)
    n = 1 + sum(1 for f in job.free if _same(f.event, piece, part, act))
    where = address(job.job, piece, part, slug(act), n)
    windows = tuple(
        msgspec.structs.replace(w, address=window_address(where, w.name)) for w in c.windows
    )
    return [
        ev.FreeAct(
            happened=c.at or now,
            recorded=now,
            address=where,
            act=act,
            material=c.material,
            name=c.name,
            piece=c.piece,
            windows=windows,
            used=c.used,
        )
    ]


def _same(event: ev.FreeAct, piece: str, part: str, act: str) -> bool:
    at = parse(event.address)
    return at is not None and (at.piece, at.part, at.step) == (piece or "all", part, slug(act))


def answer_missed(
    job: JobState, c: cmd.AnswerMissed, now: Moment, around: Around
) -> list[ev.JobEvent]:
    """What became of a missed window. "let it be" also ends a clock that nobody waits for."""
    if c.answer not in ANSWERS:
        raise Refused(f"Say one of: {', '.join(ANSWERS)}.")
    seen = check_window(job, c.window, around, around.timeline.at(now))
    if c.answer == "in time":
        return _in_time(job, seen, c, now, around)
    if c.answer == "spoiled" and seen.state != "missed" and not seen.is_ruined:
        raise NotNow(f"{seen.window.label} is not missed yet.")
    made = _extra_step(job, seen, c.reason) if c.answer == "extra step" else None
    if c.answer == "spoiled":
        made = remade(job, seen.address.rpartition(":")[0])
    answered = ev.MissedAnswered(
        happened=c.at or now,
        recorded=now,
        window=seen.address,
        answer=c.answer,  # type: ignore[arg-type]
        step=made,
        reason=c.reason,
    )
    return [answered]


def _in_time(
    job: JobState, seen: WindowView, c: cmd.AnswerMissed, now: Moment, around: Around
) -> list[ev.JobEvent]:
    """It was done before the close: the first step that was waiting is done at that time."""
    if c.at is None:
        raise Refused("Say when it was done, for instance --at 16:35.")
    place = around.timeline.at(c.at)
    if place < seen.anchor or (seen.closes and place > seen.closes.at):
        raise NotNow(f"At that time {seen.window.label} was not open.")
    answer = ev.MissedAnswered(
        happened=c.at, recorded=now, window=seen.address, answer="in time", reason=c.reason
    )
    if not seen.pending:
        return [answer]
    step = job.steps[seen.pending[0]]
    when = in_order(job, step, around, c.at)
    begun = begun_by(job, step.address, around, when)
    done = ev.Done(happened=when, recorded=now, address=step.address, begun=begun)
    return [done] if len(seen.pending) > 1 else [done, answer]


def _extra_step(job: JobState, seen: WindowView, reason: str) -> Step:
    at = parse(seen.address)
    if at is None:
        raise Refused("An extra step needs a planned step to stand before.")
    n = 1 + sum(1 for s in job.steps.values() if s.block == "extra")
    text = reason or seen.window.missed_text or "Do what the label says after its time is over"
    return Step(
        address=address(job.job, at.piece, at.part, "extra", n),
        do=text[:1].upper() + text[1:],
        act="done",
        block="extra",
        piece="" if at.piece == "all" else at.piece,
        part=at.part,
        before=seen.pending,
    )
