"""Decisions about weights: running readings, weighings, corrections."""

from __future__ import annotations

from itertools import pairwise

from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.guards import (
    begun_by,
    check_before,
    check_in_time,
    check_mass,
    check_not_done,
    check_step,
    in_order,
)
from benchmate.job.events import stored as ev
from benchmate.job.state.state import JobState, Running
from benchmate.job.windows.windows import Around
from benchmate.job.words.phrases import plain, thing_of
from benchmate.moment import Moment
from benchmate.plan.plan import Step
from benchmate.refusal import AlreadySo, NotNow, UnknownAddress


def read_scale(job: JobState, c: cmd.ReadScale, now: Moment) -> list[ev.JobEvent]:
    """A running reading: kept as read, so that a power cut in the pour loses none."""
    step = check_step(job, c.address)
    check_mass(c.reading_g, "A reading")
    if step.weigh is None:
        raise NotNow(f"{step.address} has no weigh point.")
    return [
        ev.RunningRead(
            happened=c.at or now,
            recorded=now,
            address=step.address,
            reading_g=c.reading_g,
            text=c.text,
            adding=c.adding,
        )
    ]


def weigh(job: JobState, c: cmd.Weigh, now: Moment, around: Around) -> list[ev.JobEvent]:
    """A weighing. One of a pour that isn't marked yet marks it. A second one at the same point
    is refused unless it is said to be meant: of several benches that weigh at once one records;
    then it stands beside the first (the latest counts)."""
    check_mass(c.net_g, "A weight")
    when = c.at or now
    out: list[ev.JobEvent] = []
    address = c.address
    if address:
        step = check_step(job, address)
        address = step.address
        if step.weigh is None:
            raise NotNow(f"{address} has no weigh point; note the weight, or weigh another step.")
        check_unweighed(job, step, again=c.again)
        if address not in job.done:
            check_not_done(job, step)
            check_before(job, step)
            when = in_order(job, step, around, c.at) if c.at else now
            check_in_time(job, step, around, around.timeline.at(when))
            out.append(
                ev.Done(
                    happened=when,
                    recorded=now,
                    address=address,
                    begun=begun_by(job, address, around, when),
                )
            )
    elif job.plan is not None and c.piece not in {p.name for p in job.plan.pieces}:
        raise UnknownAddress("Say which weigh point it belongs to; `benchmate next` names it.")
    if c.stands:
        out.append(
            ev.Questioned(
                happened=when, recorded=now, address=address, question=c.stands, answer="it stands"
            )
        )
    split = c.split or split_of(job.running.get(address, ()))
    out.append(
        ev.Weighed(
            happened=when,
            recorded=now,
            address=address,
            net_g=c.net_g,
            gross=c.gross,
            tare=c.tare,
            gross_g=c.gross_g,
            tare_g=c.tare_g,
            scale=c.scale,
            u_g=c.u_g,
            dof=c.dof,
            split=split,
            division_g=c.division_g,
            piece=c.piece,
            what=c.what,
        )
    )
    return out


def check_unweighed(job: JobState, step: Step, *, again: bool) -> None:
    """The step has no weight yet, or another one is meant to count. Raises AlreadySo."""
    known = job.weighing_at(step.address)
    if known is not None and not again:
        raise AlreadySo(
            f"{thing_of(job, step)} is already weighed: {plain(known.net_g)} g. To mend "
            f"it, correct entry {known.version}; if it was weighed once more, say --again."
        )


def split_of(readings: tuple[Running, ...]) -> dict[str, float]:
    """Grams by what was being added, from the differences of the running readings."""
    split: dict[str, float] = {}
    for before, after in pairwise(readings):
        if after.adding:
            split[after.adding] = split.get(after.adding, 0.0) + after.reading_g - before.reading_g
    return split


def correct(job: JobState, c: cmd.Correct, now: Moment) -> list[ev.JobEvent]:
    """A recorded weight was wrong."""
    check_mass(c.net_g, "The corrected weight")
    if c.version not in job.weighings:
        raise UnknownAddress(f"Entry {c.version} of {job.title} is no weighing that counts.")
    return [
        ev.Corrected(
            happened=c.at or now,
            recorded=now,
            version=c.version,
            net_g=c.net_g,
            reason=c.reason,
            text=c.text,
        )
    ]
