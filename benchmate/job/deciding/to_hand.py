"""What a job needs laid out, and the step before which it is asked about."""

from __future__ import annotations

from benchmate.job.state.state import JobState
from benchmate.plan.plan import Need, Step


def need_key(need: Need) -> str:
    """What `Tick` calls a need: sizes tell apart what else has the same name."""
    return f"{need.what}, {need.size}" if need.size else need.what


def need_text(need: Need) -> str:
    """ "4 × bar clamp, 300 mm"."""
    count = f"{need.count:g} × " if need.count != 1 else ""
    return f"{count}{need.what}" + (f", {need.size}" if need.size else "")


def not_to_hand(job: JobState) -> tuple[Need, ...]:
    """The needs that nobody has ticked yet."""
    needs = job.plan.needs if job.plan else ()
    return tuple(need for need in needs if need_key(need) not in job.ticked)


def missing_for(job: JobState, step: Step) -> tuple[Need, ...]:
    """The needs to be asked about before this step: before the first that can't be undone, or that
    starts a clock against the hands (a mix gels while a clamp is looked for). Else none."""
    if not commits(step) or any(commits(s) for a, s in job.steps.items() if a in job.done):
        return ()
    return not_to_hand(job)


def commits(step: Step) -> bool:
    """Whether a step can't be undone, or starts a clock against the hands."""
    return step.irreversible or any(w.closes_s is not None for w in step.windows)
