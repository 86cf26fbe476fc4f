"""What is asked about once before an act that commits: answers outside their limits."""

from __future__ import annotations

from collections.abc import Iterable

from benchmate.job.deciding.to_hand import commits
from benchmate.job.state.state import JobState
from benchmate.job.weights.drift import Remark
from benchmate.plan.plan import Step

EVERY = ("", "all")
"""A step of no one piece serves them all."""


def doubts_before(job: JobState, step: Step, open_remarks: Iterable[Remark]) -> tuple[Remark, ...]:
    """The open remarks about checks that this step would build on: of its own piece, or of any
    where either serves them all. None unless the step can't be undone or starts a clock against
    the hands; one that was OK'd is not asked about again.
    """
    if not commits(step):
        return ()
    return tuple(
        r
        for r in open_remarks
        if r.key.startswith("check ") and not r.seen and _bears_on(job.steps.get(r.address), step)
    )


def _bears_on(checked: Step | None, step: Step) -> bool:
    if checked is None:
        return False
    return checked.piece == step.piece or checked.piece in EVERY or step.piece in EVERY
