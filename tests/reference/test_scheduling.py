"""Published instances with known optima, through the same model that plans jobs."""

from __future__ import annotations

import csv
from pathlib import Path
from random import Random

import pytest

from benchmate.planner.problem import PlannerProblem
from benchmate.refusal import Refused
from tests.needs import needs
from tests.planning_checker import complaints
from tests.reference.outside import check
from tests.reference.scheduling.instances import read_instance, read_sch, read_sm, shortest

DATA = Path(__file__).parent / "data" / "scheduling"
SOURCE = {
    "j30": "PSPLIB j30, Kolisch and Sprecher, EJOR 96 (1997); known optimal makespans",
    "ubo10": "UBO10, ProGen/max, Schwindt 1998; optimal makespans, or proven infeasible",
}
SAMPLE = {"j301_1.sm", "j3012_3.sm", "j3020_3.sm", "j3033_1.sm", "j3044_3.sm"}


def known(family: str) -> list[tuple[str, str]]:
    """Each instance and its optimum."""
    with (DATA / family / "optimum.csv").open(encoding="utf-8") as file:
        return [(row["instance"], row["optimum"]) for row in csv.DictReader(file)]


def instance(family: str, name: str) -> PlannerProblem:
    """One instance, read."""
    return read_instance(name, (DATA / family / name).read_text(encoding="utf-8"))


def hold(family: str, name: str, optimum: str) -> None:
    """The instance comes out at its known optimum, by a plan that the checker passes."""
    problem = instance(family, name)
    solved = shortest(problem, 300.0)
    if optimum == "unsat":
        assert (solved.minutes, solved.how) == (None, "impossible")
        return
    assert solved.how == "proven"
    assert solved.plan is not None
    assert complaints(problem, solved.plan.starts) == []
    check(family, solved.minutes, int(optimum), source=SOURCE[family])


@needs("module:ortools")
@pytest.mark.parametrize(("name", "optimum"), known("ubo10"), ids=[n for n, _ in known("ubo10")])
def test_time_lags_of_both_signs(name: str, optimum: str) -> None:
    hold("ubo10", name, optimum)


@needs("module:ortools")
@pytest.mark.parametrize(("name", "optimum"), [pair for pair in known("j30") if pair[0] in SAMPLE])
def test_a_sample_of_scarce_resources(name: str, optimum: str) -> None:
    hold("j30", name, optimum)


@pytest.mark.published
@needs("module:ortools")
@pytest.mark.parametrize(("name", "optimum"), known("j30"), ids=[n for n, _ in known("j30")])
def test_scarce_resources(name: str, optimum: str) -> None:
    hold("j30", name, optimum)


@needs("module:ortools")
def test_the_checker_refuses_a_moved_activity() -> None:
    """Most single moves break a rule; a checker that passes them all would pass anything."""
    random = Random(7)
    refused, kinds = 0, set()
    pairs = [("j30", n) for n in sorted(SAMPLE)[:2]] + [
        ("ubo10", "psp3.sch"),
        ("ubo10", "psp7.sch"),
    ]
    for family, name in pairs:
        problem = instance(family, name)
        plan = shortest(problem, 60.0).plan
        assert plan is not None
        for _ in range(50):
            moved = list(plan.starts)
            moved[random.randrange(1, len(moved))] += random.choice([-9, -4, -2, -1, 1, 2, 4, 9])
            wrong = complaints(problem, moved)
            refused += bool(wrong)
            kinds |= {text.split()[0] for text in wrong}
    assert refused > 100
    assert {"lag", "count", "earliest"} <= kinds


# Files a little out of the ordinary -------------------------------------------------------------

SM = """RESOURCES
  - renewable                 :  {kinds}   R
  - nonrenewable              :  {other}   N
  - doubly constrained        :  0   D
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        {modes}          1           4
   3        1          1           4
   4        1          0
*****************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1
-----------------------------
  1      1     0  {zero}
  2      1     4  {some}
  3      1     {third}  {some}
  4      1     0  {zero}
*****************************
RESOURCEAVAILABILITIES:
  R 1
  {capacity}
*****************************
"""
PLAIN = {"kinds": 1, "other": 0, "modes": 1, "zero": 0, "some": 2, "third": 3, "capacity": 3}


@needs("module:ortools")
@pytest.mark.parametrize(
    ("other", "minutes"),
    [
        ({}, 7),  # both need two of three: one after the other
        ({"third": 0}, 4),  # what takes no time takes nothing
        ({"some": 0}, 4),
        ({"capacity": 4}, 4),
        ({"kinds": 0, "zero": "", "some": "", "capacity": ""}, 4),
    ],
    ids=["plain", "no duration", "no demand", "room for both", "no resources"],
)
def test_unusual_numbers(other: dict[str, object], minutes: int) -> None:
    problem = read_sm(SM.format(**{**PLAIN, **other}))
    assert shortest(problem).minutes == minutes


@needs("module:ortools")
def test_more_than_there_is_is_impossible() -> None:
    problem = read_sm(SM.format(**{**PLAIN, "some": 5}))
    assert shortest(problem).how == "impossible"


@pytest.mark.parametrize(
    ("other", "text"),
    [
        ({"modes": 3}, "several modes"),
        ({"other": 2}, "nonrenewable"),
        ({"capacity": ""}, "numbers"),
    ],
)
def test_what_cannot_be_planned_is_refused(other: dict[str, object], text: str) -> None:
    with pytest.raises(Refused, match=text):
        read_sm(SM.format(**{**PLAIN, **other}))


SCH = "1 0 0 0\n0 1 1 1 [0]\n1 1 1 2 [3]\n2 1 0\n0 1 0\n1 1 3\n2 1 0\n"


@needs("module:ortools")
def test_lags_alone() -> None:
    assert shortest(read_sch(SCH)).minutes == 3
    assert shortest(read_sch(SCH.replace("2 1 0\n0 1 0", "2 1 1 0 [-3]\n0 1 0"))).minutes == 3
    circle = shortest(read_sch(SCH.replace("2 1 0\n0 1 0", "2 1 1 0 [-2]\n0 1 0")))
    assert circle.how == "impossible"


def test_a_file_cut_short_says_so() -> None:
    with pytest.raises(Refused, match="lines"):
        read_sch(SCH[:-8])
    with pytest.raises(Refused, match=r"x\.txt"):
        read_instance("x.txt", SCH)
