"""Events as a person reads them: the logbook's words. What an old journal says stays as it is."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import groupby

from benchmate.air.followed.notices import Notice, notice_text
from benchmate.air.readings import Reading
from benchmate.air.slips import strange_text
from benchmate.job.events import stored as ev
from benchmate.job.state.remake import mixed_again
from benchmate.job.words.phrases import plain, short_address
from benchmate.localtime import show_when
from benchmate.moment import Moment
from benchmate.quantities import Units, show_duration
from benchmate.quantities.worded import in_units


def _entry(version: int) -> str:
    return f"entry {version}"


@dataclass(frozen=True)
class Known:
    """What an event's words take from elsewhere: names of what it is about, the reader's units."""

    entry: Callable[[int], str] = _entry
    """What an event of the same stream is called, by its number."""
    window: Callable[[str], str] = short_address
    """What a window is called, by its address."""
    units: Units = "metric"


NOTHING_KNOWN = Known()
_BACK = {
    "opens": ("open", "it opens"),
    "full": ("at full strength", "it gets there"),
    "closes": ("closed", "it closes"),
}


def tell(event: ev.AnyEvent | ev.Unknown, known: Known = NOTHING_KNOWN) -> str:
    """An event in one line, without its time."""
    match event:
        case ev.Unknown(kind=ev.LOST):
            return "an entry that damage destroyed"
        case ev.Unknown():
            name = f"“{event.kind}”" if event.kind else "an entry this version can't read"
            return f"{name}, written by a newer benchmate"
        case ev.TakenBack():
            return "undid " + ", ".join(known.entry(v) for v in event.versions)
        case ev.Corrected():
            why = f": {event.reason}" if event.reason else ""
            return f"corrected {known.entry(event.version)} to {plain(event.net_g)} g{why}"
        case ev.AirRead():
            return _air(event, known)
        case ev.AirSilent():
            return f"air: {event.said or in_units(notice_text(_notice(event)), known.units)}"
        case ev.EdgeSetBack():
            return f"new estimate: {event.said or _set_back(event, known)}"
        case (
            ev.ClockBegan()
            | ev.ClockShifted()
            | ev.ScaleDescribed()
            | ev.ScaleChecked()
            | ev.MaterialDescribed()
            | ev.MaterialGone()
            | ev.MaterialUsed()
        ):
            return _tell_shop(event)
        case (
            ev.Learned() | ev.WaitSeen() | ev.NextTimeKept() | ev.NextTimeDropped() | ev.JobEnded()
        ):
            return _tell_lesson(event)
        case ev.VerdictRules():
            return ev.kind_of(event)
        case ev.DayPlanned():
            many = f"day sheet: {len(event.dates)} dates"
            return many if event.changed in ("", "dates") else f"{many}, {event.changed} changed"
        case _:
            return _tell_job(event)


def _tell_job(e: ev.JobEvent) -> str:
    match e:
        case ev.Done():
            return _done(e)
        case ev.AmountsSaid():
            return _amounts(e)
        case ev.FreeAct():
            return _free(e)
        case ev.RunningRead():
            adding = f", {e.adding} in" if e.adding else ""
            return f"reading {short_address(e.address)}: {e.text}{adding}"
        case ev.Weighed():
            return _weighed(e)
        case ev.Checked():
            return f"checked {short_address(e.address)}, {e.name}: {e.text or e.value}"
        case ev.Skipped():
            return f"skipped {short_address(e.address)}: {e.reason}"
        case ev.Spoiled():
            return f"piece {e.piece} {'to be made again' if e.remake else 'scrap'}: {e.reason}"
        case ev.MissedAnswered():
            return _missed(e)
        case ev.Noted():
            return _noted(e)
        case ev.Tried():
            return f"tested {short_address(e.window)}: {'ready' if e.ready else 'not ready yet'}"
        case ev.Questioned():
            return f"asked about {short_address(e.address)}: {e.question} {e.answer}"
        case _:
            return _tell_course(e)


def _tell_course(e: ev.JobEvent) -> str:
    """What happens to a job as a whole; any other event by its kind and its address."""
    match e:
        case ev.JobStarted():
            return f"job started: {e.title}"
        case ev.NextTime():
            return f"next time, at {e.file_step or 'the start'}: {e.text}"
        case ev.Paused():
            return "paused" + (f": {e.reason}" if e.reason else "")
        case ev.Stopped():
            return f"stopped: {e.reason}"
        case ev.Finished():
            return "finished" + (f": {e.outcome}" if e.outcome else "")
        case ev.Seen():
            return f"{len(e.keys)} flag{'' if len(e.keys) == 1 else 's'} OK'd"
        case ev.Ticked():
            return f"to hand: {e.what}" if e.there else f"not to hand: {e.what}"
        case ev.PlanChanged():
            why = f", because: {e.reason}" if e.reason and not e.lines else ""
            return "plan changed: " + "; ".join(change_lines(e)) + why
        case _:
            return f"{ev.kind_of(e)} {short_address(getattr(e, 'address', ''))}".strip()


def _tell_shop(
    e: ev.ClockBegan
    | ev.ClockShifted
    | ev.ScaleDescribed
    | ev.ScaleChecked
    | ev.MaterialDescribed
    | ev.MaterialGone
    | ev.MaterialUsed,
) -> str:
    match e:
        case ev.ClockBegan():
            return "this machine was started"
        case ev.ClockShifted():
            return f"this computer's time was set by {e.shift_s:+.0f} s"
        case ev.ScaleDescribed():
            return f"scale {e.name}: division {plain(e.division_g)} g"
        case ev.ScaleChecked():
            read = f"{plain(e.nominal_g)} g read {plain(e.reading_g)} g"
            return f"scale {e.name} checked: {read}"
        case ev.MaterialDescribed():
            return f"{e.name} on the shelf"
        case ev.MaterialGone():
            return f"{e.name} off the shelf"
        case ev.MaterialUsed():
            way = "used" if e.amount >= 0 else "put back"
            return f"{e.name}: {plain(abs(e.amount))} {e.unit} {way}"


def _tell_lesson(
    e: ev.Learned | ev.WaitSeen | ev.NextTimeKept | ev.NextTimeDropped | ev.JobEnded,
) -> str:
    match e:
        case ev.Learned(procedure=""):
            share = "as on the label" if e.value is None else f"{plain(e.value)} × the label's time"
            return f"{e.key}: {share}"
        case ev.Learned():
            value = "back to the file's" if e.value is None else plain(e.value)
            return f"plan value {e.key} of {e.procedure}: {value}"
        case ev.WaitSeen():
            ends = [f"not ready after {show_duration(e.not_by_s)}"] if e.not_by_s else []
            ends += [f"ready after {show_duration(e.by_s)}"] if e.by_s is not None else []
            seen = ", ".join(ends) if e.counts else "taken back"
            return f"{e.material}, {e.clock}: {seen} (label {show_duration(e.label_s)})"
        case ev.NextTimeKept():
            return f"for next time ({e.procedure}, {e.file_step}): {e.text}"
        case ev.NextTimeDropped():
            what = f"taken into {e.into}" if e.into else "no longer for next time"
            return f"{what} ({e.procedure}, {e.file_step}): {e.text}"
        case ev.JobEnded():
            return f"job {e.job} of {e.procedure} {e.status}"


def _done(e: ev.Done) -> str:
    used = "".join(f", {a.what} {plain(a.amount)} {a.unit}" for a in e.used)
    left = f", {plain(e.left_g)} g left in the cup" if e.left_g is not None else ""
    return f"done {short_address(e.address)}{used}{left}"


def _amounts(e: ev.AmountsSaid) -> str:
    used = [f"{a.what} {plain(a.amount)} {a.unit}" for a in e.used]
    left = [f"{plain(e.left_g)} g left in the cup"] if e.left_g is not None else []
    return f"{short_address(e.address)}: {', '.join(used + left)}"


def _weighed(e: ev.Weighed) -> str:
    where = short_address(e.address) if e.address else (e.what or e.piece or "on the scale")
    read = f" (read {' '.join(e.gross)}" + (f", tare {' '.join(e.tare)}" if e.tare else "") + ")"
    split = ", ".join(f"{plain(g)} g {what}" for what, g in e.split.items())
    return (
        f"weighed {where}: {plain(e.net_g)} g"
        + (read if e.gross else "")
        + (f"; {split}" if split else "")
    )


def _air(e: ev.AirRead, known: Known) -> str:
    damp = f", {plain(e.humidity_pct)} %" if e.humidity_pct is not None else ""
    instead = f", in place of entry {e.corrects}'s" if e.corrects is not None else ""
    why = e.doubtful or (in_units(_strange(e) or "", known.units) if e.stands else "")
    doubt = f" (doubtful: {why})" if why else ""
    return f"air {plain(e.temperature_c)} °C{damp}, {e.source}{instead}{doubt}"


def _strange(e: ev.AirRead) -> str | None:
    """What spoke against a reading that stands, from what was recorded with it."""
    beside = None if e.beside is None else Reading(-e.beside.before_s, e.beside.temperature_c)
    return strange_text(Reading(0.0, e.temperature_c, e.humidity_pct), beside)


def _notice(e: ev.AirSilent) -> Notice:
    last = None if e.beside is None else Reading(-e.beside.before_s, e.beside.temperature_c)
    odd = None if e.temperature_c is None else Reading(0.0, e.temperature_c, e.humidity_pct)
    return Notice(e.source, e.what or "silent", e.why, e.quiet_s, last, odd)


def _set_back(e: ev.EdgeSetBack, known: Known) -> str:
    def when(moment: Moment | None) -> str:
        return "" if moment is None else show_when(moment.wall_s, e.recorded.wall_s)

    return set_back_text(known.window(e.window), e.edge, when(e.at), when(e.until), e.sure)


def set_back_text(label: str, edge: str, was: str, until: str, sure: str) -> str:
    """ "lamp, clamp time: was said open at 14:10; by the newer reading it opens about 14:25." """
    word, verb = _BACK.get(edge, (edge, "it comes"))
    about = "about " if sure == "about" else ""
    if sure == "latest":
        verb = "that is safe from"
    leave = "" if edge == "closes" else " Leave it as it is until then."
    return (
        f"{label}: earlier estimate {was} ({word}); by the newer reading "
        f"{verb} {about}{until}.{leave}"
    )


def change_lines(e: ev.PlanChanged) -> tuple[str, ...]:
    """The differences of a changed plan, one line per step: as they were said, where that is all
    that is known."""
    return e.lines or (*difference_lines(e.differences), *amount_lines(e.amounts))


def difference_lines(changed: Iterable[ev.Difference]) -> tuple[str, ...]:
    """ "target of B: 850 → 840 g", "added: B/all/sand-again#1: Sand the edge again"."""
    return tuple(_difference(one) for one in changed)


def _difference(one: ev.Difference) -> str:
    where = short_address(one.address) if "/" in one.address else one.address
    match one.kind:
        case "target" | "tolerance":
            numbers = (
                plain(n) if n is not None else "none" for n in (one.old_number, one.new_number)
            )
            return f"{one.kind} of {where}: {' → '.join(numbers)} {one.unit}"
        case "piece added":
            return f"one more piece: {where}"
        case "piece gone":
            return f"left out: piece {where}"
        case "material":
            return f"{where}: {one.new} in place of {one.old}"
        case "step added":
            return f"added: {where}: {one.new}"
        case "step gone":
            return f"left out: {where}"
        case "order" if one.new:
            return f"{where} comes behind {short_address(one.new)}"
        case "order":
            return f"another order from {where} on"
        case "move gone":
            why = f"there is no {short_address(one.new)} any more" if one.new else "it comes before"
            return f"{where} no longer comes behind {short_address(one.old)}: {why}"
        case "step":
            return f"{where}: now “{one.new}”"
    edge = one.kind.removeprefix("clock ")
    times = (
        show_duration(s) if s is not None else "never" for s in (one.old_number, one.new_number)
    )
    return f"{where} {edge} after {' → '.join(times)}"


def amount_lines(changed: Iterable[ev.AmountChanged]) -> tuple[str, ...]:
    """ "B/block/pour#3: shot 101.0 → 96.5 g, resin 9.0 → 9.4 g"."""
    steps = groupby(changed, key=lambda c: c.address)
    return tuple(
        f"{short_address(address)}: "
        + ", ".join(f"{c.what} {c.old:.1f} → {c.new:.1f} {c.unit}" for c in group)
        for address, group in steps
    )


def _missed(e: ev.MissedAnswered) -> str:
    why = f": {e.reason}" if e.reason else ""
    again = f"; {mixed_again(e.step)}" if e.answer == "spoiled" and e.step is not None else ""
    return f"missed {short_address(e.window)}: {e.answer}{again}{why}"


def _noted(e: ev.Noted) -> str:
    photo = f" [photo {e.photo}]" if e.photo else ""
    where = f"{short_address(e.address)}: " if e.address else ""
    return f"note {where}{e.text}{photo}"


def _free(e: ev.FreeAct) -> str:
    material = f" from {e.material}" if e.material else ""
    used = "".join(f", {plain(a.amount)} {a.unit}" for a in e.used)
    what = " ".join(t for t in (e.act or "done", e.name or e.piece) if t)
    return f"{what}{material}{used}"
