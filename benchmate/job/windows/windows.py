"""What every window is now: derived from its anchor, the air's log and now, never stored."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple

import msgspec

from benchmate.air.log import NO_AIR, AirLog, Kind
from benchmate.job.state.state import JobState
from benchmate.job.windows.own_waits import OwnWaits, wait_key
from benchmate.job.windows.succession import is_followed
from benchmate.moment import Moment, Timeline
from benchmate.plan.plan import Window
from benchmate.plan.rates import Rule, asks_touch, ordinary

WindowState = Literal["not begun", "shut", "open", "closing", "met", "missed"]
SHOP = "shop"
SOUND = "let it be"
"""The answer that takes what got cold for sound: its clock runs on as if nothing had been."""
UNSETTLED_S = 600.0
STILL_TIME = 0.9
"""Of the time until a clock closes; what waits for it longer in this shop opens by then."""
LINGER_S = 12 * 3600.0
"""A clock that waits for nobody (no step is its user) stays on the bench this long after its last
edge, unless it is answered: then it counts as met."""


class SetBack(NamedTuple):
    """An edge that had come and, by newer words on the air, is still to come: when it had come,
    and when those words were recorded."""

    said_at: float
    until: float


@dataclass(frozen=True)
class Around:
    """What stands around the jobs: the time line and each place's air."""

    timeline: Timeline = field(default_factory=Timeline)
    air: Mapping[str, AirLog] = field(default_factory=dict)
    set_back: Mapping[tuple[str, str], SetBack] = field(default_factory=dict)
    """By window and edge: those that had been said to have come once before."""
    own_waits: OwnWaits = field(default_factory=dict)

    def own_wait(self, window: Window, edge: str, anchor: float) -> tuple[float, int]:
        """How many times the label's time a wait takes in this shop, and how often it was seen, by
        what was known when its act was done."""
        if not (window.material and self.own_waits):
            return 1.0, 0
        wait = self.own_waits.get(wait_key(window.material, window.name, edge))
        known = wait.known_at(self.timeline, anchor) if wait else None
        share = known.share if known else 1.0
        if share > 1.0 and window.closes_s:  # Nothing that was seen moves what is lost when.
            most = STILL_TIME * window.closes_s / getattr(window, f"{edge}_s")
            share = max(1.0, min(share, most))
        return share, len(known.seen) if known and share != 1.0 else 0

    def air_of(self, window: Window) -> AirLog:
        """The air that a window follows: its place's, or the shop's where the place has none."""
        log = self.air.get(window.place) if window.place else None
        return log or self.air.get(SHOP) or NO_AIR


@dataclass(frozen=True)
class Edge:
    """When an edge comes: as the bench reckons with it, its range, and the label's own time."""

    at: float
    earliest: float
    latest: float
    label_at: float
    middle: float
    kind: Kind = "label"
    """"label": the label's own time; "estimate": from the air; "range": no more than a range."""
    rough: bool = False
    """No label gave it: common practice."""
    own: int = 0
    """By so many of this shop's own waits, where they differ from the label; 0: by the label."""

    @property
    def is_unsettled(self) -> bool:
        """Whether it is likely to have come well before the careful time, and a reading would
        tell."""
        return self.kind != "label" and self.at - self.middle > UNSETTLED_S


@dataclass(frozen=True)
class WindowView:
    """A window as it stands now. Places are seconds on the time line; None: has no such edge."""

    window: Window
    job: str
    state: WindowState
    anchor: float
    now: float
    opens: Edge | None = None
    full: Edge | None = None
    closes: Edge | None = None
    pending: tuple[str, ...] = ()
    """Steps it is for that are still to be done."""
    knows_air: bool = False
    touch_test: bool = False
    paused: bool = False
    spoiled_at: float | None = None
    """Since when the air has been too cold for it, if it has: spoiled, not late."""
    set_back: Mapping[str, SetBack] = field(default_factory=dict)
    """Edges still to come that had been said to have come: see `SetBack`."""

    @property
    def address(self) -> str:
        """The window's address."""
        return self.window.address

    @property
    def is_live(self) -> bool:
        """Still running, or missed and not yet answered."""
        return self.state in ("shut", "open", "closing", "missed")

    @property
    def is_ruined(self) -> bool:
        """Whether the cold has spoiled what something waits for: it opens nothing any more.

        One that only closes (glue that is spread) can't wait, and goes on as it is.
        """
        if self.spoiled_at is None or self.spoiled_at > self.now:
            return False
        waits = self.opens is not None or self.full is not None
        return waits and self.state not in ("met", "missed")

    @property
    def asks(self) -> bool:
        """Whether it waits for the maker's word on what became of it: missed, or ruined with
        steps that would build on it."""
        if self.is_ruined and not self.paused:
            return bool(self.pending)
        return self.state == "missed" and self.window.missed != "nothing"

    @property
    def is_full(self) -> bool:
        """Past full strength."""
        return self.full is not None and self.full.at <= self.now

    @property
    def spoils(self) -> bool:
        """Whether missing it costs more than extra work."""
        return self.window.missed.startswith("spoils")

    @property
    def edges(self) -> dict[str, Edge]:
        """Its edges by name: opens, full, closes, as far as it has them; none once it is ruined."""
        if self.is_ruined:
            return {}
        edges = (("opens", self.opens), ("full", self.full), ("closes", self.closes))
        return {name: e for name, e in edges if e is not None}

    @property
    def next_edge(self) -> tuple[str, float] | None:
        """The edge to look at next, and its place."""
        ahead = [(name, e.at) for name, e in self.edges.items() if e.at > self.now]
        return min(ahead, key=lambda edge: edge[1]) if ahead else None


def soon_s(window: Window) -> float:
    """How long before its close a window counts as closing: a fifth of it, 1 min to 2 h."""
    length = (window.closes_s or 0.0) - (window.opens_s or 0.0)
    return min(max(length / 5, 60.0), 7200.0)


def anchor_of(job: JobState, window: Window) -> Moment | None:
    """The moment a window counts from; None while its act isn't done."""
    step = window.address.rpartition(":")[0]
    record = job.done.get(step)
    if window.anchor == "begun":
        return job.begun.get(step) or (record.begun or record.done if record else None)
    return record.done if record else None


def rule_for(window: Window, name: str) -> Rule:
    """The rule that one of a window's edges follows: at the temperature its own time is for."""
    if name in window.rough:
        return ordinary(window.rule, waits=name != "closes")
    own_c = getattr(window, f"{name}_c")
    return window.rule if own_c is None else msgspec.structs.replace(window.rule, ref_c=own_c)


def edge(window: Window, around: Around, anchor: float, name: str, *, sure: bool) -> Edge:
    """When one of the window's edges comes: its label's seconds, in the air that there is.

    Of a label's range the safe end counts, and the other widens the doubt.

    `sure` edges (opens, full) are set to the latest estimate where there is a range, so that
    "clamps may come off" is said when it is nearly sure; the others to the middle.
    """
    air, rule = around.air_of(window), rule_for(window, name)
    label_s = getattr(window, f"{name}_s")
    share, seen = (1.0, 0) if name == "closes" else around.own_wait(window, name, anchor)
    reach = air.reaches(rule, anchor, share * label_s)
    at = reach.latest if sure and not reach.touch_test else reach.t
    earliest, latest = reach.earliest, reach.latest
    other_s = window.closes_most_s if name == "closes" else getattr(window, f"{name}_least_s")
    if other_s is not None:
        other = air.reaches(rule, anchor, share * other_s)
        earliest, latest = min(earliest, other.earliest), max(latest, other.latest)
    rough, label_at = name in window.rough, anchor + label_s
    return Edge(at, earliest, latest, label_at, reach.t, reach.kind, rough, seen)


def edges_from(
    window: Window, around: Around, anchor: float
) -> tuple[Edge | None, Edge | None, Edge | None]:
    """When the window opens, is full and closes if it is anchored there; None: no such edge."""
    opens = full = closes = None
    if window.opens_s is not None:
        opens = edge(window, around, anchor, "opens", sure=True)
    if window.full_s is not None:
        full = edge(window, around, anchor, "full", sure=True)
    if window.closes_s is not None:
        closes = edge(window, around, anchor, "closes", sure=False)
    if opens and closes and opens.at > closes.at:
        # In doubt as long as the window itself it would shut before it opens: then the middle of
        # both, which are always in order.
        opens = replace(opens, at=opens.middle)
    if window.hold_s is not None:
        own = anchor + window.hold_s
        opens = Edge(own, own, own, opens.label_at if opens else own, own)
    return opens, full, closes


def view(job: JobState, window: Window, around: Around, now: float) -> WindowView | None:
    """A window as it stands now, or None while it is not begun."""
    moment = anchor_of(job, window)
    if moment is None:
        return None
    anchor = around.timeline.at(moment)
    opens, full, closes = edges_from(window, around, anchor)
    users = job.users.get(window.address, ())
    pending = tuple(u for u in users if not job.is_settled(u))
    waiting = [job.steps[u] for u in pending or users]
    if closes is not None and waiting and all(window.address not in s.within for s in waiting):
        # Steps that only wait for it to open can come as late as they like, and no other follows.
        closes = None
        window = msgspec.structs.replace(window, opens_text=waiting[0].short or window.opens_text)
    log = around.air_of(window)
    return WindowView(
        window=window,
        job=job.job,
        anchor=anchor,
        now=now,
        opens=opens,
        full=full,
        closes=closes,
        pending=pending,
        paused=job.status == "paused",
        state=_state(job, window, (opens, full, closes), pending, now),
        knows_air=bool(log),
        touch_test=asks_touch(window.rule),
        spoiled_at=None
        if job.answers.get(window.address) == SOUND
        else spoiled_at(window, begun_with(job, window), around, anchor),
        set_back=_set_back(window, around, {"opens": opens, "full": full, "closes": closes}, now),
    )


def _set_back(
    window: Window, around: Around, edges: Mapping[str, Edge | None], now: float
) -> Mapping[str, SetBack]:
    if not around.set_back:
        return {}
    ahead = (name for name, e in edges.items() if e is not None and e.at > now)
    found = ((name, around.set_back.get((window.address, name))) for name in ahead)
    return {name: back for name, back in found if back is not None}


def spoiled_at(
    window: Window, begun_with: Iterable[Window], around: Around, anchor: float
) -> float | None:
    """Since when the air has spoiled what the window is about; None where it hasn't.

    Only up to the first edge of all windows begun with it: a joint that has set and a film that
    has formed bear the cold, though they are not at full strength yet.
    """
    if window.rule.lowest_c is None:
        return None
    ends = [s for w in begun_with for s in (w.opens_s, w.full_s, w.closes_s) if s is not None]
    if not ends:
        return None
    return around.air_of(window).reaches(window.rule, anchor, min(ends)).spoiled_t


def begun_with(job: JobState, window: Window) -> tuple[Window, ...]:
    """The windows that the same act started, this one among them."""
    address = window.address.rpartition(":")[0]
    step = job.steps.get(address)
    if step is not None:
        return step.windows
    return next((f.event.windows for f in job.free if f.event.address == address), (window,))


def _state(
    job: JobState,
    window: Window,
    edges: tuple[Edge | None, Edge | None, Edge | None],
    pending: tuple[str, ...],
    now: float,
) -> WindowState:
    opens, _, closes = edges
    users = job.users.get(window.address, ())
    runs_on = (closes is None or now < closes.at) and bool(pending)
    answered = job.answers.get(window.address)
    answered = None if answered == SOUND and runs_on else answered
    if answered or (users and not pending) or is_followed(job, window):
        return "met"
    last = max((e.at for e in edges if e is not None), default=now)
    if not users and now > last + LINGER_S and window.missed == "nothing":
        return "met"
    if closes is not None and now >= closes.at:
        return "missed"
    if opens is not None and now < opens.at:
        return "shut"
    if closes is not None and now >= closes.earliest - soon_s(window):
        return "closing"
    return "open"


def window_views(job: JobState, around: Around, now: float) -> tuple[WindowView, ...]:
    """All of a job's windows that have begun, in the order of their steps."""
    if not job.is_live:
        return ()
    found = (view(job, w, around, now) for w in job.windows.values())
    return tuple(v for v in found if v is not None and not _is_gone(job, v))


def _is_gone(job: JobState, view: WindowView) -> bool:
    """Windows that nobody waits for: a spoiled piece's, or the recoat window of a last coat."""
    step = job.steps.get(view.address.rpartition(":")[0])
    if step is None:
        return False
    idle = view.closes is not None and not job.users.get(view.address)
    return idle or step.piece in job.spoiled
