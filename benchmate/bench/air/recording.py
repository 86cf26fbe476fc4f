"""Recording the air, putting a reading right, and the label's time beside our estimate."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.air.slips import DoubtfulAir, doubt_of, is_impossible
from benchmate.bench.air.news import NAMES, WORTH_SHARE, Clock, Told, chill_of, set_backs
from benchmate.bench.service import Bench
from benchmate.bench.side_events import Write
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import PLACE
from benchmate.job.windows.windows import Edge, WindowView
from benchmate.moment import Moment
from benchmate.quantities import Units, show_percent, show_temperature
from benchmate.quantities.worded import in_units
from benchmate.refusal import UnknownAddress

__all__ = [
    "NAMES",
    "WORTH_SHARE",
    "Told",
    "bare_unit",
    "chill_of",
    "correct_air",
    "edge_data",
    "edge_text",
    "in_short",
    "last_typed",
    "moved_edges",
    "record_air",
    "take_back_air",
]
TYPED = "typed"
LOOK_BACK = 500
"""So many of a place's last events are looked through for the last reading that was typed."""


def record_air(
    bench: Bench,
    place: str,
    temperature_c: float,
    humidity_pct: float | None,
    *,
    at: Moment | None = None,
    source: str = TYPED,
    stands: bool = False,
) -> list[str]:
    """Record a reading; what it moved, in sentences.

    Raises Refused for what can't be air, and DoubtfulAir for what looks like a slip, unless it
    `stands`.
    """
    moment = at or bench.now()
    log = bench.shop.air_of(place)
    reading = Reading(bench.now_s(moment), temperature_c, humidity_pct)
    event = _asked(bench, log, reading, moment, source=source, stands=stands)
    shown = _shown(bench, event)
    log = log.plus(reading._replace(is_doubtful=bool(event.doubtful)))
    return _recorded(bench, place, [event], log, f"Recorded: {place} {shown}.")


def correct_air(
    bench: Bench,
    place: str,
    temperature_c: float,
    humidity_pct: float | None,
    *,
    number: int | None = None,
    stands: bool = False,
) -> list[str]:
    """Put a reading right: the newest that was typed, or that of an event's number.

    The old one stays in the logbook. Raises as `record_air`, and UnknownAddress where there is no
    such reading.
    """
    version, old = last_typed(bench, place, number)
    log = bench.shop.air_of(place).without({version})
    damp = old.humidity_pct if humidity_pct is None else humidity_pct
    reading = Reading(bench.now_s(old.happened), temperature_c, damp)
    event = _asked(bench, log, reading, old.happened, corrects=version, stands=stands)
    said = f"Put right: {place} {_shown(bench, event)}, not {_shown(bench, old)}."
    log = log.plus(reading._replace(is_doubtful=bool(event.doubtful)))
    return _recorded(bench, place, [_gone(bench, version), event], log, said)


def take_back_air(bench: Bench, place: str, number: int | None = None) -> list[str]:
    """Take a reading back, as `correct_air` finds it; the windows follow those that remain.

    Raises UnknownAddress where there is no such reading.
    """
    version, old = last_typed(bench, place, number)
    said = f"Taken back: {place} {_shown(bench, old)}; it stays in the logbook."
    log = bench.shop.air_of(place).without({version})
    return _recorded(bench, place, [_gone(bench, version)], log, said)


def last_typed(bench: Bench, place: str, number: int | None = None) -> tuple[int, ev.AirRead]:
    """The newest reading of a place that was typed and still counts (the newest of all where none
    was), or the one of an event's number. Raises UnknownAddress."""
    stream, log = PLACE + place, bench.shop.air_of(place)
    newest = bench.shop.versions.get(stream, 0)
    since = max(0, newest - LOOK_BACK if number is None else number - 1)
    rows = bench.journal.read_stream(stream, since)
    counting = {r.number for r in log.every}
    found = [
        (row.version, e)
        for row in rows[: None if number is None else 1]
        if isinstance(e := ev.decode(row.data), ev.AirRead)
        and row.version in counting
        and number in (None, row.version)
    ]
    typed = [(version, e) for version, e in found if e.source == TYPED]
    if not found:
        which = "" if number is None else f" number {number}"
        raise UnknownAddress(f"There is no reading{which} of the air in {place} to put right.")
    return (typed or found)[-1]


def _asked(
    bench: Bench,
    log: AirLog,
    reading: Reading,
    happened: Moment,
    *,
    source: str = TYPED,
    corrects: int | None = None,
    stands: bool = False,
) -> ev.AirRead:
    """The event of a reading, once it was asked about where it looks like a slip."""
    doubt = doubt_of(log, reading)
    if doubt is not None and (is_impossible(reading) or not stands):
        question = DoubtfulAir(doubt, is_impossible=is_impossible(reading))
        question.say_in(bench.settings.units)
        raise question
    return ev.AirRead(
        happened=happened,
        recorded=bench.now(),
        temperature_c=reading.temperature_c,
        humidity_pct=reading.humidity_pct,
        source=source,
        corrects=corrects,
        doubtful="" if doubt is None else in_units(doubt.text, bench.settings.units),
    )


def _gone(bench: Bench, version: int) -> ev.TakenBack:
    now = bench.now()
    return ev.TakenBack(happened=now, recorded=now, versions=(version,))


def _shown(bench: Bench, event: ev.AirRead) -> str:
    damp = "" if event.humidity_pct is None else f", {show_percent(event.humidity_pct)}"
    return show_temperature(event.temperature_c, bench.settings.units) + damp


def _recorded(
    bench: Bench, place: str, events: Sequence[ev.AnyEvent], log: AirLog, said: str
) -> list[str]:
    """Commit events after which a place's log is as given; what was done, and what it moved."""
    told = Told.of(bench)
    writes: list[Write] = [(PLACE + place, e) for e in (*events, *set_backs(bench, {place: log}))]
    bench.record(*writes)
    return [said, *told.news(bench)]


def bare_unit(units: Units) -> str:
    """What a typed temperature without a unit is in: what the maker's own thermometer shows."""
    return "°F" if units == "inch" else "°C"


def in_short(said: Sequence[str], most: int = 2) -> str:
    """The first few sentences, and how many more there are: for a screen's last rows."""
    more = len(said) - most
    tail = [f"{more} more: see `benchmate air`."] if more > 0 else []
    return " ".join([*said[:most], *tail])


# The label's time and our estimate, side by side ------------------------------------------------


def moved_edges(views: Sequence[WindowView], clock: Clock) -> list[str]:
    """For each running window: the label's time and our estimate, side by side."""
    return [
        f"  {view.window.label}, {NAMES[name]}: {edge_text(edge, clock)}{_touch(view, name)}"
        for view in views
        for name, edge in view.edges.items()
        if edge.at > view.now
    ]


def edge_text(edge: Edge, clock: Clock) -> str:
    """ "17:23 by the label; in this air about 18:10 (17:50 to 18:40)"."""
    label = f"{clock(edge.label_at)} by the label"
    if edge.kind == "label":
        own = abs(edge.at - edge.label_at) > 1.0
        return f"{label}; {clock(edge.at)} by your own rule" if own else label
    span = f"{clock(edge.earliest)} to {clock(edge.latest)}"
    if edge.kind == "range":
        return f"{label}; in this air some time from {span}"
    return f"{label}; in this air about {clock(edge.middle)} ({span})"


def _touch(view: WindowView, name: str) -> str:
    return "; a touch test decides" if view.touch_test and name != "closes" else ""


def edge_data(bench: Bench, view: WindowView) -> dict[str, Any]:
    """A running window's edges as data: label, estimate and range in Unix seconds."""
    wall = bench.wall_at
    return {
        "window": view.address,
        "label": view.window.label,
        "knows_air": view.knows_air,
        "touch_test": view.touch_test,
        "spoiled_at": None if view.spoiled_at is None else wall(view.spoiled_at),
        "edges": {
            name: {
                "kind": e.kind,
                "label_at": wall(e.label_at),
                "at": wall(e.at),
                "about": wall(e.middle),
                "earliest": wall(e.earliest),
                "latest": wall(e.latest),
            }
            for name, e in view.edges.items()
        },
    }
