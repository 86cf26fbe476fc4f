"""Recording the air, and saying what it does to the windows that are running."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from benchmate.bench.sayings import clock_of
from benchmate.bench.service import Bench
from benchmate.job import events as ev
from benchmate.job.cold import LATE, fresh_reading
from benchmate.job.moment import Moment
from benchmate.job.rates import is_too_cold
from benchmate.job.readings import Reading, absurd
from benchmate.job.refusal import Refused
from benchmate.job.shop import PLACE
from benchmate.job.windows import Around, Edge, WindowView
from benchmate.quantities import show_temperature

MOVED_S = 120.0
"""An edge that moves by less than this isn't worth a sentence."""
WORTH_SHARE = 0.05
"""Nor is one that moves by less than this share of the time still to go, where nobody asked."""
NAMES = {"opens": "opens", "full": "full strength", "closes": "closes"}
Clock = Callable[[float], str]


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
    if strange and absurd(None, reading):
        raise Refused(strange)
    told = Told.of(bench)
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
    return said + told.news(bench)


class Told:
    """The edges of all running windows as they were last said, and which cold was spoken of."""

    def __init__(self) -> None:
        self._edges: dict[tuple[str, str], float] = {}
        self._cold: set[tuple[str, str]] = set()

    @classmethod
    def of(cls, bench: Bench) -> Told:
        """What there is to see now counts as said."""
        told = cls()
        told.news(bench)
        return told

    def news(self, bench: Bench, worth_share: float = 0.0) -> list[str]:
        """What has moved since it was last said, and what has got too cold, in sentences.

        Edges that moved by less than a share of the time still to go are left for later: with a
        reading every quarter of an hour each end shifts by a little all the time.
        """
        clock, views = clock_of(bench), bench.agenda().windows
        moved = [said for view in views for said in self._moved(view, clock, worth_share)]
        return self._chilled(views, bench.shop.around) + moved

    def _moved(self, view: WindowView, clock: Clock, worth_share: float) -> Iterable[str]:
        for name, edge in view.edges.items():
            key = (view.address, name)
            old = self._edges.setdefault(key, edge.at)
            worth_s = max(MOVED_S, worth_share * (edge.at - view.now))
            if abs(edge.at - old) > worth_s:
                self._edges[key] = edge.at
                if edge.at > view.now:
                    yield (f"{view.window.label}, {NAMES[name]}: new end {clock(edge.at)}, was"
                           f" {clock(old)}.")  # fmt: skip

    def _chilled(self, views: Sequence[WindowView], around: Around) -> list[str]:
        """What has got too cold and was not spoken of yet: one sentence for all that share it."""
        found: dict[str, list[str]] = {}
        for view in views:
            said = chill_of(view, around)
            if said is not None and (view.address, said) not in self._cold:
                self._cold.add((view.address, said))
                found.setdefault(said, []).append(view.window.label)
        return [f"{said} ({_few(labels)})." for said, labels in found.items()]


def _few(labels: Sequence[str]) -> str:
    """The first two, and how many more: a cold morning may be about all of twenty windows."""
    more = f" and {len(labels) - 2} more" if len(labels) > 2 else ""
    return "; ".join(labels[:2]) + more


def chill_of(view: WindowView, around: Around) -> str | None:
    """What the cold does to a running window, without its name; None where it does nothing."""
    rule = view.window.rule
    if view.spoiled_at is not None:
        return (
            f"Too cold: below {rule.lowest_c:g} °C such a joint or film is spoiled, not late; see"
            " the maker's data sheet"
        )
    reading = fresh_reading(around.air_of(view.window), view.now)
    if reading is None or view.is_full or rule.family not in LATE:
        return None
    if not is_too_cold(rule, reading.temperature_c):
        return None
    return f"Cold, below {rule.lowest_c:g} °C: {LATE[rule.family]}"


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
                "kind": e.kind, "label_at": wall(e.label_at), "at": wall(e.at),
                "about": wall(e.middle),
                "earliest": wall(e.earliest), "latest": wall(e.latest),
            }
            for name, e in view.edges.items()
        },
    }  # fmt: skip
