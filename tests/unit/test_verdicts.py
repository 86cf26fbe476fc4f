"""Verdicts of a job's weighings: what the scale knew, what it can't see, what would settle it."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench.weights.scales import (
    begin_with_settings,
    blind_spots_of,
    scale_of,
    scales_of,
    set_rules,
    standing_caution,
)
from benchmate.bench.weights.scales import check_scale as check
from benchmate.bench.weights.weighing import Typed, preview, weigh_in
from benchmate.job.state.shop import SCALES
from benchmate.job.weights.drift import remarks, to_see
from benchmate.job.weights.verdicts import judge_weighing
from benchmate.landing.verdict import Judgement, Verdict
from benchmate.quantities import parse_reading
from benchmate.refusal import Refused
from benchmate.settings.model import ScaleDefaults, Settings
from tests.unit.loop_help import Worked


@pytest.fixture
def shop(tmp_path: Path) -> Worked:
    return Worked(tmp_path)


def poured(shop: Worked, text: str, **more: str) -> Judgement:
    """The verdict on bookend A's first layer, planned as 129.1 ± 3.9 g."""
    if not shop.job:
        shop.start()
        shop.until("A/block/pour#1")
    typed = Typed(text, scale=more.get("scale", ""), tare=more.get("tare", ""))
    address = shop.step("A/block/pour#1").address
    found = weigh_in(shop.bench, shop.job, address, typed, again=True).judgement
    assert found is not None
    return found


def coarse(shop: Worked) -> None:
    """A kitchen scale that never shows a tolerance of 3.9 g."""
    shop.scale("kitchen", 5.0)


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("129.4 g", Verdict.ON_PLAN),
        ("126.2 g", Verdict.NEAR_THE_EDGE),
        ("120.5 g", Verdict.OFF_PLAN),
    ],
)
def test_a_scale_that_sees_the_tolerance_gives_a_verdict(
    shop: Worked, text: str, verdict: Verdict
) -> None:
    shop.scale("fine", 0.1, repeatability_g=0.1, repeatability_n=10, linearity_g=0.2)
    assert poured(shop, text).verdict is verdict


def test_a_verdict_explains_itself_in_two_lines(shop: Worked) -> None:
    shop.scale("fine", 0.1, repeatability_g=0.1, repeatability_n=10, linearity_g=0.2)
    value, doubt = poured(shop, "120.5 g").lines
    assert value == "120.5 g ± 0.4 g against 129.1 g ± 3.9 g: 8.6 g light."
    assert doubt == "Under 1 % sure it is within tolerance."


def test_three_readings_are_what_would_settle_a_doubtful_one(shop: Worked) -> None:
    shop.scale("shaky", 0.1, repeatability_g=1.2, repeatability_n=20)
    found = poured(shop, "131.0 g")
    assert found.settle == "Weighing three times would settle it."
    assert found.lines[1].endswith(found.settle)


def test_the_finer_scale_in_the_shop_is_named_where_it_would_settle_it(shop: Worked) -> None:
    shop.scale("kitchen", 1.0, repeatability_g=0.9, repeatability_n=20, linearity_g=1.0)
    shop.scale("jeweller's scale", 0.1, repeatability_g=0.05, repeatability_n=20)
    assert poured(shop, "132 g").settle == "The jeweller's scale would settle it."


def test_a_coarse_scale_doesnt_say_cant_tell_all_day(shop: Worked) -> None:
    coarse(shop)
    found = poured(shop, "130 g")
    assert found.verdict is Verdict.ON_PLAN
    assert found.tolerance_g == pytest.approx(10.0)


def test_what_no_scale_can_see_is_said_at_the_start(shop: Worked) -> None:
    coarse(shop)
    state = shop.start()
    assert state.plan is not None
    (said,) = blind_spots_of(shop.bench, state.plan)
    assert "can never show that a piece is within ± 2.0 g" in said
    assert "It can see ± 10 g; take that as the tolerance here, or use a finer scale." in said
    assert "of the 18 weighings of this job are" in said


def test_a_scale_that_sees_everything_says_nothing(shop: Worked) -> None:
    shop.scale("fine", 0.1)
    state = shop.start()
    assert state.plan is not None
    assert blind_spots_of(shop.bench, state.plan) == ()


def test_a_too_coarse_scale_is_remarked_once_a_job(shop: Worked) -> None:
    coarse(shop)
    poured(shop, "130 g")
    shop.until("A/block/pour#2")
    shop.weigh("A/block/pour#2", "130 g")
    bench = shop.bench
    said = [r.text for r in remarks(shop.state, bench.shop.around, bench.now_s())]
    assert said == ["the scale can't see ± 4 g: such weights are judged against ± 10 g"]


def test_that_remark_is_seen_once(shop: Worked) -> None:
    from benchmate.job.deciding import commands as cmd

    coarse(shop)
    poured(shop, "130 g")
    bench = shop.bench
    (remark,) = to_see(shop.state, bench.shop.around, bench.now_s())
    bench.do(shop.job, cmd.See(keys=(remark.key,)))
    shop.until("A/block/pour#2")
    shop.weigh("A/block/pour#2", "130 g")
    assert to_see(shop.state, bench.shop.around, bench.now_s()) == ()


def test_rules_are_events_and_hold_from_then_on(shop: Worked) -> None:
    shop.scale("fine", 0.1)
    assert poured(shop, "126.2 g").verdict is Verdict.NEAR_THE_EDGE
    set_rules(shop.bench, near_fraction=0.9)
    assert poured(shop, "126.2 g").verdict is Verdict.ON_PLAN
    assert shop.bench.shop.rules is not None
    assert shop.bench.shop.rules.inside_p == 0.95


@pytest.mark.parametrize(
    "wrong", [{"inside_p": 0.01}, {"outside_p": 1.2}, {"near_fraction": 0.0}], ids=str
)
def test_rules_that_make_no_sense_are_refused(shop: Worked, wrong: dict[str, float]) -> None:
    with pytest.raises(Refused):
        set_rules(shop.bench, **wrong)
    assert shop.bench.shop.rules is None


class TestSeveralReadings:
    def test_count_by_their_mean_and_are_kept_as_read(self, shop: Worked) -> None:
        poured(shop, "128.4; 128.6; 128.5")
        weighing = shop.state.weighing_at(shop.step("A/block/pour#1").address)
        assert weighing is not None
        assert weighing.net_g == pytest.approx(128.5)
        assert weighing.text == "128.4 g 128.6 g 128.5 g"

    def test_are_surer_than_one_where_repeating_helps(self, shop: Worked) -> None:
        shop.scale("shaky", 0.1, repeatability_g=1.0, repeatability_n=20)
        poured(shop, "190.5", tare="62.0")
        once = shop.state.weighing_at(shop.step("A/block/pour#1").address)
        poured(shop, "190.4; 190.6; 190.5", tare="62.1; 62.0; 61.9")
        thrice = shop.state.weighing_at(shop.step("A/block/pour#1").address)
        assert once is not None
        assert thrice is not None
        assert (once.u_g or 0) == pytest.approx((thrice.u_g or 0) * 3**0.5, rel=0.01)


class TestScales:
    @pytest.mark.parametrize(
        ("text", "name"), [("118.4 g", "fine"), ("118 g", "kitchen"), ("118.45 g", "")]
    )
    def test_of_several_the_digits_tell_which(self, shop: Worked, text: str, name: str) -> None:
        shop.scale("fine", 0.1)
        shop.scale("kitchen", 1.0)
        assert scale_of(shop.bench, "", parse_reading(text))[0] == name

    def test_a_scale_that_steps_by_two_doesnt_show_odd_grams(self, shop: Worked) -> None:
        shop.scale("parcel scale", 2.0)
        shop.scale("kitchen", 1.0)
        assert scale_of(shop.bench, "", parse_reading("119 g"))[0] == "kitchen"
        assert scale_of(shop.bench, "", parse_reading("118 g"))[0] == ""

    def test_an_unknown_name_is_refused_with_the_known_ones(self, shop: Worked) -> None:
        shop.scale("kitchen", 1.0)
        with pytest.raises(Refused, match="known: kitchen"):
            scale_of(shop.bench, "fine")

    def test_the_settings_scale_holds_until_one_is_described(self, tmp_path: Path) -> None:
        shop = Worked(tmp_path, Settings(scale=ScaleDefaults("shop scale", "0.5 g")))
        assert scale_of(shop.bench) == ("shop scale", 0.5)
        poured(shop, "129.5 g")
        weighing = shop.state.weighing_at(shop.step("A/block/pour#1").address)
        assert weighing is not None
        assert (weighing.scale, weighing.division_g) == ("shop scale", 0.5)
        assert list(shop.bench.shop.scales) == ["shop scale"], "what made a verdict is an event"

    def test_settings_changed_later_change_no_scale(self, tmp_path: Path) -> None:
        shop = Worked(tmp_path)
        shop.scale("kitchen", 1.0)
        shop.bench.settings = Settings(scale=ScaleDefaults("other", "0.01 g"), near_fraction=0.5)
        begin_with_settings(shop.bench)
        begin_with_settings(shop.bench)
        assert list(scales_of(shop.bench)) == ["kitchen"]
        assert shop.bench.shop.rules is not None
        assert shop.bench.shop.rules.near_fraction == 0.5
        assert shop.bench.shop.versions[SCALES] == 2

    def test_without_any_description_the_digits_are_all_that_is_known(self, shop: Worked) -> None:
        poured(shop, "129.4 g")
        weighing = shop.state.weighing_at(shop.step("A/block/pour#1").address)
        assert weighing is not None
        assert (weighing.scale, weighing.division_g) == ("", 0.1)


class TestCheckWeight:
    def test_a_sound_scale_is_not_cautioned(self, shop: Worked) -> None:
        shop.scale("fine", 0.1, repeatability_g=0.1, repeatability_n=10, linearity_g=0.2)
        assert check(shop.bench, "fine", 500.0, [500.1]).sound
        assert standing_caution(shop.bench, "fine") == ""

    def test_a_scale_that_is_out_is_cautioned_until_it_is_sound_again(self, shop: Worked) -> None:
        shop.scale("fine", 0.1, repeatability_g=0.1, repeatability_n=10, linearity_g=0.2)
        found = check(shop.bench, "", 500.0, [502.0, 502.1])
        assert "shows 502.1 g for a weight of 500.0 g" in found.caution
        assert standing_caution(shop.bench, "fine") == found.caution
        check(shop.bench, "fine", 500.0, [500.0])
        assert standing_caution(shop.bench, "fine") == ""

    def test_a_scale_that_has_moved_since_the_last_check_is_cautioned(self, shop: Worked) -> None:
        shop.scale("coarse of line", 0.1, repeatability_g=0.05, repeatability_n=10, linearity_g=2.0)
        check(shop.bench, "", 500.0, [499.4])
        found = check(shop.bench, "", 500.0, [500.6])
        assert "The check weight reads 1.2 g more than last time: the scale has moved." in (
            found.caution
        )

    def test_another_known_weight_is_no_sign_of_moving(self, shop: Worked) -> None:
        shop.scale("fine", 0.1, linearity_g=0.2)
        check(shop.bench, "", 500.0, [500.0])
        assert check(shop.bench, "", 200.0, [200.0]).moved_g is None

    def test_a_scale_nobody_described_is_refused(self, shop: Worked) -> None:
        with pytest.raises(Refused, match="Describe the scale first"):
            check(shop.bench, "", 500.0, [500.0])


def test_a_preview_says_what_the_record_will_say(shop: Worked) -> None:
    shop.scale("fine", 0.1, linearity_g=0.2)
    shop.start()
    shop.until("A/block/pour#1")
    address = shop.step("A/block/pour#1").address
    seen = preview(shop.bench, shop.job, address, Typed("126.2 g"))
    made = weigh_in(shop.bench, shop.job, address, Typed("126.2 g"))
    assert seen.judgement == made.judgement
    (weighing,) = [w for w in shop.state.weighings.values() if w.address == address]
    scales = scales_of(shop.bench)
    assert judge_weighing(shop.state, weighing, None, scales) == made.judgement
