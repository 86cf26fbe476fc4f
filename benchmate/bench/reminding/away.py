"""What passed while nobody minded the shop: a machine that slept, a battery that died."""

from __future__ import annotations

from dataclasses import dataclass

from benchmate.bench.reminding.edges import edges_of
from benchmate.bench.reminding.presence import now_of
from benchmate.bench.service import Bench
from benchmate.remind.rules.edges import EdgeAhead, EdgeKind, Stage
from benchmate.remind.rules.wording import text_of

AWAY_S = 30.0
"""A second's tick that comes this late has slept."""
_STAGES: dict[EdgeKind, Stage] = {
    "opens": Stage.OPENS,
    "full": Stage.FULL,
    "closes": Stage.MISSED,
    "weigh": Stage.WEIGH,
    "chilled": Stage.MISSED,
}
_ORDER: tuple[EdgeKind, ...] = ("closes", "chilled", "full", "opens", "weigh")


@dataclass(frozen=True)
class Passed:
    """An edge that passed meanwhile: by how much, what it means, what to do."""

    edge: EdgeAhead
    text: str

    @property
    def is_missed(self) -> bool:
        """Whether a window closed, and missing it costs something."""
        return self.edge.edge in ("closes", "chilled") and self.edge.gravity > 0


def missed_while_away(bench: Bench, last_seen_s: float) -> list[Passed]:
    """What passed since a place on the time line and still stands, the gravest first.

    Of one window only its latest edge is told; paused jobs are silent.
    """
    shop = bench.shop
    now_s = shop.timeline.at(bench.now())
    latest: dict[str, EdgeAhead] = {}
    for edge in edges_of(shop, now_s, bench.settings.units):
        if edge.edge not in _STAGES or edge.paused or not last_seen_s < edge.at_s <= now_s:
            continue
        known = latest.get(edge.window_key)
        if known is None or _ORDER.index(edge.edge) < _ORDER.index(known.edge):
            latest[edge.window_key] = edge
    found = sorted(latest.values(), key=_gravest_first)
    now = now_of(bench)
    return [Passed(e, text_of(e, _STAGES[e.edge], now)) for e in found]


def last_minded_s(bench: Bench) -> float:
    """The last place on the time line at which this shop is known to have been looked after.

    That is its last act or the last reminder given, whichever is later: what passed after both
    was told to nobody.
    """
    given = bench.journal.deliveries.last_at("sent")
    return max(bench.shop.timeline.last_s, given if given is not None else float("-inf"))


def _gravest_first(edge: EdgeAhead) -> tuple[int, int, float, str]:
    grave = edge.gravity if edge.edge in ("closes", "chilled") else 0
    return -grave, _ORDER.index(edge.edge), edge.at_s, edge.key
