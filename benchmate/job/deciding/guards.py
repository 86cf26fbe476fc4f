"""Guards: run before anything is decided, they raise the refusal named after the rule broken."""

from __future__ import annotations

import math

from benchmate.job.state.state import JobState
from benchmate.job.windows.cold import can_wait, cold
from benchmate.job.windows.windows import Around, WindowView, view
from benchmate.moment import Moment
from benchmate.nearest import nearest
from benchmate.plan.address import matches, slug
from benchmate.plan.plan import Step, Window
from benchmate.quantities import show_duration
from benchmate.quantities.worded import Worded
from benchmate.refusal import (
    AlreadySo,
    BadWeight,
    JobClosed,
    NotNow,
    TooCold,
    TooLate,
    UnknownAddress,
)

HEAVIEST_G = 100_000.0
"""No shop scale this program is for reads more than 100 kg."""


def check_open(job: JobState) -> None:
    """The job can be written to."""
    if job.read_only:
        raise JobClosed(job.read_only)
    if not job.is_live:
        raise JobClosed(f"{job.title} is {job.status}; start another job to go on.")


def check_step(job: JobState, address: str) -> Step:
    """The step at an address; any unambiguous tail of the address will do."""
    if address in job.steps:
        return job.steps[address]
    found = [s for a, s in job.steps.items() if matches(address, a)]
    if len(found) == 1:
        return found[0]
    if found:
        names = ", ".join(s.address for s in found[:3])
        raise UnknownAddress(f"“{address}” could be any of {len(found)} steps: {names}. Say more.")
    near = nearest(address, job.steps, alike=0.3)
    hint = f" Nearest is {near}." if near else ""
    raise UnknownAddress(f"There is no step “{address[:60]}” in {job.title}.{hint}")


def check_not_done(job: JobState, step: Step) -> None:
    """The act isn't recorded yet, and its piece is still in the job."""
    if step.piece in job.spoiled:
        raise NotNow(f"Piece {step.piece} is scrap ({job.spoiled[step.piece]}).")
    if step.address in job.done:
        raise AlreadySo(f"{step.address} is already {step.act}; undo that to do it again.")


def check_before(job: JobState, step: Step) -> None:
    """Everything that comes first is done."""
    extras = [s.address for s in job.steps.values() if step.address in s.before]
    missing = [a for a in (*step.after, *extras) if not job.is_settled(a)]
    if missing:
        first = job.steps.get(missing[0])
        what = f" ({first.do.rstrip('.')})" if first else ""
        raise NotNow(f"Do {missing[0]} first{what}, or skip it with a reason.")


def in_order(job: JobState, step: Step, around: Around, when: Moment) -> Moment:
    """When an act that was marked later counts as done: not before what it comes after.

    A time is said to the minute, so that one within a minute is taken as meant. Raises NotNow.
    """
    extras = (s.address for s in job.steps.values() if step.address in s.before)
    earlier = [(a, job.done[a].done) for a in (*step.after, *extras) if a in job.done]
    for address, done in earlier:
        late_s = around.timeline.elapsed(when, done)
        if late_s >= 60.0:
            raise NotNow(
                f"{address} was done {show_duration(math.ceil(late_s / 60) * 60.0)} after that "
                "time. Give a later one, or undo that first."
            )
        if late_s > 0.0:
            when = done
    return when


def begun_by(
    job: JobState, address: str, around: Around, done: Moment, said: Moment | None = None
) -> Moment | None:
    """When hands were laid on a step; None where nobody said, or said a time after it was done.

    `said` is what was said with the marking: then a time that can't be is refused with NotNow.
    """
    begun = said or job.begun.get(address)
    if begun is None or around.timeline.elapsed(begun, done) >= 0.0:
        return begun
    if said is not None:
        raise NotNow("It would be started after it was done; give an earlier time for --started.")
    return None


def check_waited(job: JobState, step: Step, around: Around, at: float) -> None:
    """The windows it waits for have opened (or are full) at that time."""
    for name in (*step.waits, *step.waits_full):
        window = job.windows.get(name)
        seen = view(job, window, around, at) if window else None
        if seen is None or seen.state == "met":
            continue
        if seen.is_ruined:
            raise NotNow(
                f"{seen.window.label}: it got too cold to trust. What happened: ruined, or carry "
                "on as it is?"
            )
        edge = seen.full if name in step.waits_full else seen.opens
        name = "full" if name in step.waits_full else "opens"
        back = seen.set_back.get(name)
        if back is not None and back.said_at <= at < back.until:
            continue  # The bench itself had said so by then.
        if edge is not None and at < edge.at:
            left = max(1, math.ceil((edge.at - at) / 60))
            if edge.middle <= at:
                since = show_duration(max(60.0, at - edge.middle))
                raise NotNow(
                    f"{seen.window.label}: by the last reading it has likely been ready for {since}"
                    f", and for sure in {left} min. Read the air to settle it, or record it anyway "
                    "if the piece itself says so."
                )
            raise NotNow(
                f"{seen.window.label}: {left} min too early. Wait, or record it anyway "
                "if a test says it's ready."
            )


def check_warm(job: JobState, step: Step, around: Around, at: float) -> None:
    """The air at that time was warm enough for the step, or the step can't wait for warmer air."""
    found = cold(step.windows, step.minimum_c, around, at)
    if found is not None and found.kind == "spoils" and can_wait(job, step, around, at):
        raise TooCold(Worded("{cold} Record it anyway if all of them are warm.", cold=found.text))


def check_in_time(job: JobState, step: Step, around: Around, at: float) -> None:
    """No window it must meet had closed at that time."""
    for name in step.within:
        window = job.windows.get(name)
        if window is None or name in job.answers or window.missed == "nothing":
            continue
        seen = view(job, window, around, at)
        if seen and seen.closes and at > seen.closes.at:
            over = max(1, round((at - seen.closes.at) / 60))
            raise TooLate(
                f"{window.label} ran out {over} min before that. What happened: ruined, "
                "extra step, or done in time?"
            )


def check_moment(job: JobState, around: Around, at: Moment, now: Moment) -> Moment:
    """A time that was typed lies between the job's start and now; now where it is but a moment
    after."""
    place = around.timeline.at(at)
    if place > around.timeline.at(now) + 1.0:
        raise NotNow("That time is still to come. Give the time when it was done.")
    if place < around.timeline.at(job.started) - 86400.0:
        raise NotNow("That's more than a day before the job started. Check the time.")
    return now if place > around.timeline.at(now) else at


def check_mass(value_g: float, what: str) -> None:
    """A weight that a shop scale can show."""
    if not math.isfinite(value_g):
        raise BadWeight(f"{what} isn't a number. Read the scale again.")
    if abs(value_g) > HEAVIEST_G:
        raise BadWeight(
            f"{what} of {value_g / 1000:.0f} kg is beyond a shop scale; check the unit."
        )


def check_window(job: JobState, name: str, around: Around, at: float) -> WindowView:
    """The begun window that a name fits; of several the one whose close was missed."""
    found = [v for w in clocks_named(job, name) if (v := view(job, w, around, at)) is not None]
    asked = [v for v in found if v.asks] or found
    if len(asked) == 1:
        return asked[0]
    if asked:
        names = ", ".join(v.address for v in asked[:3])
        raise UnknownAddress(f"“{name[:60]}” could be any of {len(asked)} clocks: {names}.")
    raise UnknownAddress(f"No clock “{name[:60]}” is running in {job.title}.")


def clocks_named(job: JobState, name: str) -> list[Window]:
    """The clocks that a name fits: an address or the end of one, a label, or what it is of."""
    if name in job.windows:
        return [job.windows[name]]
    step, _, label = name.rpartition(":")
    tails = (f"{step}:{label}", f"{step}:{slug(label)}") if step else (name, slug(name))
    asked = name.casefold()
    return [w for a, w in job.windows.items() if a.endswith(tails)] or [
        w
        for w in job.windows.values()
        if asked in (w.label.casefold(), w.label.rpartition(", ")[0].casefold())
    ]
