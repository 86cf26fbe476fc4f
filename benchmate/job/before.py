"""What the air has to say before an act: cold, dew, and blanks that aren't at home in it."""

from __future__ import annotations

from benchmate.job.agenda import Act
from benchmate.job.cold import cold_caution
from benchmate.job.damp import dew_caution, settling_caution
from benchmate.job.state import JobState
from benchmate.job.windows import Around


def air_cautions(job: JobState, act: Act, around: Around, now: float) -> tuple[str, ...]:
    """The air's cautions for the act in hand, gravest first; empty where nobody has read the air.

    They are derived from the readings each time and stored nowhere.
    """
    if act.step is None or act.kind not in ("do", "weigh"):
        return ()
    said = [
        cold_caution(job, act.step, around, now) if act.kind == "do" else None,
        dew_caution(act.step, around, now) if act.kind == "do" else None,
        settling_caution(act.step, around, now) if act.kind == "weigh" else None,
    ]
    return tuple(s for s in said if s is not None)
