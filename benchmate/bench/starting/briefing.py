"""What is worth knowing before a job's first act, each thing said once."""

from __future__ import annotations

from benchmate.bench.history.lessons import in_use
from benchmate.bench.service import Bench
from benchmate.bench.weights.scales import blind_spots_of, scales_of, standing_caution
from benchmate.plan.found import said as found


def first_words(bench: Bench, job: str) -> list[str]:
    """Sizes that were found, what no scale sees, scales that are out, what earlier jobs taught."""
    state = bench.job(job)
    plan = state.plan if state is not None else None
    if plan is None:
        return []
    said = [f"Found: {found(sought, bench.settings.units)}" for sought in plan.sought]
    said += blind_spots_of(bench, plan)
    said += [f"Caution: {text}" for n in scales_of(bench) if (text := standing_caution(bench, n))]
    if plan.learned:
        used = [value.said for value in in_use(bench, plan.procedure)]
        said.append(f"Planned with what earlier jobs taught: {'; '.join(used)}.")
    return said
