"""What a maker does with the day sheet: plan, adopt, plan anew, ask what fits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date

from msgspec.structs import replace

from benchmate.bench.planning.asking import asked, best_of
from benchmate.bench.planning.question import Question, question_of
from benchmate.bench.planning.saying import all_texts, candidates_of, many, no_plan_text
from benchmate.bench.planning.sheet import Row, Sheet, adopted_sheet, runs_of, sheet_of
from benchmate.bench.service import Bench
from benchmate.job.deciding.streams.commands import AdoptDays
from benchmate.localtime import local, show_when
from benchmate.plan.plan import Plan
from benchmate.planner.collapse import collapse
from benchmate.planner.greedy import first
from benchmate.planner.problem import SHOP, step_starts
from benchmate.planner.wire import Request, Told
from benchmate.refusal import Refused

LATE_S = 15 * 60.0
"""A step so long overdue has been missed, and the sheet is planned anew."""


def plan_now(bench: Bench, seconds: float, wishes: Sequence[Plan] = ()) -> tuple[Question, Sheet]:
    """The best sheet within so many seconds; an adopted one is kept as far as can be.

    Raises Refused where there is nothing to plan, or no plan at all: then with the reason.
    """
    question = question_of(bench, wishes)
    old = bench.shop.dates.dates if bench.shop.dates and not wishes else {}
    told = best_of(asked(question.request(seconds, old)))
    if told is None or not told.steps:
        why = reasons(question, seconds) if told is not None and told.impossible else []
        raise Refused(" ".join([no_plan_text(told), *why]))
    return question, sheet_of(bench, question, told)


def kept_text(bench: Bench, sheet: Sheet) -> str:
    """How much of the adopted sheet a new one keeps; empty where none was adopted."""
    old = bench.shop.dates.dates if bench.shop.dates else {}
    both = {key: row for key, row in _keys(sheet.rows).items() if key in old}
    if not both:
        return ""
    kept = sum(abs(row.begins - old[key]) < 60 for key, row in both.items())
    said = bench.shop.dates.done_by if bench.shop.dates else {}
    slips = "".join(
        f"; {sheet.titles[job]} {many(days, 'day')} later"
        for job, at in sheet.done_by.items()
        if (days := (_day(at) - _day(said.get(job, at))).days) > 0
    )
    return f"Kept from the sheet before: {kept} of {len(both)} times{slips}."


def _day(wall_s: float) -> date:
    return local(wall_s).date().to_stdlib()


def reasons(question: Question, seconds: float) -> list[str]:
    """Why not all that is wanted can be had, and what would free it, in sentences."""
    request = Request(
        kind="why",
        problem=question.problem,
        seconds=seconds,
        candidates=candidates_of(question),
    )
    return all_texts(question, asked(request))


def adopt(bench: Bench, sheet: Sheet) -> str:
    """Make it the day sheet; what was done, in a sentence. Wishes are no part of it.

    Raises Refused or JournalError.
    """
    rows = [r for r in sheet.rows if not r.is_wish]
    keys = _keys(rows)
    bench.settle(
        AdoptDays(
            dates={key: row.begins for key, row in keys.items()},
            ends={key: row.ends for key, row in keys.items()},
            done_by={j: at for j, at in sheet.done_by.items() if j in bench.shop.jobs},
        )
    )
    return f"Adopted: {len(rows)} steps in {len(sheet.visits)} visits."


def _keys(rows: Sequence[Row]) -> dict[str, Row]:
    """By step; what is gone on with has a number of its own."""
    keys: dict[str, Row] = {}
    seen: dict[str, int] = {}
    for row in rows:
        seen[row.address] = seen.get(row.address, 0) + 1
        number = seen[row.address]
        keys[row.address if number == 1 else f"{row.address}~{number}"] = row
    return keys


def late_steps(bench: Bench) -> tuple[Row, ...]:
    """The steps of the adopted sheet that should have been done by now."""
    sheet, now = adopted_sheet(bench), bench.now().wall_s
    if sheet is None:
        return ()
    return tuple(r for r in sheet.rows if r.ends + LATE_S < now)


def late_text(bench: Bench) -> str:
    """What to say of them; empty where the sheet holds."""
    late = late_steps(bench)
    if not late:
        return ""
    first = f"{late[0].who}: {late[0].what}"
    more = f" and {len(late) - 1} more" if len(late) > 1 else ""
    return f"Behind the day sheet: {first}{more}. `benchmate days --adopt` plans anew."


def next_visit_text(bench: Bench) -> str:
    """What the day sheet has next, or that it no longer holds; empty where none was adopted."""
    if late := late_text(bench):
        return late.rstrip(".")
    sheet, now = adopted_sheet(bench), bench.now().wall_s
    ahead = [v for v in sheet.visits if v.begins > now] if sheet is not None else []
    if not ahead:
        return ""
    first = runs_of(ahead[0])[0]
    return f"Day sheet: next {show_when(ahead[0].begins, now)}, {first.says}"


def what_fits(bench: Bench, minutes: float) -> Sheet:
    """What can be done from now on in so long, whatever the hours: planned as all else is, so that
    nothing is begun that would spoil halfway. Raises Refused where no job is open."""
    question, left = question_of(bench), math.floor(minutes)
    problem = question.problem
    then = tuple((max(a, left + 1), b) for a, b in problem.sessions[SHOP] if b > left + 1)
    sessions = {**problem.sessions, SHOP: ((0, left), *then)}
    blocks = collapse(replace(problem, sessions=sessions))
    plan = first(blocks)
    starts = step_starts(blocks, plan) if plan is not None else {}
    steps = {key: span for key, span in starts.items() if span[1] <= left}
    return sheet_of(bench, question, Told(steps=steps))
