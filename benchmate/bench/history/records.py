"""Ended jobs read back from the journal, and the shop's own numbers as readings for a chart."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from benchmate.bench.service import Bench
from benchmate.charts import Reading
from benchmate.job.looking_back.summary import Place, final_weighing, left_g, mixed_g, packing_seen
from benchmate.job.state.state import JobState
from benchmate.job.weights.courses import scale_of
from benchmate.landing.checkweight import check_u_g
from benchmate.localtime import show_date
from benchmate.moment import Moment
from benchmate.nearest import advice
from benchmate.refusal import Refused

LAST_JOBS = 20
"""Older jobs no longer speak of the shop as it is: its materials, its tools, its hands."""


def place_of(bench: Bench) -> Place:
    """A moment's place on the shop's time line."""
    line = bench.shop.timeline

    def place(moment: Moment) -> float:
        return line.at(moment)

    return place


def ended_jobs(bench: Bench, procedure: str = "", last: int | None = None) -> list[JobState]:
    """Jobs that are over, of one procedure or of all, in the order in which they ended.

    `last`: only so many of the newest. Each is read from the journal once.
    """
    kept = bench.shop.lessons.ended
    names = dict.fromkeys(e.job for e in reversed(kept) if procedure in ("", e.procedure))
    found: list[JobState] = []
    for name in names:
        if last is not None and len(found) == last:
            break
        job = bench.job(name)
        if job is not None and not job.is_live:
            found.append(job)
    return found[::-1]


def known_procedures(bench: Bench) -> dict[str, int]:
    """Procedures that have ended jobs, and how many."""
    counts: dict[str, set[str]] = {}
    for ended in bench.shop.lessons.ended:
        counts.setdefault(ended.procedure, set()).add(ended.job)
    return {name: len(jobs) for name, jobs in counts.items()}


# Readings for charts -------------------------------------------------------------------------


def readings(bench: Bench, of: str, procedure: str = "") -> list[Reading]:
    """The shop's own numbers of one kind, in the order in which they were recorded.

    Every job counts, the running ones too; "scale" are the checks with a known weight. Raises
    Refused where there are none, or for a kind or a procedure that isn't known.
    """
    if of not in UNITS:
        raise Refused(f"There are no records of “{of[:30]}”; {advice(of, UNITS)}.")
    if of == "scale":
        return _checks(bench)
    known = known_procedures(bench)
    running = {j.plan.procedure: j for j in bench.shop.live if j.plan is not None}
    if procedure and procedure not in {*known, *running}:
        hint = advice(procedure, [*known, *running]) if known or running else "no job has ended yet"
        raise Refused(f"No job of “{procedure[:40]}” has been recorded; {hint}.")
    jobs = ended_jobs(bench, procedure)
    jobs += [j for j in bench.shop.live if j.plan and procedure in ("", j.plan.procedure)]
    place = place_of(bench)
    found = [replace(r, job=job.job) for job in jobs for r in KINDS[of](job, place)]
    if not found:
        raise Refused(f"No job has recorded {SAID[of]} yet.")
    return sorted(found, key=lambda r: r.at_s or 0.0)


def _checks(bench: Bench) -> list[Reading]:
    """What the scale that was checked most read beyond its known weights, with its own doubt."""
    record = max(bench.shop.scales.values(), key=lambda r: len(r.checks), default=None)
    if record is None or not record.checks:
        raise Refused("No scale was checked yet: `benchmate scale --known 500g --read 500.1g`.")
    u_g = check_u_g(scale_of(record.described, None))
    place = place_of(bench)
    return [
        Reading(
            c.reading_g, c.nominal_g, c.name, place(c.happened), show_date(c.happened.wall_s), u_g
        )
        for c in record.checks
    ]


Kind = Callable[[JobState, Place], Iterator[Reading]]


def _weights(job: JobState, place: Place) -> Iterator[Reading]:
    """Finished weights, each with its target."""
    for piece in job.plan.pieces if job.plan else ():
        final = final_weighing(job, piece.name)
        if final is not None and piece.name not in job.spoiled:
            yield Reading(
                final.net_g, piece.target_g, _product(job), place(final.happened), job.job
            )


def _gains(job: JobState, place: Place) -> Iterator[Reading]:
    """What layers gained, each with its plan."""
    for step in job.steps.values():
        record = job.weighing_at(step.address)
        if step.scope == "layer" and step.weigh is not None and record is not None:
            yield Reading(
                record.net_g, step.weigh.plan_g, _product(job), place(record.happened), job.job
            )


def _packings(job: JobState, place: Place) -> Iterator[Reading]:
    """How densely the shot of each fill lay; another shot is another product."""
    for fill in job.plan.fills if job.plan else ():
        packing = packing_seen(job, fill)
        records = [w for la in fill.layers if (w := job.weighing_at(la.address)) is not None]
        if packing is not None and fill.piece not in job.spoiled:
            yield Reading(packing, None, fill.shot, place(records[-1].happened))


def _losses(job: JobState, place: Place) -> Iterator[Reading]:
    """What stayed in each cup, in percent of what was mixed."""
    for mix in job.plan.mixes if job.plan else ():
        left, total, done = left_g(job, mix), mixed_g(job, mix), job.done.get(mix.address)
        if left is not None and total and done is not None:
            yield Reading(100.0 * left / total, None, _product(job), place(done.done))


def _product(job: JobState) -> str:
    return job.plan.procedure if job.plan else ""


KINDS: Mapping[str, Kind] = {
    "weights": _weights,
    "gains": _gains,
    "packing": _packings,
    "loss": _losses,
}
"""What jobs can chart, by name: finished weights, layers' gains, packing, what stays in a cup."""
UNITS: Mapping[str, str] = {"weights": "g", "gains": "g", "packing": "", "loss": "%", "scale": "g"}
SAID: Mapping[str, str] = {
    "weights": "a finished weight (`--of gains` charts the layers)",
    "gains": "a layer's gain",
    "packing": "a fill whose layers were all weighed",
    "loss": "what stayed in a cup",
}
