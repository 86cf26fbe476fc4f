"""Recording the air, putting a reading right, and the label's time beside our estimate."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from benchmate.bench.air.news import NAMES, WORTH_SHARE, Clock, Told, chill_of
from benchmate.bench.service import Bench
from benchmate.job.deciding.streams import commands as cmd
from benchmate.job.deciding.streams.air import no_such_reading
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import PLACE
from benchmate.job.windows.windows import Edge, WindowView
from benchmate.job.words.phrases import SAME_S
from benchmate.moment import Moment
from benchmate.quantities import Units, show_percent, show_temperature

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
LOOK_BACK = 500
"""So many of a place's last events are looked through for the last reading that was typed."""


def record_air(
    bench: Bench,
    place: str,
    temperature_c: float,
    humidity_pct: float | None,
    *,
    at: Moment | None = None,
    source: str = cmd.TYPED,
    stands: bool = False,
) -> list[str]:
    """Record a reading; what it moved, in sentences.

    Raises Refused for what can't be air, and DoubtfulAir for what looks like a slip, unless it
    `stands`.
    """
    reading = cmd.ReadAir(
        place=place,
        temperature_c=temperature_c,
        humidity_pct=humidity_pct,
        at=at,
        source=source,
        stands=stands,
    )
    shown = _shown(bench, temperature_c, humidity_pct)
    return _recorded(bench, reading, f"Recorded: {place} {shown}.")


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
    damp = old.humidity_pct if humidity_pct is None else humidity_pct
    reading = cmd.CorrectAir(
        place=place,
        version=version,
        at=old.happened,
        temperature_c=temperature_c,
        humidity_pct=damp,
        stands=stands,
    )
    was = _shown(bench, old.temperature_c, old.humidity_pct)
    text = f"Put right: {place} {_shown(bench, temperature_c, damp)}, not {was}."
    return _recorded(bench, reading, text)


def take_back_air(bench: Bench, place: str, number: int | None = None) -> list[str]:
    """Take a reading back, as `correct_air` finds it; the windows follow those that remain.

    Raises UnknownAddress where there is no such reading.
    """
    version, old = last_typed(bench, place, number)
    was = _shown(bench, old.temperature_c, old.humidity_pct)
    text = f"Undone: {place} {was}; it stays in the logbook."
    return _recorded(bench, cmd.TakeBackAir(place=place, version=version), text)


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
    typed = [(version, e) for version, e in found if e.source == cmd.TYPED]
    if not found:
        raise no_such_reading(place, number)
    return (typed or found)[-1]


def _shown(bench: Bench, temperature_c: float, humidity_pct: float | None) -> str:
    damp = "" if humidity_pct is None else f", {show_percent(humidity_pct)}"
    return show_temperature(temperature_c, bench.settings.units) + damp


def _recorded(bench: Bench, command: cmd.ShopCommand, text: str) -> list[str]:
    """Do a command about the air; what was done, and what it moved."""
    told = Told.of(bench)
    bench.settle(command)
    return [text, *told.news(bench)]


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
    label = f"{clock(edge.label_at)} by {'rule of thumb' if edge.rough else 'the label'}"
    if edge.kind == "label":
        own = abs(edge.at - edge.label_at) > 1.0
        return f"{label}; {clock(edge.at)} by your own rule" if own else label
    if edge.latest - edge.earliest < SAME_S:
        return f"{label}; in this air too"
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
