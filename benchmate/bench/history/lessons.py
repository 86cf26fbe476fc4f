"""What earlier jobs of a procedure teach the next: side by side, and plan values to take over.

Kept apart from the procedure's file: taken over and taken back are events, and a job names what
it was planned with.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

from benchmate.bench.history.records import LAST_JOBS, ended_jobs, known_procedures, place_of
from benchmate.bench.history.taught import record_of
from benchmate.bench.service import Bench
from benchmate.bench.starting.starting import find_document, plan_for
from benchmate.job.deciding.streams.commands import Learn, LearnedValue
from benchmate.job.looking_back.summary import summarise
from benchmate.job.weights.shot_packing import packing_when_full
from benchmate.learning.offer import Offer
from benchmate.learning.side_by_side import JobsTable, JobSummary, side_by_side
from benchmate.learning.values import measure_of, show_value, smallest_change
from benchmate.localtime import show_date
from benchmate.refusal import Refused

HARDLY_NEW = 1.5
"""Steps of a value by which an offer must differ from one that was declined."""


@dataclass(frozen=True)
class InUse:
    """A plan value that was taken over: what it is, what it was before, from how many jobs."""

    key: str
    value: float
    said: str


def name_of(bench: Bench, procedure: str) -> str:
    """The name that a procedure's lessons go by; raises Refused where there is no such one."""
    if procedure in known_procedures(bench):
        return procedure
    document, _ = find_document(bench, procedure)
    return document.name


def last_jobs(bench: Bench, procedure: str) -> JobsTable:
    """The last five jobs side by side: times, weights, packing, losses, how they turned out."""
    return side_by_side(earlier(bench, procedure), show_date, bench.settings.units)


def earlier(bench: Bench, procedure: str) -> list[JobSummary]:
    """What the last jobs of a procedure left behind for comparing, in the order they ended."""
    place = place_of(bench)
    jobs = ended_jobs(bench, name_of(bench, procedure), LAST_JOBS)
    return [summarise(job, place) for job in jobs]


def offers(
    bench: Bench,
    procedure: str,
    parameters: Mapping[str, Any] | None = None,
    *,
    chosen: Mapping[str, str] | None = None,
) -> list[Offer]:
    """What earlier jobs would change in the next plan, as one list; often empty.

    Learned from the file's own values and held against what is in use, so that nothing is offered
    twice. Raises Refused or ProcedureError where the procedure can't be planned.
    """
    name = name_of(bench, procedure)
    jobs = ended_jobs(bench, name, LAST_JOBS)
    if not jobs:
        return []
    plan, _ = plan_for(bench, procedure, parameters, job="lessons", learned={}, chosen=chosen)
    declined = _declined(bench, name)
    return [
        o
        for o in record_of(bench, name, plan, jobs).offers(bench.settings.units)
        if abs(o.new - declined.get(o.key, inf)) > HARDLY_NEW * smallest_change(measure_of(o.key))
    ]


def _declined(bench: Bench, procedure: str) -> dict[str, float]:
    """Values that the maker has gone back from: they aren't offered again as they were."""
    kept = bench.shop.lessons.values.items()
    return {
        key: event.old
        for (name, key), event in kept
        if name == procedure and event.value is None and event.old is not None
    }


def take(bench: Bench, procedure: str, taken: Sequence[Offer]) -> None:
    """Take offered values over: every later job of the procedure is planned with them."""
    values = tuple(
        LearnedValue(key=o.key, value=o.new, old=o.old, n=o.n, scatter=o.scatter) for o in taken
    )
    if values:
        bench.settle(Learn(procedure=name_of(bench, procedure), values=values))


def take_back(bench: Bench, procedure: str, key: str = "") -> list[str]:
    """Go back to the file's value of a key, or of all, and leave what is offered for it alone.

    It is offered again when later jobs teach something else. What was left, in words. Raises
    Refused where nothing of the kind is in use or offered.
    """
    held = {v.key: (v.value, v.said) for v in in_use(bench, procedure)}
    offered = (
        {o.key: (o.new, offer_text(bench, o)) for o in offers(bench, procedure)} if key else {}
    )
    gone = {k: v for k, v in {**offered, **held}.items() if key in ("", k)}
    if not gone:
        known = ", ".join({**held, **offered}) or "none"
        raise Refused(
            f"No learned value “{key[:40]}” is in use or on offer; there are: {known}."
            if key
            else "No learned value is in use: plans go by the file."
        )
    left = tuple(LearnedValue(key=k, value=None, old=value) for k, (value, _) in gone.items())
    bench.settle(Learn(procedure=name_of(bench, procedure), values=left))
    return [said for _, said in gone.values()]


def in_use(bench: Bench, procedure: str) -> list[InUse]:
    """The learned values that the next job would be planned with, in the order they were taken."""
    name, units = name_of(bench, procedure), bench.settings.units
    found = []
    for (of, key), event in bench.shop.lessons.values.items():
        if of != name or event.value is None:
            continue
        measure = measure_of(key)
        said = f"{key} {show_value(event.value, measure, units)}"
        if event.old is not None:
            said += f" (was {show_value(event.old, measure, units)}, from {event.n} jobs)"
        found.append(InUse(key, event.value, said))
    return found


def not_taught(bench: Bench, procedure: str) -> str:
    """Why the last job taught nothing of how the shot lies; empty where it could."""
    jobs = ended_jobs(bench, name_of(bench, procedure), 1)
    fills = jobs[0].plan.fills if jobs and jobs[0].plan else ()
    if not fills or not all(layer.by_weight for fill in fills for layer in fill.layers):
        return ""
    if any(packing_when_full(jobs[0], fill) is not None for fill in fills):
        return ""
    return (
        "Packing isn't learned from these jobs: their shot was weighed out (the plan has a "
        "reserve) and all of it went in, which it would at any packing that leaves room for it. "
        "Without a reserve the layers go to the line, and one such job teaches it."
    )


def offer_text(bench: Bench, it: Offer) -> str:
    """ "packing/block 0.603 → 0.585 ± 0.008, from 4 jobs: Shot for one block would be …"."""
    units = bench.settings.units
    measure = measure_of(it.key)
    old, new = show_value(it.old, measure, units), show_value(it.new, measure, units)
    sure = show_value(2.0 * it.u, measure, units).removeprefix("× ")
    told = f"{it.key} {old} → {new} ± {sure}, from {it.n} jobs: {it.effect}"
    if it.since:
        told += f" Only jobs from {it.since} on count: something changed there."
    if it.odd:
        told += f" Left out as far from the others: {', '.join(it.odd)}."
    return told
