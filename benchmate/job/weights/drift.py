"""Where the record departs from the plan: weights, checks and times.

Each departure is a remark with a key; it stays listed until it is seen, then stands in the job
card.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from benchmate.job.events.stored import VerdictRules
from benchmate.job.state.state import JobState, Weighing
from benchmate.job.weights.verdicts import ASSUMED_DIVISION_G, judge_weighing, unseen
from benchmate.job.windows.cold import cold
from benchmate.job.windows.windows import Around, WindowView, view
from benchmate.landing.verdict import Judgement, Verdict
from benchmate.plan.plan import Check, Step
from benchmate.quantities import show_duration, show_mass
from benchmate.quantities.worded import Worded, celsius, measured

__all__ = [
    "ASSUMED_DIVISION_G",
    "Remark",
    "check_fault",
    "judge",
    "remarks",
    "to_see",
]


@dataclass(frozen=True)
class Remark:
    """One thing to see."""

    key: str
    job: str
    address: str
    text: str
    grave: bool
    """Off plan, missed or out of limits; else only worth knowing."""
    seen: bool


def judge(job: JobState, weighing: Weighing, rules: VerdictRules | None = None) -> Judgement | None:
    """A weighing's verdict; None where the plan says no weight."""
    return judge_weighing(job, weighing, rules)


def remarks(
    job: JobState, around: Around, now: float, rules: VerdictRules | None = None
) -> tuple[Remark, ...]:
    """All departures of a job, in the order in which they were recorded."""
    found = [
        *_unseen(job, rules),
        *_weights(job, rules),
        *_checks(job),
        *_times(job, around),
        *_colds(job, around),
        *_missed(job, around, now),
    ]
    return tuple(found)


def to_see(
    job: JobState, around: Around, now: float, rules: VerdictRules | None = None
) -> tuple[Remark, ...]:
    """The departures that haven't been seen."""
    return tuple(r for r in remarks(job, around, now, rules) if not r.seen)


def _remark(
    job: JobState, key: str, address: str, text: str, *, grave: bool, old_key: str = ""
) -> Remark:
    """`old_key`: by which an older benchmate recorded that it was seen."""
    seen = key in job.seen or old_key in job.seen
    return Remark(key, job.job, address, text, grave, seen)


def _unseen(job: JobState, rules: VerdictRules | None) -> Iterable[Remark]:
    """Said once a job: a scale that is too coarse for what is asked of it."""
    found = unseen(job, rules)
    if found is not None:
        text = (
            f"the scale can't see ± {show_mass(found.tolerance_g)}: such weights are judged "
            f"against ± {show_mass(found.judged_g)}"
        )
        yield _remark(job, "scale too coarse", found.address, text, grave=False)


def _weights(job: JobState, rules: VerdictRules | None) -> Iterable[Remark]:
    for version, weighing in job.weighings.items():
        found = judge(job, weighing, rules)
        if found is not None and found.verdict is not Verdict.ON_PLAN:
            yield _remark(
                job,
                f"weight {version} {weighing.net_g:g}",
                weighing.address,
                found.said(),
                grave=found.verdict is Verdict.OFF_PLAN,
            )


def check_fault(check: Check, value: float) -> str:
    """What is wrong with a check's answer; empty where nothing is."""
    if not check.unit:
        return "" if value else f"{check.name}: no"
    if check.at_least is not None and value < check.at_least:
        return Worded(
            "{name} {value}; should be at least {wanted}",
            name=check.name,
            value=measured(value, check.unit),
            wanted=measured(check.at_least, check.unit),
        )
    if check.at_most is not None and value > check.at_most:
        return Worded(
            "{name} {value}; should be at most {wanted}",
            name=check.name,
            value=measured(value, check.unit),
            wanted=measured(check.at_most, check.unit),
        )
    return ""


def _checks(job: JobState) -> Iterable[Remark]:
    for (address, name), record in job.checks.items():
        step = job.steps.get(address)
        for check in step.checks if step else ():
            fault = check_fault(check, record.value) if check.name == name else ""
            if fault:
                yield _remark(job, f"check {record.version}", address, fault, grave=True)


def _times(job: JobState, around: Around) -> Iterable[Remark]:
    """Acts that were done before a window had opened or after it had closed."""
    for address, record in job.done.items():
        step = job.steps.get(address)
        if step is None or not (step.within or step.waits or step.waits_full):
            continue
        at = around.timeline.at(record.done)
        for what, text, first_said in _departures(job, step, around, at):
            # What was OK'd before remarks had keys of their own went by the words of then.
            key, old = f"time {record.version} {what}", f"time {record.version} {first_said}"
            yield _remark(job, key, address, text, grave=True, old_key=old)


def _colds(job: JobState, around: Around) -> Iterable[Remark]:
    """Acts that were done in air that spoils them."""
    for address, record in job.done.items():
        step = job.steps.get(address)
        found = step and cold(step.windows, step.minimum_c, around, around.timeline.at(record.done))
        if found and found.kind == "spoils" and found.is_sure:
            text = Worded(
                "done at {air}, below {lowest}: don't trust it",
                air=celsius(found.air_c),
                lowest=celsius(found.lowest_c),
            )
            yield _remark(job, f"cold {record.version}", address, text, grave=True)


def _departures(
    job: JobState, step: Step, around: Around, at: float
) -> Iterable[tuple[str, str, str]]:
    """Each with the window's address and which way, in words, and in the words of old."""
    for name in dict.fromkeys((*step.waits, *step.waits_full)):
        seen = _view(job, name, around, at)
        edge = seen and (seen.full if name in step.waits_full else seen.opens)
        if seen and edge and at < edge.at - 30:
            early, label = show_duration(edge.at - at), seen.window.label
            yield (
                f"before {name}",
                f"{early} too early for {label}",
                f"{early} before {label} was due",
            )
    for name in step.within:
        seen = _view(job, name, around, at)
        if seen and seen.closes and at > seen.closes.at + 30:
            late, label = show_duration(at - seen.closes.at), seen.window.label
            yield (
                f"after {name}",
                f"{late} too late for {label}",
                f"{late} after {label} had closed",
            )


def _view(job: JobState, name: str, around: Around, at: float) -> WindowView | None:
    window = job.windows.get(name)
    return view(job, window, around, at) if window else None


def _missed(job: JobState, around: Around, now: float) -> Iterable[Remark]:
    for name, answer in job.answers.items():
        window = job.windows.get(name)
        if window and answer in ("extra step", "let it be") and window.closes_s is not None:
            seen = view(job, window, around, now)
            if seen and seen.closes and seen.closes.at < now:
                yield _remark(
                    job, f"missed {name}", name, f"{window.label} was missed: {answer}", grave=False
                )
