"""What was mixed, used and left: said after the act, seen in the record, off the materials,
learned."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from benchmate.bench.history.logbook import entries
from benchmate.bench.history.records import place_of
from benchmate.bench.shelf.cups import cup_name, newest_cup, say_amounts
from benchmate.bench.shelf.shelf import describe_material, find_material, start_clock, with_label
from benchmate.bench.starting.starting import start_free
from benchmate.cli.group import cli
from benchmate.job.deciding import commands as cmd
from benchmate.job.looking_back.learnable import observed
from benchmate.job.looking_back.summary import hands_seen, left_g, mixed_g, summarise
from benchmate.job.weights.cups import cup_in_hand
from benchmate.quantities import QuantityError
from benchmate.refusal import BadWeight, NotNow, Refused, RestsOn
from benchmate.shelf import Material
from benchmate.shelf.stock import needed
from tests.unit.loop_help import Worked

RESIN, MIX = "slow casting epoxy", "/mix#1"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Worked]:
    made = Worked(tmp_path)
    yield made
    made.bench.close()


@pytest.fixture
def mixed(shop: Worked) -> Worked:
    """A job with its cup just mixed, from a material of 2 kg."""
    material = with_label(Material(name="my resin", family=RESIN), {"amount": "2 kg"})
    describe_material(shop.bench, material)
    shop.start()
    shop.do(shop.until(MIX, "do"))
    return shop


def mix_of(shop: Worked) -> str:
    return shop.step(MIX).address


def said(shop: Worked, text: str) -> str:
    return say_amounts(shop.bench, shop.state, mix_of(shop), text)


def used(shop: Worked, material: str = "my resin") -> float:
    return shop.bench.shop.shelf.used.get(material, 0.0)


def total(shop: Worked) -> float:
    assert shop.state.plan is not None
    return shop.state.plan.mixes[0].total_g


class TestACup:
    @pytest.mark.parametrize(
        ("text", "left", "went_in"),
        [
            ("6", 6.0, None),
            ("6.5 g", 6.5, None),
            ("left 6 g", 6.0, None),
            ("6,5", 6.5, None),
            ("mixed 128", None, 128.0),
            ("mixed 128, left 6", 6.0, 128.0),
            ("mixed=4.5 oz; left=0.2 oz", 5.67, 127.57),
            ("used 128; 6", 6.0, 128.0),
        ],
        ids=lambda v: str(v),
    )
    def test_what_is_typed_is_what_is_known_of_it(
        self, mixed: Worked, text: str, left: float | None, went_in: float | None
    ) -> None:
        said(mixed, text)
        assert mixed.state.plan is not None
        mix = mixed.state.plan.mixes[0]
        assert left_g(mixed.state, mix) == (None if left is None else pytest.approx(left, abs=0.01))
        assert mixed_g(mixed.state, mix) == pytest.approx(went_in or mix.total_g, abs=0.01)

    def test_it_is_said_with_its_share(self, mixed: Worked) -> None:
        assert said(mixed, "mixed 128, left 6.4") == (
            "Recorded: 128 g mixed, 6.4 g left in the cup (5 %)."
        )

    @pytest.mark.parametrize(
        ("text", "fault", "why"),
        [
            ("", Refused, "Say what is left"),
            ("abc", QuantityError, "is no weight"),
            ("-3 g", QuantityError, "below zero"),
            ("-3 h", QuantityError, "3 h"),
            ("9000", BadWeight, "more than the"),
            ("left 130, mixed 120", BadWeight, "more than the 120 g that went in"),
            ("sand 12", QuantityError, "no material “sand”"),
            ("mixed 0", BadWeight, "can't be"),
            ("45 min at 200 C", QuantityError, "min"),
            ("6 g\n7 g\nwhole page", QuantityError, "6 g"),
        ],
        ids=lambda v: str(v)[:12],
    )
    def test_what_cant_be_is_refused_and_nothing_recorded(
        self, mixed: Worked, text: str, fault: type[Exception], why: str
    ) -> None:
        version = mixed.state.version
        with pytest.raises(fault, match=why):
            said(mixed, text)
        assert mixed.state.version == version

    def test_a_cup_that_isnt_mixed_has_nothing_left(self, shop: Worked) -> None:
        shop.start()
        with pytest.raises(NotNow, match="No cup has been mixed yet"):
            newest_cup(shop.bench)
        with pytest.raises(NotNow, match="isn't done yet"):
            said(shop, "left 6")

    def test_the_newest_that_nobody_spoke_of_is_meant(self, mixed: Worked) -> None:
        state, cup = newest_cup(mixed.bench)
        assert (state.job, cup) == (mixed.job, mix_of(mixed))
        assert cup_name(state, cup) == "Mix of Pair of the tests, my resin"
        said(mixed, "6")
        start_clock(
            mixed.bench, find_material(mixed.bench, RESIN), "mixed", name="test", grams=40.0
        )
        assert newest_cup(mixed.bench)[1].endswith("mixed#1")

    def test_of_two_cups_the_one_that_nobody_spoke_of_is_meant(self, mixed: Worked) -> None:
        resin = find_material(mixed.bench, RESIN)
        start_clock(mixed.bench, resin, "mixed", job=mixed.job, grams=40.0)
        newest = cup_in_hand(mixed.state)
        assert newest != mix_of(mixed)
        say_amounts(mixed.bench, mixed.state, newest, "6")
        assert cup_in_hand(mixed.state) == mix_of(mixed)
        said(mixed, "6")
        assert cup_in_hand(mixed.state) == newest

    def test_it_is_taken_back_with_its_mix_and_alone(self, mixed: Worked) -> None:
        said(mixed, "mixed 128, left 6")
        mixed.bench.do(mixed.job, cmd.TakeBack())
        assert mixed.state.done[mix_of(mixed)].left_g is None
        assert used(mixed) == pytest.approx(total(mixed), abs=0.01)
        said(mixed, "6")
        version = mixed.state.done[mix_of(mixed)].version
        with pytest.raises(RestsOn):
            mixed.bench.do(mixed.job, cmd.TakeBack(version=version))

    def test_the_logbook_tells_it(self, mixed: Worked) -> None:
        said(mixed, "mixed 128, left 6")
        texts = [e.text for e in entries(mixed.bench)]
        assert any("mixed 128 g, 6 g left in the cup" in t for t in texts)


class TestTheShelf:
    def test_a_plans_mix_comes_off_its_material_once_and_pours_take_no_more(
        self, mixed: Worked
    ) -> None:
        assert used(mixed) == pytest.approx(total(mixed), abs=0.01)
        mixed.finish()
        need = needed(mixed.state.plan.steps if mixed.state.plan else ())
        assert used(mixed) == pytest.approx(need["my resin"], abs=0.01)

    def test_what_was_said_counts_in_place_of_the_plan(self, mixed: Worked) -> None:
        said(mixed, "mixed 150")
        assert used(mixed) == pytest.approx(150.0)
        said(mixed, "mixed 140, left 3")
        assert used(mixed) == pytest.approx(140.0)

    def test_a_taking_back_puts_it_back(self, mixed: Worked) -> None:
        mixed.bench.do(mixed.job, cmd.TakeBack())
        assert used(mixed) == pytest.approx(0.0)

    def test_a_cup_that_gelled_was_used_all_the_same(self, mixed: Worked) -> None:
        before = used(mixed)
        mixed.clock.tick(3 * 3600)
        missed = next(v for v in mixed.bench.agenda().windows if v.state == "missed")
        mixed.bench.do(mixed.job, cmd.AnswerMissed(window=missed.address, answer="spoiled"))
        mixed.bench.do(mixed.job, cmd.MarkDone(address=mix_of(mixed)))
        assert used(mixed) == pytest.approx(2 * before, abs=0.01)

    def test_shot_that_was_read_apart_counts_as_read(self, shop: Worked) -> None:
        describe_material(shop.bench, Material(name="my shot", family="steel 2 mm", kind="shot"))
        shop.start()
        act = shop.until("A/block/pour#1", "do")
        shop.bench.do(shop.job, cmd.MarkDone(address=act.address))
        planned = next(a.amount for a in shop.step("A/block/pour#1").amounts if a.what == "shot")
        assert used(shop, "my shot") == pytest.approx(planned, abs=0.01)
        shop.bench.do(
            shop.job,
            cmd.Weigh(
                address=act.address,
                net_g=120.0,
                tare=("600 g",),
                split={"shot": 110.0, "resin": 10.0},
                stands="yes",
            ),
        )
        assert used(shop, "my shot") == pytest.approx(110.0)

    def test_a_clock_from_a_material_takes_its_grams_and_gives_them_back(
        self, shop: Worked
    ) -> None:
        describe_material(shop.bench, Material(name="my resin", family=RESIN, amount=500.0))
        start_clock(shop.bench, find_material(shop.bench, "my resin"), "mixed", grams=40.0)
        assert used(shop) == pytest.approx(40.0)
        (job,) = shop.bench.shop.live
        shop.bench.do(job.job, cmd.TakeBack())
        assert used(shop) == pytest.approx(0.0)

    def test_a_free_jobs_cup_says_what_was_mixed_and_left(self, shop: Worked) -> None:
        describe_material(shop.bench, Material(name="my resin", family=RESIN, amount=500.0))
        job = start_free(shop.bench, "Lid")
        start_clock(shop.bench, find_material(shop.bench, "my resin"), "mixed", job=job)
        state, cup = newest_cup(shop.bench)
        assert "52 g mixed, 2 g left" in say_amounts(shop.bench, state, cup, "mixed 52, left 2")
        assert used(shop) == pytest.approx(52.0)


class TestLearning:
    def test_what_is_left_is_learned_from(self, mixed: Worked) -> None:
        said(mixed, "left 14")
        mixed.finish()
        found = summarise(mixed.state, place_of(mixed.bench))
        assert found.left_in_cup_g == 14.0
        assert mixed.state.plan is not None
        seen = observed(mixed.state, mixed.state.plan, place_of(mixed.bench))
        losses = [o.value for o in seen if o.key == "loss/mix"]
        assert losses == [pytest.approx(100 * 14.0 / total(mixed))]

    def test_a_begin_said_with_the_marking_is_the_time_that_counts(self, mixed: Worked) -> None:
        act = mixed.until("A/block/pour#1", "do")
        mixed.clock.tick(900)
        begun = mixed.bench.now().shifted(-240.0)
        mixed.bench.do(mixed.job, cmd.MarkDone(address=act.address, begun=begun))
        assert hands_seen(mixed.state, place_of(mixed.bench))[act.address] == pytest.approx(240.0)

    def test_a_begin_after_the_end_is_refused(self, mixed: Worked) -> None:
        act = mixed.until("A/block/pour#1", "do")
        later = mixed.bench.now().shifted(60.0)
        with pytest.raises(NotNow, match="started after it was done"):
            mixed.bench.do(mixed.job, cmd.MarkDone(address=act.address, begun=later))


def test_the_commands_record_what_the_keys_do(mixed: Worked) -> None:
    home = str(mixed.home)

    def command(*words: str) -> str:
        result = CliRunner().invoke(cli, ["--home", home, *words], catch_exceptions=False)
        return result.output

    assert "6 g left in the cup" in command("weigh", "--left", "6 g")
    assert "128 g mixed" in command("weigh", "mix#1", "--mixed", "128")
    assert "Give the weight" in command("weigh")
    act = mixed.until("A/block/pour#1", "do")
    assert "Recorded: begun A/block/pour#1." in command("done", act.address, "--started")
    mixed.bench.refresh()
    assert act.address in mixed.state.begun
    assert mixed.state.done[mix_of(mixed)].used == {"mixed": 128.0}
