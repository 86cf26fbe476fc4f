"""Events as a person reads them: the logbook's words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from benchmate.job.events import stored as ev
from benchmate.job.state.remake import mixed_again
from benchmate.job.words.phrases import plain, short_address

NameOf = Callable[[int], str]
"""What an event of the same stream is called, by its number."""


def tell(event: ev.AnyEvent | ev.Unknown, name_of: NameOf | None = None) -> str:
    """An event in one line, without its time.

    `name_of` names the events that a correction or a taking back is about; without it they are
    numbers.
    """
    if isinstance(event, ev.TakenBack):
        return "took back " + ", ".join(_named(v, name_of) for v in event.versions)
    if isinstance(event, ev.Corrected):
        why = f": {event.reason}" if event.reason else ""
        return f"corrected {_named(event.version, name_of)} to {plain(event.net_g)} g{why}"
    if isinstance(event, ev.Unknown):
        name = f"“{event.kind}”" if event.kind else "what can't be read here"
        return f"{name}, written by a newer benchmate"
    teller = _TELL.get(type(event))
    if teller is not None:
        return teller(event)
    where = getattr(event, "address", "")
    return f"{ev.kind_of(event)} {short_address(where)}".strip()


def _named(version: int, name_of: NameOf | None) -> str:
    return f"entry {version}" if name_of is None else f"“{name_of(version)}”"


def _done(e: ev.Done) -> str:
    used = "".join(f", {a.what} {plain(a.amount)} {a.unit}" for a in e.used)
    left = f", {plain(e.left_g)} g left in the cup" if e.left_g is not None else ""
    return f"done {short_address(e.address)}{used}{left}"


def _amounts(e: ev.AmountsSaid) -> str:
    used = [f"{a.what} {plain(a.amount)} {a.unit}" for a in e.used]
    left = [f"{plain(e.left_g)} g left in the cup"] if e.left_g is not None else []
    return f"said of {short_address(e.address)}: {', '.join(used + left)}"


def _weighed(e: ev.Weighed) -> str:
    where = short_address(e.address) if e.address else (e.what or e.piece or "on the scale")
    read = f" (read {' '.join(e.gross)}" + (f", tare {' '.join(e.tare)}" if e.tare else "") + ")"
    split = ", ".join(f"{plain(g)} g {what}" for what, g in e.split.items())
    return (
        f"weighed {where}: {plain(e.net_g)} g"
        + (read if e.gross else "")
        + (f"; {split}" if split else "")
    )


def _air(e: ev.AirRead) -> str:
    damp = f", {plain(e.humidity_pct)} %" if e.humidity_pct is not None else ""
    doubt = f" (doubtful: {e.doubtful})" if e.doubtful else ""
    instead = f", in place of event {e.corrects}'s" if e.corrects is not None else ""
    return f"air {plain(e.temperature_c)} °C{damp}, {e.source}{instead}{doubt}"


def _missed(e: ev.MissedAnswered) -> str:
    why = f": {e.reason}" if e.reason else ""
    again = f"; {mixed_again(e.step)}" if e.answer == "spoiled" and e.step is not None else ""
    return f"missed {short_address(e.window)}: {e.answer}{again}{why}"


def _spoiled(e: ev.Spoiled) -> str:
    return f"piece {e.piece} {'to be made again' if e.remake else 'spoiled'}: {e.reason}"


def _noted(e: ev.Noted) -> str:
    photo = f" [photo {e.photo}]" if e.photo else ""
    where = f"{short_address(e.address)}: " if e.address else ""
    return f"note {where}{e.text}{photo}"


def _free(e: ev.FreeAct) -> str:
    tin = f" from {e.tin}" if e.tin else ""
    used = "".join(f", {plain(a.amount)} {a.unit}" for a in e.used)
    what = " ".join(t for t in (e.act or "done", e.name or e.piece) if t)
    return f"{what}{tin}{used}"


_TELL: dict[type, Callable[[Any], str]] = {
    ev.JobStarted: lambda e: f"job started: {e.title}",
    ev.Begun: lambda e: f"begun {short_address(e.address)}",
    ev.Done: _done,
    ev.AmountsSaid: _amounts,
    ev.FreeAct: _free,
    ev.RunningRead: lambda e: (
        f"reading {short_address(e.address)}: {e.text}" + (f", {e.adding} in" if e.adding else "")
    ),
    ev.Weighed: _weighed,
    ev.Checked: lambda e: f"checked {short_address(e.address)}, {e.name}: {e.text or e.value}",
    ev.Skipped: lambda e: f"skipped {short_address(e.address)}: {e.reason}",
    ev.Spoiled: _spoiled,
    ev.MissedAnswered: _missed,
    ev.Noted: _noted,
    ev.NextTime: lambda e: f"next time, at {e.file_step or 'the start'}: {e.text}",
    ev.Paused: lambda e: "paused" + (f": {e.reason}" if e.reason else ""),
    ev.Stopped: lambda e: f"stopped: {e.reason}",
    ev.Finished: lambda e: "finished" + (f": {e.outcome}" if e.outcome else ""),
    ev.Seen: lambda e: f"seen: {len(e.keys)} remarks",
    ev.Ticked: lambda e: f"laid out: {e.what}" if e.there else f"not laid out: {e.what}",
    ev.PlanChanged: lambda e: "plan changed: " + "; ".join(e.lines),
    ev.Questioned: lambda e: f"asked about {short_address(e.address)}: {e.question} {e.answer}",
    ev.AirRead: _air,
    ev.EdgeSetBack: lambda e: f"set back: {e.said}",
    ev.AirSilent: lambda e: f"air: {e.said}",
    ev.ClockBegan: lambda e: "this machine was started",
    ev.ClockShifted: lambda e: f"the wall clock was set by {e.shift_s:+.0f} s",
    ev.ScaleDescribed: lambda e: f"scale {e.name}: division {plain(e.division_g)} g",
    ev.ScaleChecked: lambda e: (
        f"scale {e.name} checked: {plain(e.nominal_g)} g read {plain(e.reading_g)} g"
    ),
    ev.TinDescribed: lambda e: f"tin {e.name} described",
    ev.TinGone: lambda e: f"tin {e.name} is gone",
    ev.TinUsed: lambda e: (
        f"tin {e.name}: {plain(abs(e.amount))} {e.unit} {'used' if e.amount >= 0 else 'put back'}"
    ),
    ev.Learned: lambda e: (
        f"plan value {e.key} of {e.procedure}: "
        + ("back to the file's" if e.value is None else plain(e.value))
    ),
    ev.NextTimeKept: lambda e: f"kept for next time ({e.procedure}, {e.file_step}): {e.text}",
    ev.NextTimeDropped: lambda e: (
        (f"taken into {e.into}" if e.into else "no longer for next time")
        + f" ({e.procedure}, {e.file_step}): {e.text}"
    ),
    ev.JobEnded: lambda e: f"job {e.job} of {e.procedure} {e.status}",
    ev.DayPlanned: lambda e: f"day plan adopted: {len(e.dates)} dates",
}
