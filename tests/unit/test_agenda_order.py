"""What comes first: the order of the next act, case by case."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.decide import decide
from benchmate.job.state.fold import fold_all
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.windows.agenda import Agenda, agenda
from benchmate.plan.address import window_address
from benchmate.plan.plan import Check, Consequence, PiecePlan, Plan, Step, WeighPoint, Window
from tests.unit.shop_of_tests import MIN, around, moment

AROUND = around()
NOW_MIN = 1000.0
CHECK = (Check(name="wall", ask="How thick is the wall?", unit="mm"),)
WEIGHT = WeighPoint(kind="gain", plan_g=100.0, tolerance_g=3.0, what="layer")


@dataclass(frozen=True)
class Clock:
    """A window that closes so many minutes from now (before now: it was missed)."""

    closes_min: float
    missed: Consequence


@dataclass(frozen=True)
class Thing:
    """One thing to do, with what bounds it; `owes` is a weight or check of an act that is done."""

    name: str
    within: tuple[Clock, ...] = ()
    hands_min: float = 0.0
    owes: str = ""
    act: str = "poured"


def spoils(closes_min: float) -> Clock:
    return Clock(closes_min, "spoils mix")


def costs(closes_min: float) -> Clock:
    return Clock(closes_min, "extra work")


def job_of(things: tuple[Thing, ...], name: str = "t") -> JobState:
    """A job in which all of these are to do now; each has its own piece."""
    steps, done = [], []
    for thing in things:
        base = f"{name}/{thing.name}/x"
        begun = f"{base}/begun#1"
        windows = tuple(
            Window(
                name=f"w{i}",
                address=window_address(begun, f"w{i}"),
                label=f"{thing.name} {i}",
                closes_s=(NOW_MIN + c.closes_min) * MIN,
                missed=c.missed,
            )
            for i, c in enumerate(thing.within)
        )
        steps.append(
            Step(address=begun, do="Begin", act="begun", piece=thing.name, windows=windows)
        )
        done.append(begun)
        names = tuple(w.address for w in windows)
        acts = [f"{base}/act#1", f"{base}/last#1"] if thing.owes else [f"{base}/act#1"]
        for n, address in enumerate(acts):
            owed = thing.owes if n == 0 else ""
            steps.append(
                Step(
                    address=address,
                    do="Act",
                    act=thing.act,
                    piece=thing.name,
                    after=(begun,),
                    within=names,
                    hands_s=thing.hands_min * MIN,
                    weigh=WEIGHT if owed == "weigh" else None,
                    checks=CHECK if owed == "check" else (),
                )
            )
        if thing.owes:
            done += acts
            steps[-1] = Step(
                address=acts[1],
                do="Later",
                act="poured",
                piece=thing.name,
                within=names,
                after=("nothing/of/the/kind#1",),
            )
            done.pop()
    plan = Plan(
        procedure="p",
        title="T",
        job=name,
        steps=tuple(steps),
        pieces=tuple(PiecePlan(name=t.name) for t in things),
    )
    records = [
        Recorded(1, decide(None, cmd.StartJob(job=name, title="T", plan=plan), moment(), AROUND)[0])
    ]
    for address in done:
        made = decide(fold_all(records), cmd.MarkDone(address=address), moment(), AROUND)
        records.append(Recorded(len(records) + 1, made[0]))
    return fold_all(records)


def order(*jobs: JobState) -> Agenda:
    return agenda(jobs, AROUND, AROUND.timeline.at(moment(NOW_MIN * MIN)))


def names(found: Agenda) -> list[str]:
    return [a.piece for a in found.ready]


CASES = {
    "what spoils before what doesn't": (
        (Thing("plain"), Thing("pour", (spoils(8),))),
        ["pour", "plain"],
    ),
    "what spoils later before what only costs work sooner": (
        (Thing("coat", (costs(2),)), Thing("pour", (spoils(60),))),
        ["pour", "coat"],
    ),
    "of two that spoil, the one that must be begun first": (
        (Thing("quick", (spoils(20),), 1), Thing("long", (spoils(25),), 15)),
        ["long", "quick"],
    ),
    "an old question of extra work never pushes away a pour that spoils": (
        (Thing("question", (costs(-4000),)), Thing("pour", (spoils(8),))),
        ["pour", "question"],
    ),
    "nor one that was missed a moment ago, before a pour with an hour left": (
        (Thing("question", (costs(-1),)), Thing("pour", (spoils(60),))),
        ["pour", "question"],
    ),
    "a pour that can still be made before a question about a cup that is lost": (
        (Thing("question", (spoils(-5),)), Thing("pour", (spoils(8),))),
        ["pour", "question"],
    ),
    "however much time the one has and however long ago the other was lost": (
        (Thing("question", (spoils(-900),)), Thing("pour", (spoils(300),))),
        ["pour", "question"],
    ),
    "a coat about to close before a lost cup, and one with days to go after it": (
        (
            Thing("days", (costs(4000),)),
            Thing("question", (spoils(-5),)),
            Thing("now", (costs(2),)),
        ),
        ["now", "question", "days"],
    ),
    "a pour whose last moment to begin was sooner goes first too": (
        (Thing("question", (spoils(-1),)), Thing("pour", (spoils(2),), 6)),
        ["pour", "question"],
    ),
    "a question of extra work before acts that nothing presses": (
        (Thing("plain"), Thing("question", (costs(-30),))),
        ["question", "plain"],
    ),
    "but a coat that is about to close can still be saved": (
        (Thing("question", (costs(-30),)), Thing("coat", (costs(5),))),
        ["coat", "question"],
    ),
    "of two questions the older close": (
        (Thing("young", (costs(-5),)), Thing("old", (costs(-500),))),
        ["old", "young"],
    ),
    "a grave question before an older light one": (
        (Thing("light", (costs(-500),)), Thing("grave", (spoils(-5),))),
        ["grave", "light"],
    ),
    "a light question that holds back an act which spoils is as pressing as that act": (
        (
            Thing("slow", (spoils(30),)),
            Thing("question", (costs(-30), spoils(20))),
            Thing("pour", (spoils(8),)),
        ),
        ["pour", "question", "slow"],
    ),
    "one that holds back what would only cost work is not": (
        (Thing("pour", (spoils(8),)), Thing("question", (costs(-30), costs(20)))),
        ["pour", "question"],
    ),
    "a weight owed before the next pour from the same cup": (
        (Thing("pour", (spoils(30),), 2), Thing("weight", (spoils(30),), 2, "weigh")),
        ["weight", "pour"],
    ),
    "a weight owed to a cup that has gelled waits for the question about it": (
        (Thing("weight", (spoils(-5),), 2, "weigh"), Thing("pour", (spoils(8),))),
        ["pour", "weight", "weight"],
    ),
    "a weight that no clock presses, before what waits: the piece stands on the scale": (
        (Thing("other", (costs(4000),)), Thing("weight", (), 0, "weigh")),
        ["weight", "other"],
    ),
    "but not before a pour that can still be saved": (
        (Thing("weight", (), 0, "weigh"), Thing("pour", (spoils(30),))),
        ["pour", "weight"],
    ),
    "a weight owed goes before a cup is mixed, however pressing that is": (
        (Thing("cup", (costs(1),), 999, act="mixed"), Thing("weight", (), 0, "weigh")),
        ["weight", "cup"],
    ),
    "a check doesn't push away what spoils": (
        (Thing("check", (spoils(30),), 0, "check"), Thing("pour", (spoils(60),))),
        ["pour", "check"],
    ),
    "nothing presses: the plan's order": (
        (Thing("first"), Thing("second"), Thing("third")),
        ["first", "second", "third"],
    ),
}


@pytest.mark.parametrize(("things", "wanted"), CASES.values(), ids=list(CASES))
def test_the_order_of_the_acts(things: tuple[Thing, ...], wanted: list[str]) -> None:
    assert names(order(job_of(things))) == wanted


def test_with_nothing_pressing_the_job_that_began_first_goes_on() -> None:
    first, second = job_of((Thing("a"),), "t"), job_of((Thing("b"),), "u")
    assert names(order(first, second)) == ["a", "b"]
    assert names(order(second, first)) == ["b", "a"]


def test_across_jobs_a_pour_that_spoils_goes_before_an_old_question_of_the_first_job() -> None:
    first = job_of((Thing("question", (costs(-4000),)),), "t")
    second = job_of((Thing("pour", (spoils(8),)),), "u")
    assert names(order(first, second)) == ["pour", "question"]


def test_a_weight_owed_keeps_the_bench_at_its_job() -> None:
    other = job_of((Thing("coat", (costs(600),)),), "t")
    cap = job_of((Thing("cap", (), 0, "weigh"),), "u")
    assert names(order(other, cap)) == ["cap", "coat"]


def test_a_question_belongs_to_the_piece_that_it_is_about() -> None:
    found = order(job_of((Thing("a"), Thing("b", (costs(-5),)))))
    asked = found.of_piece("t", "b")
    assert asked is not None
    assert asked.kind == "answer"
