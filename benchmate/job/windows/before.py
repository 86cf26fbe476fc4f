"""What is said before an act of cold, dew, blanks not at home in the air, and the touch test."""

from __future__ import annotations

from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.windows.cold import cold_caution
from benchmate.job.windows.damp import dew_caution, settling_caution
from benchmate.job.windows.windows import Around
from benchmate.plan.plan import Step
from benchmate.plan.rates import asks_touch

HEAVIEST_WOOD_G_CM3 = 1.4
"""Beyond the heaviest woods; every metal is heavier."""


def air_cautions(job: JobState, act: Act, around: Around, now: float) -> tuple[str, ...]:
    """What to say before the act in hand, gravest first; without any reading only what the touch
    decides.

    Derived from the readings each time and stored nowhere.
    """
    step = act.step
    if step is None or act.kind not in ("do", "weigh"):
        return ()
    if act.kind == "weigh":
        said = [settling_caution(step, around, now)] if is_of_wood(job, step) else []
    else:
        said = [
            cold_caution(job, step, around, now),
            dew_caution(step, around, now),
            touch_caution(job, step),
        ]
    return tuple(s for s in said if s is not None)


def is_of_wood(job: JobState, step: Step) -> bool:
    """Whether what the step is about takes up water at all; a part nobody knows may be of wood."""
    parts = job.plan.parts if job.plan else ()
    part = next((p for p in parts if (p.piece, p.name) == (step.piece, step.part)), None)
    return part is None or part.density_g_cm3 < HEAVIEST_WOOD_G_CM3


def touch_caution(job: JobState, step: Step) -> str | None:
    """Where the step waits for a solvent to leave: the finger decides, with or without any air."""
    for name in (*step.waits, *step.waits_full):
        window = job.windows.get(name)
        if window is not None and asks_touch(window.rule):
            what = window.full_text if name in step.waits_full else window.opens_text
            return f"A touch test decides, not the clock: {what or 'try it first'}."
    return None
