"""Taking back: the newest act first, and what rests on it is named before it goes along."""

from __future__ import annotations

from dataclasses import replace
from textwrap import shorten

from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.words.event_text import tell
from benchmate.job.words.phrases import done_text, plain, short_address, thing_of
from benchmate.moment import Moment
from benchmate.refusal import JobClosed, RestsOn, UnknownAddress

_NOTHING = "There is nothing left to undo in {}."
_NEVER = (ev.JobStarted, ev.TakenBack, ev.Seen, ev.Unknown)


def decide(job: JobState, c: cmd.TakeBack, now: Moment) -> list[ev.JobEvent]:
    """The taking back of one event and, if agreed, of those that rest on it."""
    if job.read_only:
        raise JobClosed(job.read_only)
    target = newest(job) if c.version is None else _find(job, c.version)
    if target is None:
        raise UnknownAddress(_NOTHING.format(job.title))
    resting = rests_on(job, target)
    if resting and not c.along:
        names = ", ".join(describe(r, job) for r in resting[:4])
        more = f" and {len(resting) - 4} more" if len(resting) > 4 else ""
        rest = "rests" if len(resting) == 1 else "rest"
        them = "it" if len(resting) == 1 else "them"
        raise RestsOn(
            f"On “{describe(target, job)}” {rest} {names}{more}. Take {them} back too?",
            tuple(r.version for r in resting),
        )
    along = (*resting, *_asked(job, target))
    versions = {target.version, *(r.version for r in along)}
    return [ev.TakenBack(happened=c.at or now, recorded=now, versions=tuple(sorted(versions)))]


def as_shown(job: JobState | None, c: cmd.Command) -> cmd.Command:
    """The command, with the number of the act it takes back where it said "the newest": what was
    the newest when it was said, whatever others do before it is recorded.

    Raises UnknownAddress where there is none.
    """
    if job is None or not isinstance(c, cmd.TakeBack) or c.version is not None:
        return c
    target = newest(job)
    if target is None:
        raise UnknownAddress(_NOTHING.format(job.title))
    return replace(c, version=target.version)


def counting(job: JobState) -> list[Recorded]:
    """The events that count and can be taken back, oldest first."""
    return [r for r in job.records if r.version not in job.void and not isinstance(r.event, _NEVER)]


def newest(job: JobState) -> Recorded | None:
    """What one press takes back. Where one press marked an act and weighed it, the weight goes
    first: it is the weight that was typed wrong."""
    acts = counting(job)
    return acts[-1] if acts else None


def _find(job: JobState, version: int) -> Recorded:
    for record in counting(job):
        if record.version == version:
            return record
    raise UnknownAddress(f"Entry {version} can't be undone: it doesn't exist or doesn't count.")


def _asked(job: JobState, target: Recorded) -> list[Recorded]:
    """The question that a weighing was asked before it counted: it goes without a word."""
    before = [r for r in counting(job) if r.version < target.version][-1:]
    return [
        r
        for r in before
        if isinstance(r.event, ev.Questioned)
        and isinstance(target.event, ev.Weighed)
        and (r.event.address, r.event.recorded) == (target.event.address, target.event.recorded)
    ]


def rests_on(job: JobState, target: Recorded) -> list[Recorded]:
    """Later acts that would not have been possible without this one, oldest first."""
    address = getattr(target.event, "address", "")
    if isinstance(target.event, ev.MissedAnswered) and target.event.step is not None:
        # An extra step, or a cup mixed again, with what was poured from that.
        address = target.event.step.address
    elif not address or not isinstance(target.event, (ev.Done, ev.FreeAct, ev.Skipped)):
        return _corrections(job, target)
    gone, out = {address}, []
    for record in counting(job):
        if record.version <= target.version:
            continue
        where = getattr(record.event, "address", "") or getattr(record.event, "window", "")
        if _needs(job, where, gone, record):
            out.append(record)
            if isinstance(record.event, ev.Done):
                gone.add(where)
    return out


def _needs(job: JobState, where: str, gone: set[str], record: Recorded) -> bool:
    if where in gone or where.rpartition(":")[0] in gone:
        return not isinstance(record.event, ev.Noted)
    step = job.steps.get(where)
    if step is None or isinstance(record.event, (ev.Noted, ev.Skipped, ev.Begun)):
        return False
    anchors = (name.rpartition(":")[0] for name in (*step.waits, *step.waits_full, *step.within))
    return bool(gone & {*step.after, *anchors})


def _corrections(job: JobState, target: Recorded) -> list[Recorded]:
    return [
        r
        for r in counting(job)
        if isinstance(r.event, ev.Corrected) and r.event.version == target.version
    ]


def describe(record: Recorded, job: JobState) -> str:
    """An event in words and by its address, for questions and the logbook: "poured bookend A,
    layer 1 (A/block/pour#1)"; by its number where it has no address."""
    where = _where(record.event, job)
    at = short_address(where) if where else f"entry {record.version}"
    return f"{in_words(record.event, job)} ({at})"


def _where(event: ev.AnyEvent | ev.Unknown, job: JobState) -> str:
    if isinstance(event, ev.Corrected):
        target = _record(job, event.version)
        return _where(target.event, job) if target is not None else ""
    return str(getattr(event, "address", "") or getattr(event, "window", ""))


def _record(job: JobState, version: int) -> Recorded | None:
    return next((r for r in job.records if r.version == version), None)


def in_words(event: ev.AnyEvent | ev.Unknown, job: JobState) -> str:
    """An event in words, without its address: "poured bookend A, layer 1"."""
    step = job.steps.get(_where(event, job))
    thing = thing_of(job, step) if step is not None else ""
    if isinstance(event, ev.Weighed):
        what = thing or event.what or event.piece or "on the scale"
        return f"weighed {what}: {plain(event.net_g)} g"
    if isinstance(event, ev.Corrected):
        target = _record(job, event.version)
        old = in_words(target.event, job) if target is not None else "a weight"
        return f"corrected to {plain(event.net_g)} g: “{old}”"
    if isinstance(event, ev.MissedAnswered):
        window = job.windows.get(event.window)
        return f"{event.answer}: {window.label if window else 'a missed window'}"
    if isinstance(event, ev.Noted):
        return f"note: {shorten(event.text or event.photo, 40, placeholder=' …')}"
    if isinstance(event, ev.Checked):
        return f"checked {event.name} of {thing}: {event.text or plain(event.value)}"
    if step is None:
        return tell(event)
    if isinstance(event, ev.Done) and step.block == "extra":
        return f"extra step of {thing}"
    if isinstance(event, ev.Done):
        return done_text(job, step)
    if isinstance(event, ev.RunningRead):
        return f"reading {event.text} of {thing}"
    return f"{ev.kind_of(event)} {thing}, {step.act}"
