"""What new words on the air move: edges that shift, edges that are put off again, and the cold."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from benchmate.bench.next_line import clock_of
from benchmate.bench.service import Bench
from benchmate.job.deciding.streams.air import sureness
from benchmate.job.windows.cold import LATE, fresh_reading
from benchmate.job.windows.windows import Around, WindowView
from benchmate.job.words.event_text import set_back_text
from benchmate.plan.rates import is_spoiled_by, is_too_cold
from benchmate.quantities.worded import Worded, all_in_units, celsius

MOVED_S = 120.0
"""An edge that moves by less than this isn't worth a sentence."""
WORTH_SHARE = 0.1
"""Nor is one that moves by less than this share of the time still to go, where nobody asked."""
NAMES = {"opens": "opens", "full": "full strength", "closes": "closes"}
Clock = Callable[[float], str]


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
        reading every quarter of an hour each end shifts by a little all the time. One that had
        come and is put off again is always said.
        """
        clock, views = clock_of(bench), bench.agenda().windows
        moved = [said for view in views for said in self._moved(view, clock, worth_share)]
        said = [*self._chilled(views, bench.shop.around), *moved]
        return list(all_in_units(said, bench.settings.units))

    def _moved(self, view: WindowView, clock: Clock, worth_share: float) -> Iterable[str]:
        for name, edge in view.edges.items():
            key = (view.address, name)
            old = self._edges.setdefault(key, edge.at)
            if old <= view.now < edge.at:
                self._edges[key] = edge.at
                yield set_back_text(
                    view.window.label, name, clock(old), clock(edge.at), sureness(edge)
                )
                continue
            worth_s = max(MOVED_S, worth_share * (edge.at - view.now))
            if abs(edge.at - old) > worth_s:
                self._edges[key] = edge.at
                if edge.at > view.now:
                    yield (
                        f"{view.window.label}, {NAMES[name]}: new end {clock(edge.at)}, was"
                        f" {clock(old)}."
                    )

    def _chilled(self, views: Sequence[WindowView], around: Around) -> list[str]:
        """What has got too cold and was not spoken of yet: one sentence for all that share it."""
        found: dict[str, list[str]] = {}
        for view in views:
            said = chill_of(view, around)
            if said is not None and (view.address, said) not in self._cold:
                self._cold.add((view.address, said))
                found.setdefault(said, []).append(view.window.label)
        return [Worded("{cold} ({which}).", cold=s, which=_few(w)) for s, w in found.items()]


def _few(labels: Sequence[str]) -> str:
    """The first two, and how many more: a cold morning may be about all of twenty windows."""
    more = f" and {len(labels) - 2} more" if len(labels) > 2 else ""
    return "; ".join(labels[:2]) + more


def chill_of(view: WindowView, around: Around) -> str | None:
    """What the cold does to a running window, without its name; None where it does nothing."""
    rule = view.window.rule
    lowest = celsius(rule.lowest_c or 0.0)
    if view.spoiled_at is not None:
        return Worded(
            "Too cold: below {lowest} don't trust such a joint or film; see the maker's data sheet",
            lowest=lowest,
        )
    reading = fresh_reading(around.air_of(view.window), view.now)
    if reading is None or view.is_full or not is_too_cold(rule, reading.temperature_c):
        return None
    if rule.family in LATE:
        return Worded("Cold, below {lowest}: {late}", lowest=lowest, late=LATE[rule.family])
    if reading.is_doubtful and is_spoiled_by(rule, reading.temperature_c):
        return Worded(
            "One doubtful reading says {air}: read again, for below {lowest} such a joint or film"
            " is spoiled",
            air=celsius(reading.temperature_c),
            lowest=lowest,
        )
    return None
