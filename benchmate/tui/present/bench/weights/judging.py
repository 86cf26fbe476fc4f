"""Who says a weighing's verdict to the presenters: it is worked out once, by whoever calls them."""

from __future__ import annotations

from collections.abc import Callable

from benchmate.job.state.state import JobState, Weighing
from benchmate.landing.verdict import Judgement

Judge = Callable[[JobState, Weighing], Judgement | None]


def unjudged(job: JobState, weighing: Weighing) -> Judgement | None:
    """No verdict yet: the first picture doesn't wait for any."""
    return None
