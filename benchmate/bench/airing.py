"""Recording the air, and saying what it does to the windows that are running."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchmate.bench.sayings import clock_of
from benchmate.bench.service import Bench
from benchmate.job import events as ev
from benchmate.job.moment import Moment
from benchmate.job.rates import is_too_cold
from benchmate.job.readings import Reading, absurd
from benchmate.job.refusal import Refused
from benchmate.job.shop import PLACE
from benchmate.job.windows import Edge, WindowView
from benchmate.quantities import show_temperature

MOVED_S = 120.0
"""An edge that moves by less than this isn't worth a sentence."""


def record_air(
    bench: Bench,
    place: str,
    temperature_c: float,
    humidity_pct: float | None,
    *,
    at: Moment | None = None,
    source: str = "typed",
) -> list[str]:
    """Record a reading; what it moved, in sentences. Raises Refused for what can't be air."""
    moment = at or bench.now()
    reading = Reading(bench.now_s(moment), temperature_c, humidity_pct)
    strange = absurd(bench.shop.air_of(place).at(reading.t_s), reading)
    if strange and not -30 <= temperature_c <= 60:
        raise Refused(strange)
    before = {v.address: v for v in bench.agenda().windows}
    bench.record(
        (
            PLACE + place,
            ev.AirRead(
                happened=moment, recorded=bench.now(), temperature_c=temperature_c,
                humidity_pct=humidity_pct, source=source, doubtful=strange or "",
            ),
        )
    )  # fmt: skip
    said = [f"Recorded: {place} {show_temperature(temperature_c, bench.settings.units)}."]
    if strange:
        said.append(strange)
    for view in bench.agenda().windows:
        said += _moved(before.get(view.address), view, clock_of(bench))
        said += _too_cold(view, temperature_c)
    return said


def _moved(old: WindowView | None, new: WindowView, clock: Callable[[float], str]) -> list[str]:
    if old is None:
        return []
    pairs = ((old.opens, new.opens, "opens"), (old.full, new.full, "full strength"),
             (old.closes, new.closes, "closes"))  # fmt: skip
    return [
        f"{new.window.label}: {name} now {clock(b.at)}, was {clock(a.at)}."
        for a, b, name in pairs
        if a is not None and b is not None and abs(a.at - b.at) > MOVED_S and b.at > new.now
    ]


def _too_cold(view: WindowView, temperature_c: float) -> list[str]:
    if view.spoiled_at is not None:
        return [
            f"{view.window.label}: too cold. Below its lowest working temperature such a joint or "
            "film is spoiled, not late; see the maker's data sheet."
        ]
    if is_too_cold(view.window.rule, temperature_c):
        return [f"{view.window.label}: below the label's lowest working temperature."]
    return []


def moved_edges(
    bench: Bench, views: Sequence[WindowView], clock: Callable[[float], str]
) -> list[str]:
    """For each running window: the label's time and our estimate, side by side."""
    out: list[str] = []
    for view in views:
        for name, edge in (("opens", view.opens), ("full", view.full), ("closes", view.closes)):
            if edge is not None and edge.at > view.now:
                out.append(f"  {view.window.label}, {name}: {edge_text(edge, clock)}")
    return out


def edge_text(edge: Edge, clock: Callable[[float], str]) -> str:
    """ "17:23 by the label; in this air about 18:10 (17:50 to 18:40)"."""
    if edge.kind == "label":
        return f"{clock(edge.label_at)} by the label"
    span = f"{clock(edge.earliest)} to {clock(edge.latest)}"
    if edge.kind == "range":
        return f"{clock(edge.label_at)} by the label; in this air some time from {span}"
    return f"{clock(edge.label_at)} by the label; in this air about {clock(edge.middle)} ({span})"
