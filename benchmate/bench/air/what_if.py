"""What if: the same windows in other air, or the next act begun later; nothing is recorded."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from benchmate.bench.air.news import NAMES
from benchmate.bench.air.suppositions import place_s, start_wall, supposed_air
from benchmate.bench.next_line import clock_of
from benchmate.bench.service import Bench
from benchmate.job.deciding.guards import check_step
from benchmate.job.windows.windows import Around, Edge, edges_from, spoiled_at, view
from benchmate.localtime import show_when
from benchmate.plan.plan import Window
from benchmate.quantities import quote, show_duration
from benchmate.refusal import Refused

SAME_S = 60.0


@dataclass(frozen=True)
class Beside:
    """One edge as it is reckoned with now, and as it would be."""

    label: str
    edge: str
    now: Edge
    then: Edge
    is_spoiled: bool = False
    """In that air it would be spoiled, whatever its time."""

    @property
    def later_s(self) -> float:
        """How much later the middle of its range would come; negative: sooner."""
        return self.then.middle - self.now.middle


@dataclass(frozen=True)
class WhatIf:
    """A supposition in words, and every edge beside what it would be."""

    said: str
    rows: tuple[Beside, ...]


def what_if(
    bench: Bench, *, air: str = "", night_off: str = "", start: str = "", step: str = ""
) -> WhatIf:
    """Today's windows under a supposition; with a `start`, those of an act still to come.

    `air`: "box 25C", "25C 40%", or a place whose last reading is to hold. `night_off`: day and
    night temperature and the hours, "19C 8C 22-6". `start`: "tonight", "tomorrow", "18:00",
    "in 3 h". `step`: which act; else the next one that starts a clock. Raises Refused or
    QuantityError.
    """
    if air and night_off:
        raise Refused("Suppose one air at a time: a place held at a temperature, or nights off.")
    suppose, words = supposed_air(bench, air, night_off)
    around = Around(bench.shop.timeline, suppose)
    if start or step:
        begin_s, when = _start_s(bench, start or "now")
        act, windows = _to_begin(bench, step)
        said = f"If {act} were begun {when}" + (f", {words}" if words else "")
        return WhatIf(f"{said}:", tuple(_begun(bench, windows, around, begin_s)))
    if not words:
        raise Refused("Say what to suppose: an air, heating off at night, or another start.")
    return WhatIf(f"If {words} from now on:", tuple(_running(bench, around)))


def beside_text(row: Beside, bench: Bench) -> str:
    """ "lamp A, cure, opens: about Fri 15:50 now; then about 02:10, 13 h 40 sooner (label …)"."""
    clock = clock_of(bench)
    moved = (
        "the same"
        if abs(row.later_s) < SAME_S
        else (f"{show_duration(abs(row.later_s))} {'later' if row.later_s > 0 else 'sooner'}")
    )
    cold = " Too cold: don't trust it." if row.is_spoiled else ""
    return (
        f"{row.label}, {NAMES[row.edge]}: {_short(row.now, clock)} now; then"
        f" {_short(row.then, clock)}, {moved} (label {clock(row.then.label_at)}).{cold}"
    )


def beside_data(row: Beside, bench: Bench) -> dict[str, Any]:
    """A row as data for other programs; times are Unix seconds."""

    def edge(e: Edge) -> dict[str, Any]:
        wall = bench.wall_at
        return {
            "kind": e.kind,
            "at": wall(e.at),
            "earliest": wall(e.earliest),
            "latest": wall(e.latest),
            "label_at": wall(e.label_at),
        }

    return {
        "label": row.label,
        "edge": row.edge,
        "now": edge(row.now),
        "then": edge(row.then),
        "later_s": row.later_s,
    }


def _short(edge: Edge, clock: Any) -> str:
    if edge.kind == "range":
        return f"{clock(edge.earliest)} to {clock(edge.latest)}"
    if edge.kind == "label":
        return str(clock(edge.at))
    return f"about {clock(edge.middle)} ({clock(edge.earliest)} to {clock(edge.latest)})"


def _to_begin(bench: Bench, address: str) -> tuple[str, tuple[Window, ...]]:
    """The act that is to start its clocks later, in words, and its windows."""
    if address:
        live = bench.shop.live
        named = [j for j in live if address.startswith(f"{j.job}/")] or list(live)
        if len(named) != 1:
            raise Refused(f"Begin {quote(address[:60])} with the name of its job.")
        step = check_step(named[0], address)
        if not step.windows:
            raise Refused(f"{step.address} starts no clock.")
        return step.address, step.windows
    found = bench.agenda()
    acts = [a.step for a in (*found.ready, *found.later) if a.kind == "do" and a.step is not None]
    coming = (s for j in bench.shop.live for a, s in j.steps.items() if not j.is_settled(a))
    next_step = next((s for s in (*acts, *coming) if s.windows), None)
    if next_step is None:
        raise Refused("No step still to come starts a clock.")
    return next_step.address, next_step.windows


def _start_s(bench: Bench, text: str) -> tuple[float, str]:
    now_wall = bench.now().wall_s
    wall = start_wall(text, now_wall)
    return place_s(bench, wall), "now" if wall == now_wall else f"at {show_when(wall, now_wall)}"


def _running(bench: Bench, around: Around) -> Iterable[Beside]:
    for now in bench.agenda().windows:
        then = view(bench.shop.jobs[now.job], now.window, around, now.now)
        if then is not None:
            cold = then.spoiled_at is not None
            yield from _pairs(now.window.label, now.edges, then.edges, now.now, is_spoiled=cold)


def _begun(
    bench: Bench, windows: Sequence[Window], around: Around, begin_s: float
) -> Iterable[Beside]:
    now_s = bench.now_s()
    for window in windows:
        now = zip(NAMES, edges_from(window, bench.shop.around, now_s), strict=True)
        then = zip(NAMES, edges_from(window, around, begin_s), strict=True)
        cold = spoiled_at(window, windows, around, begin_s) is not None
        yield from _pairs(window.label, _known(now), _known(then), now_s, is_spoiled=cold)


def _known(edges: Iterable[tuple[str, Edge | None]]) -> dict[str, Edge]:
    return {name: e for name, e in edges if e is not None}


def _pairs(
    label: str, now: Mapping[str, Edge], then: Mapping[str, Edge], now_s: float, *, is_spoiled: bool
) -> Iterable[Beside]:
    for name in now:
        if max(now[name].at, then[name].at) > now_s:
            yield Beside(label, name, now[name], then[name], is_spoiled)
