"""Two ways of doing a thing, compared fairly over the ended jobs of a procedure."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from benchmate.bench.history.lessons import name_of
from benchmate.bench.history.records import ended_jobs
from benchmate.bench.service import Bench
from benchmate.job.looking_back.summary import final_weighing, left_g, mixed_g, packing_seen
from benchmate.job.state.state import JobState
from benchmate.learning.compare import Comparison, Words, compare
from benchmate.nearest import advice
from benchmate.plan.plan import Plan
from benchmate.refusal import Refused

Measured = Mapping[str, float]
"""A job's result by piece; under "" what belongs to the job as a whole."""


@dataclass(frozen=True)
class Compared:
    """One result of two ways, with what can be said of it."""

    of: str
    found: Comparison


def compare_ways(bench: Bench, procedure: str, by: str, of: str = "") -> list[Compared]:
    """Compare the jobs of a procedure by a parameter's value, or by the material that a name stood
    for.

    `of` is one of MEASURES, or all of them. Of more than two ways the two with the most jobs are
    compared. A job gives one result a way, the mean of its pieces made that way: what one job
    repeats shares its day, its cup and its hands. Raises Refused where there is nothing to compare.
    """
    if of and of not in MEASURES:
        raise Refused(f"“{of[:30]}” can't be compared; {advice(of, MEASURES)}.")
    jobs = [j for j in ended_jobs(bench, name_of(bench, procedure)) if j.plan is not None]
    ways = [ways_of(job.plan, by) for job in jobs if job.plan is not None]
    one, other = _two_ways(jobs, ways, by)
    names = [of] if of else list(MEASURES)
    found = [(name, _results(jobs, ways, (one, other), MEASURES[name][0])) for name in names]
    called = _called(by, one), _called(by, other)
    return [
        Compared(name, compare(a, b, words=Words(*called, MEASURES[name][1])))
        for name, (a, b) in found
        if of or (a and b)
    ]


def _called(by: str, way: str) -> str:
    """A way by its name; a bare number says of what it is: "coats 2"."""
    return f"{by} {way}" if way[:1].isdigit() else way


def what_differs(bench: Bench, procedure: str) -> list[str]:
    """Parameters and materials in which the ended jobs of a procedure differ, in the plan's
    order."""
    jobs = ended_jobs(bench, name_of(bench, procedure))
    plans = [job.plan for job in jobs if job.plan is not None]
    names = dict.fromkeys(n for plan in reversed(plans) for n in _in_order(plan))
    return [n for n in names if len({w for p in plans for w in ways_of(p, n).values()}) > 1]


def _in_order(plan: Plan) -> list[str]:
    materials = [a.role or a.what for s in plan.steps for a in s.amounts if a.material]
    return [*(name.partition(" (")[0] for name in plan.parameters), *materials]


def ways_of(plan: Plan, by: str) -> dict[str, str]:
    """How each piece was made, by a parameter or by the material of that name; empty where
    unknown."""
    pieces = [p.name for p in plan.pieces]
    if by in plan.parameters:
        return dict.fromkeys(pieces, plan.parameters[by])
    each = {p: v for p in pieces if (v := plan.parameters.get(f"{by} ({p})")) is not None}
    if each:
        return each
    found: dict[str, str] = {}
    for step in plan.steps:
        for amount in step.amounts:
            if by in (amount.role, amount.what) and amount.material:
                mine = [step.piece] if step.piece else pieces
                found.update(dict.fromkeys(mine, amount.material))
    return found


def _two_ways(
    jobs: Sequence[JobState], ways: Sequence[Mapping[str, str]], by: str
) -> tuple[str, str]:
    count: dict[str, int] = {}
    for mine in ways:
        for way in set(mine.values()):
            count[way] = count.get(way, 0) + 1
    if not count:
        known = sorted({n for j in jobs if j.plan for n in _in_order(j.plan)})
        hint = f"; {advice(by, known)}" if known else ""
        raise Refused(f"No ended job has a parameter or a material called “{by[:40]}”{hint}.")
    if len(count) == 1:
        only, n = next(iter(count.items()))
        raise Refused(f"All {n} jobs had {by} {only}: there is no second way to compare.")
    one, other = sorted(sorted(count), key=lambda way: -count[way])[:2]
    return one, other


def _results(
    jobs: Sequence[JobState],
    ways: Sequence[Mapping[str, str]],
    both: tuple[str, str],
    measure: Callable[[JobState], Measured],
) -> tuple[list[float], list[float]]:
    sides: tuple[list[float], list[float]] = ([], [])
    for job, mine in zip(jobs, ways, strict=True):
        measured = measure(job)
        for side, way in zip(sides, both, strict=True):
            whole = set(mine.values()) == {way}
            values = [v for p, v in measured.items() if (mine.get(p) == way if p else whole)]
            if values:
                side.append(fmean(values))
    return sides


def _off_target(job: JobState) -> Measured:
    return {
        p.name: final.net_g - p.target_g
        for p in (job.plan.pieces if job.plan else ())
        if p.target_g is not None and p.name not in job.spoiled
        if (final := final_weighing(job, p.name)) is not None
    }


def _missed_by(job: JobState) -> Measured:
    return {name: abs(off) for name, off in _off_target(job).items()}


def _packing(job: JobState) -> Measured:
    fills = [f for f in (job.plan.fills if job.plan else ()) if f.piece not in job.spoiled]
    return {f.piece: p for f in fills if (p := packing_seen(job, f)) is not None}


def _loss(job: JobState) -> Measured:
    shares = [
        100.0 * left / total
        for mix in (job.plan.mixes if job.plan else ())
        if (left := left_g(job, mix)) is not None and (total := mixed_g(job, mix))
    ]
    return {"": fmean(shares)} if shares else {}


MEASURES: Mapping[str, tuple[Callable[[JobState], Measured], str]] = {
    "off target": (_off_target, "g"),
    "missed by": (_missed_by, "g"),
    "packing": (_packing, ""),
    "loss": (_loss, "% in the cup"),
}
"""What can be compared, with its unit: the finished weight less its target, how far it missed it
either way, the packing, and what stayed in the cup."""
