"""When a job will be done, by a simple plan: said before it is started and after."""

from __future__ import annotations

from benchmate.bench.planning.question import question_of
from benchmate.bench.service import Bench
from benchmate.localtime import show_date
from benchmate.plan.plan import Plan
from benchmate.planner.collapse import collapse
from benchmate.planner.greedy import first
from benchmate.planner.problem import finishes


def done_by_text(bench: Bench, plan: Plan) -> str:
    """ "Done by about Fri 12 Dec in shop hours, beside 2 open jobs"; empty where none can tell.

    Reads one frozen picture of the shop: any thread may ask. No solver looks for better here.
    """
    is_open = plan.job in bench.shop.jobs
    question = question_of(bench, [] if is_open else [plan])
    blocks = collapse(question.problem)
    simple = first(blocks, passes=1)
    if simple is None:
        return ""
    when = show_date(question.wall(finishes(blocks, simple.starts)[plan.job]))
    others = len(question.jobs) - is_open
    beside = f", beside {others} open job{'s' if others > 1 else ''}" if others else ""
    return f"Done by about {when} in shop hours{beside}."
