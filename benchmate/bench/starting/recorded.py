"""What a job without a plan recorded, as the starter wants it."""

from __future__ import annotations

from collections.abc import Callable

from benchmate.job.state.state import JobState
from benchmate.moment import Moment
from benchmate.procedure.writing.starter import Acted


def acts_of(state: JobState, place_of: Callable[[Moment], float]) -> list[Acted]:
    """All acts and weighings of a job, with the place of each on the time line."""
    acts = [
        Acted(
            act=e.act,
            when_s=place_of(e.happened),
            material=e.material,
            name=e.name,
            piece=e.piece,
            windows=e.windows,
            amounts=e.used,
        )
        for e in (record.event for record in state.free)
    ]
    acts += [
        Acted(act="weighed", when_s=place_of(w.happened), name=w.what, piece=w.piece, net_g=w.net_g)
        for w in state.weighings.values()
        if w.address not in {r.event.address for r in state.free}
    ]
    return sorted(acts, key=lambda a: a.when_s)
