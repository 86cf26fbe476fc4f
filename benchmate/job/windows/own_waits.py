"""What this shop's own waits make of a clock: longer at once, sooner only where that was taken.

A clock goes by what was known when its act was done: nothing that is learned later moves it.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import inf
from typing import TYPE_CHECKING, NamedTuple

from benchmate.job.events import stored as ev
from benchmate.moment import Timeline

if TYPE_CHECKING:
    from benchmate.learning.waits import Wait


def wait_key(material: str, clock: str, edge: str) -> str:
    """What a material's wait goes by among the learned values."""
    return f"clock/{material}/{clock}/{edge}"


class OwnWait(NamedTuple):
    """All that was seen of one wait, and what was said of it: a share of the label's time that was
    taken, or (None) that the label's own holds."""

    seen: tuple[ev.WaitSeen, ...]
    told: ev.Learned | None = None

    def known_at(self, timeline: Timeline, place: float) -> OwnWait:
        """What counted at a place on the time line; who went back to the label begins anew."""
        told = self.told if self.told and timeline.at(self.told.recorded) <= place else None
        back = timeline.at(told.recorded) if told is not None and told.value is None else -inf
        seen = (e for e in self.seen if back < timeline.at(e.recorded) <= place)
        return OwnWait(tuple(seen), told)

    @property
    def wait(self) -> Wait:
        """What was seen teaches."""
        from benchmate.learning.waits import Span, learned_wait

        ends = ((e.not_by_s, inf if e.by_s is None else e.by_s, e.label_s) for e in self.seen)
        return learned_wait(tuple(Span(low / label, high / label) for low, high, label in ends))

    @property
    def share(self) -> float:
        """The label's time goes by this: above 1 as soon as that is likely, below it only where it
        was taken and what was seen still bears it out."""
        wait, taken = self.wait, self.told.value if self.told else None
        if wait.longer > 1.0 or taken is None:
            return wait.longer
        return min(1.0, max(taken, wait.sooner))


OwnWaits = Mapping[str, OwnWait]
"""By `wait_key`."""
