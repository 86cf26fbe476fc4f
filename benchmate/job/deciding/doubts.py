"""What is asked about once before an act that can't be undone: answers outside their limits."""

from __future__ import annotations

from collections.abc import Iterable

from benchmate.job.state.state import JobState
from benchmate.job.weights.drift import Remark
from benchmate.plan.plan import Step


def doubts_before(job: JobState, step: Step, open_remarks: Iterable[Remark]) -> tuple[Remark, ...]:
    """The open remarks about checks that this step would build on: of its own piece, or of the
    whole job. None unless the step can't be undone; one that was seen is not asked about again.
    """
    if not step.irreversible:
        return ()
    return tuple(
        r
        for r in open_remarks
        if r.key.startswith("check ") and not r.seen and _bears_on(job.steps.get(r.address), step)
    )


def _bears_on(checked: Step | None, step: Step) -> bool:
    return checked is not None and (not checked.piece or checked.piece in ("all", step.piece))
