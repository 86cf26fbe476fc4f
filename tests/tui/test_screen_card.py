"""The job card by keys: planned against recorded, ticks, remarks, corrections."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from benchmate.bench import Bench
from benchmate.bench.starting.starting import plan_for, start_free, start_job
from benchmate.bench.weights.weighing import Typed, record_weight
from benchmate.job.deciding import commands as cmd
from benchmate.job.events.stored import AmountChanged
from benchmate.job.state.state import JobState
from benchmate.job.weights.drift import to_see
from benchmate.quantities import show_mass
from benchmate.tui.pages.card import CardScreen
from tests.tui.screen_help import open_bench, opened, tick

JOB = "matched-bookends-1"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """Bookends under way: A's block is weighed twice too heavy, B's is on plan."""
    bench = open_bench(tmp_path)
    start_job(bench, "matched-bookends")
    blanks = [s for s in job(bench).steps.values() if s.act == "weighed"][:4]
    for step, share in zip(blanks, (2.0, 1.0, 1.0, 1.0), strict=True):
        assert step.weigh is not None
        tick(bench, 60)
        read = f"{(step.weigh.plan_g or 0.0) * share:.0f} g"
        record_weight(bench, JOB, step.address, Typed(read))
    return bench


def job(bench: Bench, name: str = JOB) -> JobState:
    found = bench.job(name)
    assert found is not None
    return found


def unseen(bench: Bench) -> int:
    shop = bench.shop
    return len(to_see(job(bench), shop.around, bench.now_s(), shop.rules))


async def test_every_step_of_every_piece_is_on_the_card(bench: Bench) -> None:
    async with opened(bench, CardScreen(), (120, 200)) as hands:
        text = hands.text("page-body")
    for step in job(bench).steps.values():
        assert step.do[:30] in text
    assert "── bookend A:" in text
    assert "── bookend B:" in text


async def test_a_weight_stands_beside_its_plan_with_its_verdict(bench: Bench) -> None:
    async with opened(bench, CardScreen(), (120, 200)) as hands:
        rows = [r for r in hands.text("page-body").splitlines() if "Weigh the block" in r]
    step = next(s for s in job(bench).steps.values() if s.act == "weighed")
    assert step.weigh is not None
    assert f"plan {show_mass(step.weigh.plan_g or 0.0)} " in rows[0]
    assert " heavy" in rows[0]
    assert "on plan" in rows[1]
    assert "09:01" in rows[0]


async def test_needs_are_ticked_one_by_one_and_all_at_once(bench: Bench) -> None:
    async with opened(bench, CardScreen(), (80, 24)) as hands:
        assert "0 of 12 to hand" in hands.text("page-head")
        hands.front.mark(("need", "depth gauge"))
        await hands.press("space")
        assert job(bench).ticked == {"depth gauge"}
        assert "1 of 12 to hand" in hands.text("page-head")
        await hands.press("space")
        assert job(bench).ticked == frozenset()
        hands.front.mark(("all needs", ""))
        await hands.press("enter")
        assert "12 of 12 to hand" in hands.text("page-head")
    plan = job(bench).plan
    assert plan is not None
    assert len(job(bench).ticked) == len(plan.needs), "needs of one name and two sizes are two"


async def test_what_is_to_be_seen_leads_the_card_until_it_is_seen(bench: Bench) -> None:
    assert unseen(bench) == 1
    async with opened(bench, CardScreen()) as hands:
        first = hands.text("page-body").splitlines()[:2]
        assert "flagged: 1" in first[0]
        assert "bookend A" in first[1]
        assert "heavy" in first[1]
        await hands.press("space")
        assert unseen(bench) == 0
        assert "flagged: 1" not in hands.text("page-body")
    async with opened(bench, CardScreen(), (120, 200)) as hands:
        assert "OK’d: " in hands.text("page-body"), "it stays on the card"


async def test_all_remarks_are_seen_by_one_key(bench: Bench) -> None:
    async with opened(bench, CardScreen()) as hands:
        hands.front._ok_all()
        assert unseen(bench) == 0
        hands.front._ok_all()
        await hands.settle()
        assert "Nothing flagged" in hands.text("page-said")


async def test_a_weight_is_corrected_and_the_old_one_stays_in_sight(bench: Bench) -> None:
    step = next(s for s in job(bench).steps.values() if s.act == "weighed")
    first = job(bench).weighing_at(step.address)
    assert first is not None
    old = show_mass(first.net_g)
    async with opened(bench, CardScreen(), (100, 60)) as hands:
        hands.front.mark(("step", step.address))
        await hands.press("enter")
        await hands.type("abc")
        await hands.press("enter")
        assert job(bench).weighing_at(step.address) == first
        await hands.type("293 g")
        await hands.press("enter")
        assert f"Corrected to 293 g; the {old} recorded first" in hands.text("page-said")
        assert f"it was recorded as {old}" in hands.text("page-body")
    weighing = job(bench).weighing_at(step.address)
    assert weighing is not None
    assert (weighing.net_g, weighing.as_read_g) == (293.0, first.net_g)


async def test_only_a_recorded_weight_can_be_corrected(bench: Bench) -> None:
    async with opened(bench, CardScreen()) as hands:
        await hands.press("end", "enter")
        assert isinstance(hands.front, CardScreen), "nothing is asked of a step without a weight"


async def test_keys_lead_to_the_next_open_step_and_to_each_piece(bench: Bench) -> None:
    steps = [s for s in job(bench).steps.values() if not job(bench).is_settled(s.address)]
    second = next(s for s in steps if s.piece == "B")
    async with opened(bench, CardScreen()) as hands:
        await hands.press("0")
        assert hands.front.marked == ("step", steps[0].address)
        await hands.press("2")
        assert hands.front.marked == ("step", second.address)
        assert second.do in " ".join(hands.text("page-detail").split())


async def test_a_step_says_its_cautions_in_full(bench: Bench) -> None:
    state = job(bench)
    step = next(s for s in state.steps.values() if "epoxy" in s.cautions)
    assert state.plan is not None
    async with opened(bench, CardScreen(), (160, 50)) as hands:
        hands.front.mark(("step", step.address))
        assert state.plan.cautions["epoxy"] in " ".join(hands.text("page-detail").split())


async def test_a_note_stands_with_its_step_and_is_never_markup(bench: Bench) -> None:
    step = next(iter(job(bench).steps.values()))
    async with opened(bench, CardScreen(), (100, 60)) as hands:
        hands.front.mark(("step", step.address))
        await hands.press("n")
        await hands.type("a [b]knot[/] \x1b[31m here")
        await hands.press("enter")
        assert "note: a [b]knot[/] " in hands.text("page-body")
        assert "\x1b" not in hands.text()
    assert job(bench).notes[0].event.address == step.address


async def test_skipped_steps_and_spoiled_pieces_say_why(bench: Bench) -> None:
    steps = [s for s in job(bench).steps.values() if s.act == "measured"]
    bench.do(JOB, cmd.Skip(address=steps[0].address, reason="gauge is lent out"))
    bench.do(JOB, cmd.Spoil(piece="B", reason="split along the grain"))
    async with opened(bench, CardScreen(), (100, 200)) as hands:
        text = hands.text("page-body")
    assert "skipped: gauge is lent out" in text
    assert "spoiled: split along the grain" in text


async def test_a_changed_plan_shows_old_and_new(bench: Bench) -> None:
    plan, _ = plan_for(bench, "matched-bookends", {"coats": "2"}, JOB)
    amounts = (AmountChanged(address=f"{JOB}/A/all/oil#1", what="oil", old=3.0, new=2.0),)
    bench.do(JOB, cmd.ChangePlan(plan=msgspec.structs.replace(plan, job=JOB), amounts=amounts))
    async with opened(bench, CardScreen(), (100, 60)) as hands:
        assert "A/all/oil#1: oil 3.0 → 2.0 g" in hands.text("page-body")


async def test_another_job_is_picked_ended_ones_too(bench: Bench, tmp_path: Path) -> None:
    name = start_free(bench, "Trial lid")
    bench.do(name, cmd.DoFreely(act="sanded", piece="B"))
    record_weight(bench, name, "", Typed("120 g", what="lid"))
    bench.do(name, cmd.Finish(outcome="well"))
    bench.close()
    again = open_bench(tmp_path)
    assert name not in again.shop.jobs, "an ended job isn't loaded before it is asked for"
    async with opened(again, CardScreen()) as hands:
        await hands.press("j", "2")
        assert "Trial lid" in hands.text("page-head")
        text = hands.text("page-body")
        assert "B: sanded" in text
        assert "weighed lid  120 g" in text


async def test_without_a_job_the_card_says_so(tmp_path: Path) -> None:
    async with opened(open_bench(tmp_path), CardScreen()) as hands:
        assert "no job running" in hands.text("page-head")
        await hands.press("0", "plus", "f", "escape", "n", "space", "2", "j", "escape")
        await hands.press("escape")
        assert hands.answer is None
