"""What jobs teach: read back side by side, learned plan values, two ways compared, another like."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from benchmate.bench.history.lessons import in_use, last_jobs, offers, take, take_back
from benchmate.bench.history.records import ended_jobs, place_of
from benchmate.bench.starting.starting import plan_for
from benchmate.bench.weights.weighing import Typed, record_weight
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.looking_back.learnable import observed, plan_values
from benchmate.job.looking_back.summary import hands_seen, packing_seen, summarise
from benchmate.job.state.shop import LEARNED
from benchmate.plan.plan import Amount
from benchmate.refusal import Refused
from tests.unit.loop_help import PAIR, QUARTER_S, Worked
from tests.unit.teaching_help import PACKING, lying, taught_shop, teach


@pytest.fixture(scope="module")
def wise_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home in which three jobs have ended and all that they offer was taken over."""
    shop = taught_shop(tmp_path_factory.mktemp("wise"), -0.003, 0.0, 0.003)
    take(shop.bench, PAIR.stem, offers(shop.bench, PAIR.stem))
    shop.bench.close()
    return shop.home


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Worked]:
    shop = Worked(tmp_path)
    yield shop
    shop.bench.close()


class TestSummary:
    def test_holds_what_the_job_recorded(self, taught: Worked) -> None:
        (first, *_) = ended_jobs(taught.bench, PAIR.stem)
        found = summarise(first, place_of(taught.bench))
        assert found.procedure == PAIR.stem
        assert found.outcome == "0.581"
        assert found.left_in_cup_g == 14.0
        assert found.resin_used_g is None, "what the plan mixes is no record"
        assert [p.name for p in found.pieces] == ["bookend A", "bookend B"]
        for piece in found.pieces:
            assert piece.packing == pytest.approx(0.581, abs=0.0005)
            assert piece.target_g == 850.0
            assert piece.final_g is not None
        assert found.started_s is not None
        assert found.finished_s is not None
        assert 2 * 86400 < found.finished_s - found.started_s < 30 * 86400

    def test_a_stopped_job_says_why(self, taught: Worked) -> None:
        found = summarise(ended_jobs(taught.bench)[-1], place_of(taught.bench))
        assert found.outcome == "stopped: knot in the wood"
        assert [p.final_g for p in found.pieces] == [None, None]

    def test_hands_are_timed_from_the_act_before(self, taught: Worked) -> None:
        (first, *_) = ended_jobs(taught.bench, PAIR.stem)
        seen = hands_seen(first, place_of(taught.bench))
        pours = [s for a, s in seen.items() if "/pour#" in a]
        assert len(pours) == 8
        assert pours == pytest.approx([540.0] * 8)

    def test_a_begin_that_was_said_wins(self, shop: Worked) -> None:
        shop.start()
        act = shop.until("A/block/tape#1", kind="do")
        shop.clock.tick(600)
        shop.bench.do(shop.job, cmd.Begin(address=act.address))
        shop.clock.tick(240)
        shop.bench.do(shop.job, cmd.MarkDone(address=act.address))
        assert hands_seen(shop.state, place_of(shop.bench))[act.address] == pytest.approx(240.0)

    def test_a_night_in_between_is_no_work(self, shop: Worked) -> None:
        shop.start()
        act = shop.until("A/block/tape#1", kind="do")
        shop.clock.tick(11 * 3600)
        shop.bench.do(shop.job, cmd.MarkDone(address=act.address))
        assert act.address not in hands_seen(shop.state, place_of(shop.bench))

    def test_an_act_taken_back_is_not_timed(self, shop: Worked) -> None:
        shop.start()
        act = shop.until("A/block/tape#1", kind="do")
        shop.do(act)
        shop.bench.do(shop.job, cmd.TakeBack())
        assert act.address not in hands_seen(shop.state, place_of(shop.bench))

    def test_packing_needs_a_weight_that_can_be(self, shop: Worked) -> None:
        shop.start()
        shop.until("A/block/pour#1")
        plan = shop.state.plan
        assert plan is not None
        fill = plan.fills[0]
        assert packing_seen(shop.state, fill) is None
        shop.weigh("A/block/pour#1", f"{lying(fill, 0.59):.2f} g")
        assert packing_seen(shop.state, fill) == pytest.approx(0.59, abs=1e-4)
        shop.weigh("A/block/pour#1", "12 g", stands=True, again=True)
        assert packing_seen(shop.state, fill) is None

    def test_shot_that_was_weighed_out_says_nothing_of_how_it_lies(self, shop: Worked) -> None:
        import msgspec

        shop.start()
        shop.until("A/block/pour#1")
        plan = shop.state.plan
        assert plan is not None
        fill = plan.fills[0]
        shop.weigh("A/block/pour#1", f"{lying(fill, 0.59):.2f} g")
        layers = tuple(msgspec.structs.replace(la, by_weight=True) for la in fill.layers)
        weighed = msgspec.structs.replace(fill, layers=layers)
        assert packing_seen(shop.state, weighed) == pytest.approx(0.59, abs=1e-4)
        assert packing_seen(shop.state, weighed, to_the_line=True) is None


class TestSideBySide:
    def test_shows_the_last_five_oldest_first(self, taught: Worked) -> None:
        table = last_jobs(taught.bench, PAIR.stem)
        assert table.columns == tuple(f"pair_of_bookends-{n}" for n in (1, 2, 3, 4, 5))
        rows = {row.name: row.cells for row in table.rows}
        assert rows["bookend A, packing"][:2] == ("0.581", "0.588")
        assert rows["left in the cup"] == ("14 g", "14 g", "14 g", "14 g", "–")
        assert rows["how it turned out"][4] == "stopped: knot in the wood"
        assert rows["shot pour, hands-on"][0].startswith("1 h ")
        assert "bookend A, weight" in rows
        assert "took" in rows

    def test_a_procedure_without_ended_jobs_has_an_empty_table(self, shop: Worked) -> None:
        shop.start()
        assert last_jobs(shop.bench, PAIR.stem).columns == ()
        assert offers(shop.bench, PAIR.stem) == []

    def test_an_unknown_procedure_is_refused(self, taught: Worked) -> None:
        with pytest.raises(Refused, match="no procedure"):
            last_jobs(taught.bench, "pair-of-boats")

    def test_a_finish_that_was_taken_back_doesnt_count(self, shop: Worked) -> None:
        teach(shop, 0.59)
        assert [j.job for j in ended_jobs(shop.bench)] == [shop.job]
        shop.bench.do(shop.job, cmd.TakeBack())
        assert ended_jobs(shop.bench) == []


class TestOffers:
    def test_what_jobs_taught_is_offered_in_one_list(self, taught: Worked) -> None:
        found = {o.key: o for o in offers(taught.bench, PAIR.stem)}
        assert set(found) == {"packing/block", "loss/mix", "hands/pour"}
        packing, loss, hands = (found[k] for k in ("packing/block", "loss/mix", "hands/pour"))
        assert packing.old == pytest.approx(0.6033, abs=1e-4)
        assert packing.new == pytest.approx(0.585)
        assert packing.n == 4
        assert packing.effect.startswith("Shot for one block would be planned as ")
        assert loss.new == pytest.approx(14.0, abs=1.0)  # 7 g of about 50 g, from a file's 5 %
        assert (hands.old, hands.new) == (360.0, 540.0)

    def test_one_job_teaches_nothing(self, shop: Worked) -> None:
        teach(shop, PACKING)
        assert offers(shop.bench, PAIR.stem) == []

    def test_jobs_that_went_as_planned_offer_nothing(self, shop: Worked) -> None:
        for _ in range(3):
            shop.start()
            shop.finish()
        assert offers(shop.bench, PAIR.stem) == []

    def test_another_shot_teaches_nothing_of_this_one(self, taught: Worked) -> None:
        found = [o.key for o in offers(taught.bench, PAIR.stem, {"shot": "steel 1 mm"})]
        assert "packing/block" not in found
        assert "hands/pour" in found

    def test_a_spoiled_piece_teaches_no_packing(self, taught: Worked) -> None:
        from dataclasses import replace

        (first, *_) = ended_jobs(taught.bench, PAIR.stem)
        assert first.plan is not None
        place = place_of(taught.bench)
        spoiled = replace(first, spoiled={"A": "split"})
        count = [
            sum(o.key == "packing/block" for o in observed(j, first.plan, place))
            for j in (first, spoiled)
        ]
        assert count == [2, 1]


class TestTaking:
    @pytest.fixture
    def wiser(self, wise_home: Path, tmp_path: Path) -> Iterator[Worked]:
        shop = Worked(shutil.copytree(wise_home, tmp_path / "home"), later_s=QUARTER_S)
        yield shop
        shop.bench.close()

    def test_the_next_job_is_planned_with_it_and_names_it(self, wiser: Worked) -> None:
        state = wiser.start()
        assert state.plan is not None
        assert state.plan.fills[0].packing == pytest.approx(0.585)
        assert state.plan.learned["packing/block"] == "packing/block 0.585"
        assert wiser.step("A/block/pour#1").hands_s == 540.0

    def test_what_was_taken_over_isnt_offered_again(self, wiser: Worked) -> None:
        assert offers(wiser.bench, PAIR.stem) == []
        teach(wiser, PACKING + 0.001)
        assert offers(wiser.bench, PAIR.stem) == []

    def test_the_file_stays_as_it_is(self, wiser: Worked) -> None:
        mine = wiser.bench.folders.procedures / PAIR.name
        assert mine.read_text() == PAIR.read_text()
        plan, _ = plan_for(wiser.bench, PAIR.stem, learned={})
        assert plan.fills[0].packing == pytest.approx(0.6033, abs=1e-4)
        assert plan.learned == {}

    def test_it_is_journaled_with_old_and_new(self, wiser: Worked) -> None:
        rows = wiser.bench.journal.read_stream(LEARNED)
        kept = [e for r in rows if isinstance(e := ev.decode(r.data), ev.Learned)]
        packing = next(e for e in kept if e.key == "packing/block")
        assert (packing.value, packing.n) == (pytest.approx(0.585), 3)
        assert packing.old == pytest.approx(0.6033, abs=1e-4)

    def test_one_value_is_taken_back_by_its_key(self, wiser: Worked) -> None:
        take_back(wiser.bench, PAIR.stem, "packing/block")
        keys = [value.key for value in in_use(wiser.bench, PAIR.stem)]
        assert "packing/block" not in keys
        assert "hands/pour" in keys
        plan, _ = plan_for(wiser.bench, PAIR.stem)
        assert plan.fills[0].packing == pytest.approx(0.6033, abs=1e-4)
        assert offers(wiser.bench, PAIR.stem) == [], "nobody is asked twice about the same value"

    def test_a_declined_offer_comes_again_when_later_jobs_teach_something_else(
        self, wiser: Worked
    ) -> None:
        take_back(wiser.bench, PAIR.stem, "packing/block")
        for _ in range(6):
            teach(wiser, 0.565)
        (found,) = offers(wiser.bench, PAIR.stem)
        assert found.key == "packing/block"
        assert found.new < 0.58

    def test_an_offer_is_declined_without_taking_it_first(self, shop: Worked) -> None:
        for off in (-0.003, 0.0, 0.003):
            teach(shop, PACKING + off)
        take_back(shop.bench, PAIR.stem, "packing/block")
        assert {o.key for o in offers(shop.bench, PAIR.stem)} == {"loss/mix", "hands/pour"}
        assert in_use(shop.bench, PAIR.stem) == []

    def test_all_are_taken_back_at_once(self, wiser: Worked) -> None:
        assert len(take_back(wiser.bench, PAIR.stem)) == 3
        assert in_use(wiser.bench, PAIR.stem) == []
        with pytest.raises(Refused, match="No learned value is in use"):
            take_back(wiser.bench, PAIR.stem)

    def test_a_key_that_isnt_in_use_is_refused(self, wiser: Worked) -> None:
        with pytest.raises(Refused, match="No learned value “spread/glue” is in use or on offer"):
            take_back(wiser.bench, PAIR.stem, "spread/glue")

    def test_a_running_job_keeps_the_plan_it_started_with(self, wiser: Worked) -> None:
        state = wiser.start()
        take_back(wiser.bench, PAIR.stem)
        assert wiser.state.plan == state.plan


class TestGlue:
    def test_what_was_really_used_teaches_the_spread(self, shop: Worked) -> None:
        for grams in (2.4, 2.6, 2.5):
            shop.start()
            act = shop.until("A/all/spread#1", kind="do")
            used = (Amount(what="glue", amount=grams),)
            shop.bench.do(shop.job, cmd.MarkDone(address=act.address, used=used))
            shop.bench.do(shop.job, cmd.Stop(reason="enough for the test"))
        (found,) = [o for o in offers(shop.bench, PAIR.stem) if o.key == "spread/glue"]
        plan, _ = plan_for(shop.bench, PAIR.stem, learned={})
        glue = next(a for s in plan.steps for a in s.amounts if a.role == "glue")
        assert found.old == pytest.approx(glue.amount / glue.area_mm2 * 1e6)
        assert found.old == pytest.approx(180.0)
        assert 250.0 < found.new <= 290.0
        assert found.effect.startswith("Glue for “spread” would be planned as ")
        take(shop.bench, PAIR.stem, [found])
        after, _ = plan_for(shop.bench, PAIR.stem)
        new = next(a for s in after.steps for a in s.amounts if a.role == "glue")
        assert new.amount == pytest.approx(glue.amount * found.new / found.old)


class TestResin:
    def test_is_learned_where_the_shot_was_read_apart(self, shop: Worked) -> None:
        for more in (1.08, 1.10, 1.09):
            shop.start()
            act = shop.until("A/block/pour#1")
            plan = shop.state.plan
            assert plan is not None
            layer = plan.fills[0].layers[0]
            shot, resin = round(layer.shot_g, 1), layer.resin_g * more
            read = (("", 500.0), ("shot", 500.0 + shot), ("resin", 500.0 + shot + resin))
            for adding, reading in read:
                record_weight(
                    shop.bench,
                    shop.job,
                    act.address,
                    Typed(f"{reading:.2f} g", adding=adding),
                    running=True,
                )
            shop.weigh("A/block/pour#1", f"{read[-1][1]:.2f} g")
            shop.bench.do(shop.job, cmd.Stop(reason="enough for the test"))
        (found,) = [o for o in offers(shop.bench, PAIR.stem) if o.key == "resin/block"]
        assert found.old == pytest.approx(100.0)
        assert found.new == pytest.approx(108.5, abs=1.0)
        assert found.effect.startswith("Resin for one block would be planned as ")
        take(shop.bench, PAIR.stem, [found])
        old, _ = plan_for(shop.bench, PAIR.stem, learned={})
        new, _ = plan_for(shop.bench, PAIR.stem)
        for one, other in zip(old.fills[0].layers, new.fills[0].layers, strict=True):
            assert other.resin_g == pytest.approx(one.resin_g * found.new / 100.0)
            assert other.shot_g == one.shot_g
        assert new.mixes[0].total_g > old.mixes[0].total_g

    def test_layers_to_the_line_say_nothing_of_it_alone(self, taught: Worked) -> None:
        (first, *_) = ended_jobs(taught.bench, PAIR.stem)
        assert first.plan is not None
        keys = {o.key for o in observed(first, first.plan, place_of(taught.bench))}
        assert "resin/block" not in keys
        assert "packing/block" in keys


class TestPlanValues:
    def test_are_what_the_expansion_takes_and_work_back_to_the_same_plan(
        self, shop: Worked
    ) -> None:
        shop.start()
        plan, _ = plan_for(shop.bench, PAIR.stem, learned={})
        values = {v.key: v.value for v in plan_values(plan)}
        assert values["loss/mix"] == pytest.approx(5.0)
        again, _ = plan_for(shop.bench, PAIR.stem, learned=values)
        assert [s.hands_s for s in again.steps] == [s.hands_s for s in plan.steps]
        assert again.fills == plan.fills
        for one, other in zip(again.steps, plan.steps, strict=True):
            assert [a.amount for a in one.amounts] == pytest.approx(
                [a.amount for a in other.amounts]
            )


def test_nothing_of_this_is_read_to_weigh(shop: Worked) -> None:
    """Acts on the way: pouring and weighing never look at ended jobs."""
    teach(shop, PACKING)
    shop.bench.close()
    fresh = Worked(shop.home, later_s=QUARTER_S)
    fresh.start()
    read = set(fresh.bench.shop.jobs)
    fresh.bench.shop = replace(
        fresh.bench.shop, jobs={n: j for n, j in fresh.bench.shop.jobs.items() if j.is_live}
    )
    fresh.until("A/block/pour#1")
    assert set(fresh.bench.shop.jobs) < read
    fresh.bench.close()
