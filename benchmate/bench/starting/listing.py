"""Lists of a procedure or of a job: what to cut and to buy, against this shop's shelf."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

from benchmate.bench.history.records import LAST_JOBS, ended_jobs
from benchmate.bench.service import Bench
from benchmate.bench.shelf.materials import gone_materials, materials_of
from benchmate.bench.shelf.materials_for_job import today_of
from benchmate.bench.starting.starting import find_document, plan_for
from benchmate.job.state.state import JobState
from benchmate.lists.buying import Held, buying_of, use_rates
from benchmate.lists.cutting import cutting_of
from benchmate.lists.records import Buying, Cutting
from benchmate.lists.saying import buying_lines, cutting_lines
from benchmate.lists.sizes import Allowances
from benchmate.plan.plan import Plan
from benchmate.quantities import Units
from benchmate.refusal import Refused

MOST_PIECES = 200


def plan_of(
    bench: Bench, name: str, values: Mapping[str, Any], pieces: int | None
) -> tuple[Plan, int | None]:
    """The plan of a job, or of a procedure with these values; and the pieces still to reckon for.

    A procedure whose `makes` is a parameter is planned for that many pieces. Raises Refused or
    ProcedureError.
    """
    if pieces is not None and not 1 <= pieces <= MOST_PIECES:
        raise Refused(f"{pieces} pieces is no number to make; say 1 to {MOST_PIECES}.")
    job = bench.job(name)
    if job is not None:
        if job.plan is None:
            raise Refused(f"The job {name} has no plan, so there is nothing to list.")
        if values:
            raise Refused(f"{name} is a running job: its plan is frozen, --set can't change it.")
        return job.plan, pieces
    if pieces is not None and (counted := _counted_by(bench, name)):
        return plan_for(bench, name, {**values, counted: pieces})[0], None
    return plan_for(bench, name, values)[0], pieces


def _counted_by(bench: Bench, name: str) -> str:
    """The parameter that says how many pieces a procedure makes; empty where none does."""
    from benchmate.procedure.expanding.placeholders import sole_name

    document, _ = find_document(bench, name)
    makes = document.raw.get("makes")
    return (sole_name(makes) or "") if isinstance(makes, str) else ""


def allowances_of(bench: Bench) -> Allowances:
    """The maker's own allowances."""
    return Allowances(**bench.settings.cutting.in_mm())


def held_of(bench: Bench) -> Held:
    """What the shelf holds."""
    return Held(
        materials_of(bench),
        bench.shop.shelf.used,
        gone_materials(bench),
        today_of(bench),
        use_rates(
            (job.plan, _used_by(job))
            for job in ended_jobs(bench, last=LAST_JOBS)
            if job.plan and job.status == "finished"
        ),
    )


def _used_by(job: JobState) -> dict[str, float]:
    used: Counter[str] = Counter()
    for record in job.done.values():
        used.update(record.used)
    return dict(used)


def cutting(
    bench: Bench, name: str, values: Mapping[str, Any], pieces: int | None = None
) -> Cutting:
    """The cutting list of a procedure or a job."""
    plan, rest = plan_of(bench, name, values, pieces)
    return cutting_of(plan, allowances_of(bench), rest)


def buying(bench: Bench, name: str, values: Mapping[str, Any], pieces: int | None = None) -> Buying:
    """The buying list of a procedure or a job."""
    plan, rest = plan_of(bench, name, values, pieces)
    return buying_of(plan, held_of(bench), rest)


def lists_of(bench: Bench, plan: Plan, units: Units) -> list[str]:
    """Both lists of a plan as lines. Raises Refused where it knows no shapes."""
    to_cut = cutting_of(plan, allowances_of(bench))
    return [*cutting_lines(to_cut, units), *buying_lines(buying_of(plan, held_of(bench)), units)]
