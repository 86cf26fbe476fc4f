"""Five impossible wishes: the true reason of each, and what frees it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from benchmate.planner.problem import (
    HANDS,
    SHOP,
    Activity,
    Due,
    Holding,
    Lag,
    PlannerProblem,
    Within,
)
from benchmate.planner.process import answer
from benchmate.planner.wire import Answer, Candidate, Reason, Request
from tests.needs import needs

pytestmark = needs("module:ortools")
EVENINGS = tuple((1440 * d + 60, 1440 * d + 270) for d in range(10))
"""Ten evenings from six to half past nine; the origin is an afternoon at five."""
DAY = 1440


def job(name: str, *minutes: int, waits: tuple[int, ...] = ()) -> tuple[list[Activity], list[Lag]]:
    """A chain of steps, with a wait after each but the last."""
    steps = [
        Activity(key=f"{name}/{n}", job=name, minutes=m, within=(Within(calendar=SHOP, minutes=m),))
        for n, m in enumerate(minutes)
    ]
    lags = [
        Lag(first=n, then=n + 1, least=m + (waits[n] if n < len(waits) else 0))
        for n, m in enumerate(minutes[:-1])
    ]
    return steps, lags


def problem(
    jobs: list[tuple[list[Activity], list[Lag]]], dues: dict[str, int], clamps: int = 6
) -> PlannerProblem:
    """Jobs one after another in one list; the first two steps of each hold three clamps."""
    activities: list[Activity] = []
    lags: list[Lag] = []
    holdings: list[Holding] = []
    for steps, inner in jobs:
        base = len(activities)
        activities += steps
        lags += [replace(x, first=x.first + base, then=x.then + base) for x in inner]
        for i, step in enumerate(steps, start=base):
            holdings.append(
                Holding(count=HANDS, amount=1, first=i, begins=0, last=i, ends=step.minutes)
            )
        if len(steps) > 1:
            holdings.append(
                Holding(
                    count="clamp",
                    amount=3,
                    first=base,
                    begins=0,
                    last=base + 1,
                    ends=steps[1].minutes,
                )
            )
    return PlannerProblem(
        activities=tuple(activities),
        lags=tuple(lags),
        holdings=tuple(holdings),
        counts={HANDS: 1, "clamp": clamps},
        sessions={SHOP: EVENINGS},
        dues=tuple(Due(job=j, by=by) for j, by in dues.items()),
        horizon=10 * DAY,
        day_starts=600,
    )


TONIGHT, TOMORROW = 400, 400 + DAY
CASES = {
    "the cure is longer than the time": (
        problem([job("bookends", 30, 10, waits=(4320,))], {"bookends": 400 + 2 * DAY}),
        {"due bookends", "waits bookends", "job bookends"},
        [
            (Candidate(say="a day", due="bookends", later_min=DAY, rule=("due", "bookends")), True),
            (
                Candidate(say="an hour", due="bookends", later_min=60, rule=("due", "bookends")),
                False,
            ),
        ],
    ),
    "five clamps where six are needed at once": (
        problem(
            [job("lamp", 30, 10, waits=(1300,)), job("box", 30, 10, waits=(1300,))],
            {"lamp": TOMORROW, "box": TOMORROW},
            clamps=5,
        ),
        {"count clamp", "due lamp", "due box", "waits lamp", "waits box", "job lamp", "job box"},
        [
            (Candidate(say="one more", count="clamp", more=1, rule=("count", "clamp")), True),
            (Candidate(say="two more", count="clamp", more=2, rule=("count", "clamp")), True),
        ],
    ),
    "more work than an evening has": (
        problem([job("hammer", 120, 120)], {"hammer": TONIGHT}),
        {"hours shop hours", "due hammer", "job hammer"},
        [
            (Candidate(say="before", session=(0, 50), rule=("hours", SHOP)), False),
            (Candidate(say="later", session=(271, 400), rule=("hours", SHOP)), True),
        ],
    ),
    "two jobs and one pair of hands": (
        problem([job("a", 110, 10), job("b", 110, 10)], {"a": TONIGHT, "b": TONIGHT}),
        {"count hands", "hours shop hours", "due a", "due b", "job a", "job b"},
        [(Candidate(say="a second pair", count=HANDS, more=1, rule=("count", HANDS)), True)],
    ),
    "a step pinned before its wait is over": (
        replace(
            pinned := problem([job("pair", 30, 10, waits=(1300,))], {}),
            activities=(
                pinned.activities[0],
                replace(pinned.activities[1], earliest=200, latest=200),
            ),
        ),
        {"pin pair/1", "waits pair", "job pair"},
        [(Candidate(say="unpinned", pin="pair/1", rule=("pin", "pair/1")), True)],
    ),
}


def explained(problem: PlannerProblem, candidates: tuple[Candidate, ...] = ()) -> list[Reason]:
    """The planner's answer to why."""
    answers: list[Answer] = []
    request = Request(kind="why", problem=problem, seconds=30.0, candidates=candidates)
    answer(request, answers.append)
    return [a for a in answers if isinstance(a, Reason)]


@pytest.mark.parametrize("name", CASES)
def test_the_reason_is_true_and_none_of_it_can_go(name: str) -> None:
    from benchmate.planner.why import Rule, can_be, only

    wanted, rules, _ = CASES[name]
    first = explained(wanted)[0]
    assert {f"{kind} {rule}" for kind, rule in first.rules} == rules
    kept = [Rule(kind, rule) for kind, rule in first.rules]  # type: ignore[arg-type]
    assert can_be(only(wanted, kept)) is False
    for gone in kept:
        assert can_be(only(wanted, [r for r in kept if r != gone])) is True, gone


@pytest.mark.parametrize("name", CASES)
def test_what_is_said_to_free_it_frees_it_and_less_does_not(name: str) -> None:
    from benchmate.planner.why import can_be, freed, only, rules_of

    wanted, _, tried = CASES[name]
    for candidate, frees in tried:
        told = explained(wanted, (candidate,))
        assert any(r.frees == candidate.say for r in told) is frees
        eased = freed(wanted, candidate)
        assert can_be(only(eased, rules_of(eased))) is frees
    assert can_be(only(wanted, rules_of(wanted))) is False


def test_where_nothing_alone_frees_it_the_least_lateness_is_told() -> None:
    wanted, _, _ = CASES["five clamps where six are needed at once"]
    last = explained(wanted)[-1]
    assert last.is_last
    assert sum(last.later_days.values()) == 1, "one of the two a day later"


def test_what_can_be_has_no_reason() -> None:
    fine = problem([job("hammer", 60, 60)], {"hammer": TONIGHT})
    assert explained(fine) == [Reason(is_last=True)]
