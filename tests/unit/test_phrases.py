"""What the bench says, in words: checks with their verb, edges with their doubt."""

from __future__ import annotations

import pytest

from benchmate.job.deciding.commands import StartJob
from benchmate.job.deciding.decide import decide
from benchmate.job.state.fold import fold_all
from benchmate.job.state.state import Recorded
from benchmate.job.windows.windows import Edge
from benchmate.job.words.phrases import check_sentence, closes_when, done_text, opens_when
from benchmate.plan.plan import Check, PiecePlan, Plan, Step
from tests.unit.shop_of_tests import around, moment


@pytest.mark.parametrize(
    ("check", "said"),
    [
        (Check(name="wall", ask="Wall: at least 4 mm", unit="mm"), "check the wall: at least 4 mm"),
        (
            Check(name="dry run", ask="Dry run: at most 25 min", unit="min"),
            "check the dry run: at most 25 min",
        ),
        (Check(name="level", ask="Is it level both ways?"), "Is it level both ways?"),
        (Check(name="cap", ask="Look: is it clear?"), "Look: is it clear?"),
    ],
    ids=["a measure", "a time", "a question", "a question with a colon"],
)
def test_a_check_is_a_sentence_with_its_verb(check: Check, said: str) -> None:
    assert check_sentence(check) == said


@pytest.mark.parametrize(
    ("edge", "said"),
    [
        (Edge(600, 600, 600, 600, 600, "label"), "10 min"),
        (Edge(600, 500, 700, 300, 600, "estimate"), "about 10 min (at label temperature 5 min)"),
        (Edge(600, 400, 600, 300, 500, "range"), "safe from 10 min (at label temperature 5 min)"),
        (Edge(600, 400, 600, 610, 500, "range"), "safe from 10 min"),
    ],
    ids=["the label's own", "an estimate", "the end of a range", "one that reads the same"],
)
def test_an_edge_says_how_sure_its_time_is(edge: Edge, said: str) -> None:
    assert opens_when(edge, lambda s: f"{s / 60:.0f} min") == said
    closing = closes_when(edge, lambda s: f"{s / 60:.0f} min")
    assert closing == ("at 10 min" if said == "10 min" else said.replace("safe from", "by"))


@pytest.mark.parametrize(
    ("act", "short", "said"),
    [
        ("poured", "pour layer 1", "poured bookend A, block"),
        ("tried dry", "dry run", "dry run, bookend A"),
        ("pulled", "pull tape", "pull tape, bookend A"),
        ("cut", "", "cut bookend A, block"),
    ],
)
def test_what_was_done_never_sounds_like_damage_to_the_piece(
    act: str, short: str, said: str
) -> None:
    step = Step(address="t/A/block/x#1", do="Do it.", act=act, piece="A", part="block", short=short)
    plan = Plan(
        procedure="p",
        title="T",
        job="t",
        steps=(step,),
        pieces=(PiecePlan(name="A", label="bookend A"),),
    )
    begun = decide(None, StartJob(job="t", title="T", plan=plan), moment(), around())
    assert done_text(fold_all([Recorded(1, begun[0])]), step) == said
