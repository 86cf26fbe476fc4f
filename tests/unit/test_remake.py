"""A cup lost in the middle of a pour is mixed again for what is still to pour from it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.bench.next_line import next_line
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.fold import fold_all
from benchmate.job.words.event_text import tell
from benchmate.plan.plan import Step
from benchmate.refusal import RestsOn
from tests.hand_made import without_records
from tests.tui.benches import Shop

MIX = "matched-bookends-1/all/all/mix#1"
POURS = [
    f"matched-bookends-1/A/block/{s}" for s in ("pour#1", "pour#2", "pour#3", "pour#4", "cap#1")
]


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path)
    yield made
    made.bench.close()


def lose(shop: Shop, until: str) -> list[ev.JobEvent]:
    """Bookend A is poured up to there; then the cup gels."""
    shop.bookends(until)
    return gel(shop)


def gel(shop: Shop) -> list[ev.JobEvent]:
    shop.clock.tick(86400.0)
    window = f"{MIX}:pot life"
    made = shop.bench.do(shop.job, cmd.AnswerMissed(window=window, answer="spoiled"))
    return [r.event for r in made]  # type: ignore[misc]


def mix_of(shop: Shop) -> Step:
    return shop.bench.shop.jobs[shop.job].steps[MIX]


def grams(step: Step) -> float:
    return sum(a.amount for a in step.amounts)


def resin_of(shop: Shop, pours: list[str]) -> float:
    steps = shop.bench.shop.jobs[shop.job].steps
    return sum(a.amount for p in pours for a in steps[p].amounts if a.what == "resin")


@pytest.mark.parametrize(
    ("until", "left", "words"),
    [
        ("A/block/pour#2", 4, "for the 4 pours still to come"),
        ("A/block/pour#3", 3, "for the 3 pours still to come"),
        ("A/block/pour#4", 2, "for the 2 pours still to come"),
    ],
    ids=["one layer poured", "two", "three"],
)
def test_the_cup_made_again_holds_what_is_still_to_pour_and_the_cups_loss(
    shop: Shop, until: str, left: int, words: str
) -> None:
    lose(shop, until)
    step, needed = mix_of(shop), resin_of(shop, POURS[-left:])
    # 5 % stays in the cup, as the block says; whole grams, rounded up; no mix below 20 g.
    wanted = max(needed / 0.95, 20.0)
    assert wanted - 1e-6 <= grams(step) < wanted + 1.0
    assert grams(step) == pytest.approx(round(grams(step)))
    assert words in step.do


def test_the_mix_keeps_its_ratio_and_the_sentence_names_the_new_weights(shop: Shop) -> None:
    shop.bookends("A/block/pour#3")
    a, b = (x.amount for x in mix_of(shop).amounts)
    gel(shop)
    step = mix_of(shop)
    new_a, new_b = (x.amount for x in step.amounts)
    assert new_a / new_b == pytest.approx(a / b)
    assert f"{new_a:.1f}".rstrip("0").rstrip(".") + " g of A" in step.do
    assert f"{new_b:.1f}".rstrip("0").rstrip(".") + " g of B" in step.do
    assert "41.4 g" not in step.do
    assert "Mix again, for the 3 pours still to come: cup 1: " in next_line(shop.bench)


def test_with_nothing_poured_the_whole_cup_is_mixed_again_as_it_was(shop: Shop) -> None:
    shop.bookends("A/block/pour#1")
    before = mix_of(shop)
    (event,) = gel(shop)
    assert isinstance(event, ev.MissedAnswered)
    assert event.step is None
    assert mix_of(shop) == before


def test_a_pour_that_is_skipped_needs_no_resin(shop: Shop) -> None:
    shop.bookends("A/block/pour#3")
    for pour in POURS[2:4]:
        shop.bench.do(shop.job, cmd.Skip(address=pour, reason="the void is full"))
    gel(shop)
    assert grams(mix_of(shop)) == 20.0
    assert "for the pour still to come" in mix_of(shop).do


def test_lost_twice_it_is_mixed_for_what_is_left_then(shop: Shop) -> None:
    lose(shop, "A/block/pour#2")
    shop.until("A/block/pour#4")
    gel(shop)
    text = mix_of(shop).do
    assert text.count("Mix again") == 1
    assert "2 pours" in text
    assert grams(mix_of(shop)) == 20.0


def test_the_plan_knows_the_smaller_cup(shop: Shop) -> None:
    lose(shop, "A/block/pour#3")
    plan = shop.bench.shop.jobs[shop.job].plan
    assert plan is not None
    mix = next(m for m in plan.mixes if m.address == MIX)
    assert mix.total_g == pytest.approx(grams(mix_of(shop)))
    assert mix.a_g + mix.b_g == pytest.approx(mix.total_g)
    assert mix.serves == tuple(POURS[2:])


def test_a_piece_made_again_gets_a_whole_cup_again(shop: Shop) -> None:
    shop.bookends("A/block/pour#3")
    whole = grams(mix_of(shop))
    gel(shop)
    shop.bench.do(shop.job, cmd.MarkDone(address=MIX, anyway=True))
    shop.bench.do(shop.job, cmd.Spoil(piece="A", reason="the wall split", remake=True))
    ready = [a.address for a in shop.bench.agenda().ready if "/A/" in a.address]
    assert {a.rpartition("/")[2] for a in ready} == {"weigh-blanks#1"}
    gel(shop)
    assert grams(mix_of(shop)) == pytest.approx(whole, abs=2.0)


def test_the_other_cup_is_left_alone(shop: Shop) -> None:
    shop.bookends("A/block/pour#3")
    other = MIX.replace("#1", "#2")
    before = shop.bench.shop.jobs[shop.job].steps[other]
    gel(shop)
    assert shop.bench.shop.jobs[shop.job].steps[other] == before


def test_taking_it_back_brings_the_cup_back_as_it_was(shop: Shop) -> None:
    shop.bookends("A/block/pour#3")
    before = shop.bench.shop.jobs[shop.job]
    gel(shop)
    shop.bench.do(shop.job, cmd.TakeBack())
    after = shop.bench.shop.jobs[shop.job]
    assert without_records(after) == without_records(before)


def test_what_was_poured_from_the_new_cup_rests_on_the_answer(shop: Shop) -> None:
    lose(shop, "A/block/pour#3")
    answer = shop.bench.shop.jobs[shop.job].version
    shop.bench.do(shop.job, cmd.MarkDone(address=MIX, anyway=True))
    shop.bench.do(shop.job, cmd.MarkDone(address=POURS[2], anyway=True))
    with pytest.raises(RestsOn) as asked:
        shop.bench.do(shop.job, cmd.TakeBack(version=answer))
    assert len(asked.value.versions) == 2
    shop.bench.do(shop.job, cmd.TakeBack(version=answer, along=True))
    job = shop.bench.shop.jobs[shop.job]
    assert POURS[2] not in job.done
    assert MIX in job.done


def test_it_is_the_same_after_reopening_and_the_logbook_says_it(shop: Shop) -> None:
    (event,) = lose(shop, "A/block/pour#3")
    job = shop.bench.shop.jobs[shop.job]
    assert fold_all(job.records) == job
    assert "mix again" in tell(event)
    assert "for the 3 pours still to come" in tell(event)
