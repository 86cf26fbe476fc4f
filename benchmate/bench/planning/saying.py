"""What is said about a plan: how good it is, why there is none, what would free it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from math import ceil

from benchmate.bench.planning.question import Question
from benchmate.localtime import show_date, show_when
from benchmate.planner.from_jobs import AGAIN
from benchmate.planner.hours import DAY_MIN
from benchmate.planner.problem import (
    DUST_FREE,
    HANDS,
    NOISE,
    SHOP,
    PlannerAim,
    PlannerProblem,
    day_of,
)
from benchmate.planner.wire import Answer, Candidate, Reason, Told

MORNING, EVENING = (9, 12), (18, 21)
TRIED_DAYS = 14
MOST_VISITS = 8
MOST_NAMED = 4


def aims_text(question: Question, told: Told) -> list[str]:
    """How good a plan is, aim by aim, gravest first; each proven, or with its gap."""
    by_name = {a.name: a for a in told.aims}
    lines = []
    spoiled, extra = by_name.get("spoiled"), by_name.get("extra work")
    if spoiled is not None and spoiled.value:
        lines.append(f"{many(spoiled.value, 'step')} too late: ruined work{_how(spoiled)}.")
    if extra is not None and extra.value:
        lines.append(f"{many(extra.value, 'step')} too late: extra work{_how(extra)}.")
    if told.missed:
        lines.append(f"Clocks missed: {'; '.join(_each_once(told.missed))}.")
    late = by_name.get("late days")
    if late is not None and late.value:
        lines.append(f"Late: {', '.join(_late(question, told))}{_how(late)}.")
    days, visits, idle = (by_name.get(n) for n in ("finish days", "visits", "idle"))
    if days is not None:
        lines.append(f"Days until each job is done, added up: {days.value}{_how(days)}.")
    if visits is not None and idle is not None:
        hours = f"{idle.value / 60:.0f} h in the shop"
        lines.append(f"{many(visits.value, 'visit')}{_how(visits)}, {hours}{_how(idle)}.")
    if any(a.bound and a.value for a in told.aims):
        kept = "what you had" if "changes" in by_name else "an earlier line"
        lines.append(f"Least means: without giving up {kept}, and what is done in one go together.")
    return [*lines, *([told.note] if told.note else [])]


def _late(question: Question, told: Told) -> list[str]:
    problem = question.problem
    ends: dict[str, int] = {}
    for key, (_, end) in told.steps.items():
        job = key.partition("/")[0]
        ends[job] = max(ends.get(job, 0), end)
    late = {
        d.job: day_of(problem, ends[d.job]) - day_of(problem, d.by)
        for d in problem.dues
        if d.job in ends
    }
    return [f"{title_of(question, j)} by {many(n, 'day')}" for j, n in late.items() if n > 0]


def _each_once(names: Sequence[str]) -> list[str]:
    """Each clock once, with how many steps miss it where they are several: a cup serves many."""
    return [f"{n} ({k} steps)" if k > 1 else n for n, k in Counter(names).items()]


def _how(aim: PlannerAim) -> str:
    if aim.is_proven:
        return " (proven least)" if aim.value else ""
    if not aim.bound:
        return " (there may be better)"
    return f" (at most {ceil(100 * (aim.value - aim.bound) / aim.bound)}% above the least)"


def many(count: int, what: str) -> str:
    """ "1 day", "3 days"."""
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


# Why not ----------------------------------------------------------------------------------------


def reason_text(question: Question, reason: Reason) -> str:
    """The rules that collide, in a sentence: "Hammer by Sat 5 Dec can't be done with its waits and
    the shop hours."."""
    problem = question.problem
    of: dict[str, list[str]] = {}
    for kind, name in reason.rules:
        of.setdefault(kind, []).append(name)
    by = {d.job: _day(question, d.by) for d in problem.dues}
    wants = [f"{title_of(question, j)} by {by[j]}" for j in of.get("due", ())]
    wants += [
        f"{_step(question, key)} at {_start_text(question, key)}" for key in of.get("pin", ())
    ]
    its = "its" if len(wants) == 1 else "their"
    against = [f"{its} waits"] if "waits" in of else []
    against += [f"{its} clocks that run out"] if "clocks" in of else []
    against += [_count_text(problem, name) for name in of.get("count", ())]
    against += ["the quiet hours" if n == NOISE else "the shop hours" for n in of.get("hours", ())]
    against += [f"what comes {_start_text(question, key)}" for key in of.get("delivery", ())[:1]]
    others = len(set(of.get("job", ())) - set(of.get("due", ()))) if wants else 0
    beside = f" beside {many(others, 'other job')}" if others and "due" in of else ""
    subject = _listed(wants) if wants else "All of it"
    together = {0: "", 1: "", 2: " both"}.get(len(wants), " all")
    if reason.note:  # not the smallest set: naming all of it would explain nothing
        return f"{subject} can't{together} be done. {reason.note}"
    return f"{subject} can't{together} be done with {_listed(against)}{beside}."


def _listed(words: Sequence[str]) -> str:
    """ "a, b and c"; of very many the first ones."""
    if len(words) > MOST_NAMED:
        words = [*words[: MOST_NAMED - 1], f"{len(words) - MOST_NAMED + 1} more"]
    return ", ".join(words[:-1]) + (" and " if len(words) > 1 else "") + words[-1]


def _start_text(question: Question, key: str) -> str:
    earliest = next(a.earliest for a in question.problem.activities if a.key == key)
    return show_when(question.wall(earliest), question.now_wall)


def _count_text(problem: PlannerProblem, name: str) -> str:
    many_of = problem.counts[name]
    match name:
        case _ if name == HANDS:
            return "one pair of hands" if many_of == 1 else f"{many_of} pairs of hands"
        case _ if name == DUST_FREE:
            return "no dust while a coat is wet"
        case _:
            return many(many_of, name)


def _step(question: Question, key: str) -> str:
    """ "dry fit of Plane-setting hammer"."""
    job, address = key.partition("/")[0], key.partition(AGAIN)[0]
    steps = question.jobs[job].steps.values() if job in question.jobs else ()
    wished = question.wishes[job].steps if job in question.wishes else ()
    names = [s.short or s.act for s in (*steps, *wished) if s.address == address]
    return f"{names[0] if names else address} of {title_of(question, job)}"


def title_of(question: Question, job: str) -> str:
    """What a person calls a job."""
    if job in question.jobs:
        return question.jobs[job].title
    return question.wishes[job].title if job in question.wishes else job


def _day(question: Question, minute: int) -> str:
    return show_date(question.wall(minute))


def frees_text(question: Question, answers: Iterable[Answer]) -> list[str]:
    """What would free it, each tried; where no single thing does, how much later all have to be."""
    reasons = [a for a in answers if isinstance(a, Reason)]
    freeing = [r.frees for r in reasons if r.frees]
    if freeing:
        one = "Any one of these would do" if len(freeing) > 1 else "This would do"
        return [f"{one}: {'; '.join(freeing)}."]
    later = {job: days for r in reasons for job, days in r.later_days.items()}
    if later:
        each = [f"{title_of(question, job)} {many(n, 'day')} later" for job, n in later.items()]
        return [f"Nothing tried alone frees it. What does: {_listed(each)}."]
    return ["Nothing that was tried frees it."]


def candidates_of(question: Question) -> tuple[Candidate, ...]:
    """What might free a plan, the cheapest first: a day more, one more of a thing, a visit more."""
    problem = question.problem
    tried = [
        Candidate(
            say=f"{title_of(question, d.job)} {many(days, 'day')} later",
            due=d.job,
            later_min=days * DAY_MIN,
            rule=("due", d.job),
        )
        for d in problem.dues
        for days in (1, 2, 3, 4, 5, 6, 7, 10, 14)
    ]
    for count in problem.counts:
        if count != DUST_FREE:
            words = "a second pair of hands" if count == HANDS else f"one more {count}"
            tried.append(Candidate(say=words, count=count, more=1, rule=("count", count)))
            if count != HANDS:
                words = f"two more {count}s"
                tried.append(Candidate(say=words, count=count, more=2, rule=("count", count)))
    tried += _visits_more(question)
    tried += [
        Candidate(say=f"{_step(question, a.key)} whenever it fits", pin=a.key, rule=("pin", a.key))
        if a.latest is not None
        else Candidate(
            say=f"{_step(question, a.key)} with what is here", pin=a.key, rule=("delivery", a.key)
        )
        for a in problem.activities
        if a.job and (a.earliest or a.latest is not None)
    ]
    return tuple(tried)


def _visits_more(question: Question) -> Iterator[Candidate]:
    """Free mornings and evenings before the last due date, those nearest to it first."""
    from benchmate.localtime import next_at

    problem = question.problem
    last = max((d.by for d in problem.dues), default=TRIED_DAYS * DAY_MIN)
    shown = 0
    for day in reversed(range(min(TRIED_DAYS, last // DAY_MIN + 1))):
        for name, (from_h, until_h) in (("morning", MORNING), ("evening", EVENING)):
            begins, ends = (
                question.minute(next_at(question.now_wall, day, h, 0)) for h in (from_h, until_h)
            )
            is_free = all(b <= begins or ends <= a for a, b in problem.sessions[SHOP])
            if is_free and begins > 0 and ends <= last and shown < MOST_VISITS:
                shown += 1
                words = f"{_day(question, begins)} in the {name}, {from_h}:00 to {until_h}:00"
                yield Candidate(say=words, session=(begins, ends), rule=("hours", SHOP))


def no_plan_text(told: Told | None) -> str:
    """That there is none, or that none was found in the time there was."""
    if told is not None and told.impossible:
        return "No plan keeps all the rules within ten weeks."
    return "No plan was found in that time."


def needs_a_reason(told: Told | None) -> bool:
    """Whether a plan isn't what was asked: something late, something missed, or none at all."""
    if told is None or not told.steps:
        return True
    return any(a.value for a in told.aims if a.name in ("spoiled", "extra work", "late days"))


def all_texts(question: Question, answers: Sequence[Answer]) -> list[str]:
    """Reason and remedies together."""
    first = next((a for a in answers if isinstance(a, Reason) and a.rules), None)
    if first is None:
        return [r.note for r in answers if isinstance(r, Reason) and r.note]
    return [reason_text(question, first), *frees_text(question, answers)]
