"""What can still be saved comes first, and what is spoiled opens nothing: everywhere alike."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench.next_line import agenda_data, next_line
from benchmate.bench.reminding.reminding import calendar_entries, edges_now, standing
from benchmate.job.deciding import commands as cmd
from benchmate.plan.plan import Plan
from benchmate.refusal import NotNow
from benchmate.tui.present.pages.end_of_day import turns
from tests.tui.benches import MIX, POUR, Shop
from tests.unit.airing_help import MIN, Glueing, H
from tests.unit.shop_of_tests import plan as small_plan

GLUE_UP = ("A/all/dry-run#1", "A/all/spread#1", "A/all/close#1", "A/all/clamp#1")


@pytest.fixture
def glued(tmp_path: Path) -> Glueing:
    """A glued joint that got too cold in its clamps."""
    shop = Glueing(tmp_path)
    shop.joint("glue")
    shop.air(16.0)
    for act in GLUE_UP:
        shop.mark(act)
    shop.clock.tick(20 * MIN)
    shop.air(8.0)
    shop.clock.tick(MIN)
    return shop


class TestRuined:
    def test_no_reminder_calendar_or_closing_page_says_that_its_clamps_may_come_off(
        self, glued: Glueing
    ) -> None:
        bench = glued.bench
        kinds = {e.edge for e in edges_now(bench)}
        assert kinds == {"chilled"}
        assert [e for e in calendar_entries(bench) if "clamp" in e.summary] == []
        found = bench.agenda()
        assert turns(found, bench.now_s() + 72 * H) == []
        glued.clock.tick(30 * H)
        assert {r.edge.edge for r in standing(bench)} <= {"chilled"}
        assert all("may come off" not in r.text for r in standing(bench))
        windows = agenda_data(bench, bench.agenda())["windows"]
        assert {(w["state"], w["opens"], w["full"]) for w in windows} == {("ruined", None, None)}

    def test_the_next_step_is_the_question_and_marking_on_is_refused(self, glued: Glueing) -> None:
        glued.clock.tick(30 * H)
        act = glued.bench.agenda().next
        assert act is not None
        assert act.kind == "answer"
        assert next_line(glued.bench).startswith("Too cold: ")
        (job,) = glued.bench.shop.live
        pending = act.bound.pending[0] if act.bound else ""
        with pytest.raises(NotNow, match="too cold to trust"):
            glued.bench.do(job.job, cmd.MarkDone(address=pending))

    def test_what_the_maker_calls_sound_runs_on_as_if_nothing_had_been(
        self, glued: Glueing
    ) -> None:
        (job,) = glued.bench.shop.live
        before = glued.window("clamp time")
        glued.bench.do(job.job, cmd.AnswerMissed(window=before.address, answer="let it be"))
        after = glued.window("clamp time")
        assert not after.is_ruined
        assert after.opens is not None
        assert after.state == "shut"
        assert {e.edge for e in edges_now(glued.bench)} >= {"opens"}

    def test_what_is_spoiled_is_made_again(self, glued: Glueing) -> None:
        (job,) = glued.bench.shop.live
        window = glued.window("clamp time").address
        glued.bench.do(job.job, cmd.AnswerMissed(window=window, answer="spoiled"))
        assert f"{job.job}/{GLUE_UP[-1]}" not in glued.bench.shop.jobs[job.job].done


class TestGelledCup:
    """The first layer of A is poured and not yet weighed when the cup gels."""

    @pytest.fixture
    def shop(self, tmp_path: Path) -> Shop:
        made = Shop(tmp_path).small()
        made.mix()
        made.bench.do("t", cmd.MarkDone(address=POUR.format("A", 1)))
        made.clock.tick(2 * H)
        return made

    def test_the_question_comes_then_the_weight_then_the_new_cup(self, shop: Shop) -> None:
        asked = shop.bench.agenda().next
        assert asked is not None
        assert asked.kind == "answer"
        shop.bench.do("t", cmd.AnswerMissed(window=f"{MIX}:pot life", answer="spoiled"))
        kinds = [(a.kind, a.address) for a in shop.bench.agenda().ready]
        assert kinds[:2] == [("weigh", POUR.format("A", 1)), ("do", MIX)]

    def test_the_other_piece_says_what_it_waits_for(self, shop: Shop) -> None:
        found = shop.bench.agenda()
        job = shop.bench.shop.jobs["t"]
        held = found.holding(job, "B")
        assert held is not None
        assert held.kind == "answer"
        shop.bench.do("t", cmd.AnswerMissed(window=f"{MIX}:pot life", answer="spoiled"))
        held = shop.bench.agenda().holding(shop.bench.shop.jobs["t"], "B")
        assert held is not None
        assert held.address == MIX


def renamed(plan: Plan) -> Plan:
    """The same plan as another job."""
    import msgspec

    text = msgspec.json.encode(plan).replace(b'"t/', b'"u/').replace(b'"job":"t"', b'"job":"u"')
    return msgspec.json.decode(text, type=Plan)


def test_a_lost_cup_hides_no_second_one_that_has_a_minute_left(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    shop.clock.tick(20 * MIN)
    other = renamed(small_plan())
    shop.bench.do("u", cmd.StartJob(job="u", title="Other", plan=other))
    shop.bench.do("u", cmd.MarkDone(address=MIX.replace("t/", "u/")))
    shop.clock.tick(29 * MIN)
    found = shop.bench.agenda()
    assert found.next is not None
    assert (found.next.job, found.next.kind) == ("u", "do")
    urgent = [r for r in standing(shop.bench) if r.urgent]
    assert [str(r.stage) for r in urgent] == ["closing", "missed"]
