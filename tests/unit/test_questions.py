"""What looks like a slip is asked about before it counts, from the typed text to the journal."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchmate.bench.weights.weighing import Doubtful, Typed, record_instead, record_weight
from benchmate.job.events import stored as ev
from benchmate.job.weights.slips import Read, asked_of, question_of
from benchmate.job.windows.agenda import Act
from tests.unit.loop_help import Worked, as_planned


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Worked]:
    shop = Worked(tmp_path)
    shop.scale(repeatability_g=0.1, repeatability_n=10, linearity_g=0.2)
    shop.start()
    yield shop
    shop.bench.close()


def doubt(shop: Worked, tail: str, text: str, **more: str) -> Doubtful:
    with pytest.raises(Doubtful) as asked:
        shop.weigh(tail, text, **more)
    return asked.value


@pytest.mark.parametrize("text", ["293 g", "2930 g"])
def test_a_cover_that_weighs_like_a_block_is_asked_about(shop: Worked, text: str) -> None:
    shop.weigh("A/block/weigh-blanks#1", "292.8 g")
    asked = doubt(shop, "A/cover/weigh-blanks#1", text)
    assert asked.question.slip == "unknown"
    assert "more than expected: 40 g ± 8 g. Is something else on the scale" in str(asked)
    assert asked.instead is None


def test_the_other_part_is_named_while_it_isnt_weighed(shop: Worked) -> None:
    asked = doubt(shop, "A/cover/weigh-blanks#1", "290.4 g")
    assert "Is this bookend A's block? 293 g is expected of it" in str(asked)


@pytest.mark.parametrize(
    ("text", "slip", "instead"),
    [
        pytest.param("-12.3 g", "unknown", None, id="below zero"),
        pytest.param("260 g", "unknown", None, id="heavier than solid metal"),
        pytest.param("12.9 g", "decimal point", "129.0 g", id="a tenth"),
        pytest.param("1291", "decimal point", "129.1 g", id="tenfold"),
        pytest.param("4.55", "ounces for grams", "4.55 oz", id="ounces typed as grams"),
        pytest.param("421.9 g", "whole for gain", "129.1 g", id="the piece was not zeroed"),
    ],
)
def test_slips_at_a_layer_are_named(
    shop: Worked, text: str, slip: str, instead: str | None
) -> None:
    shop.until("A/block/pour#1")
    asked = doubt(shop, "A/block/pour#1", text)
    assert asked.question.slip == slip
    assert (asked.instead.said if asked.instead else None) == instead
    assert "weighed" not in shop.kinds()[-1:]


def test_grams_typed_as_ounces_are_named_with_the_digits_that_were_read(shop: Worked) -> None:
    shop.until("A/block/pour#1")
    asked = doubt(shop, "A/block/pour#1", "129.1 oz")
    assert asked.question.slip == "grams for ounces"
    assert asked.instead is not None
    assert asked.instead.said == "129.1 g"


def test_a_forgotten_tare_is_taken_off_when_the_maker_says_so(shop: Worked) -> None:
    shop.until("A/block/pour#1")
    shop.weigh("A/block/pour#1", "191.3 g", tare="62.0 g")
    shop.until("A/block/pour#2")
    asked = doubt(shop, "A/block/pour#2", "191.1 g")
    assert asked.question.slip == "tare forgotten"
    assert asked.instead is not None
    assert asked.instead.said == "191.1 g less 62.0 g"
    record_instead(shop.bench, shop.job, shop.step("A/block/pour#2").address, asked.instead)
    weighing = shop.state.weighing_at(shop.step("A/block/pour#2").address)
    assert weighing is not None
    assert (weighing.net_g, weighing.gross_g, weighing.tare_g) == pytest.approx((129.1, 191.1, 62))


def test_a_tare_taken_off_twice_is_named(shop: Worked) -> None:
    shop.until("A/block/pour#1")
    asked = doubt(shop, "A/block/pour#1", "129.1 g", tare="62.0 g")
    assert asked.question.slip == "tare taken off twice"
    assert asked.instead is not None
    assert asked.instead.said == "191.1 g"


class Unlike:
    """Two blocks that weigh 26 g apart, so that their bookends can be told apart."""

    def __init__(self, shop: Worked) -> None:
        shop.reads = self

    def __call__(self, act: Act) -> str:
        off = {"A/block/weigh-blanks#1": 13.0, "B/block/weigh-blanks#1": -13.0}
        shift = next((g for tail, g in off.items() if act.address.endswith(tail)), 0.0)
        assert act.step is not None
        assert act.step.weigh is not None
        return f"{(act.step.weigh.plan_g or 0.0) + shift:.1f} g"


def test_swapped_twins_are_noticed_and_both_are_put_right(shop: Worked) -> None:
    Unlike(shop)
    shop.until("A/all/weigh-sanded#1")
    a, b = shop.step("A/all/weigh-sanded#1").address, shop.step("B/all/weigh-sanded#1").address
    asked = doubt(shop, "A/all/weigh-sanded#1", "831.2 g")
    assert (asked.question.slip, asked.question.other) == ("other piece", b)
    assert asked.instead is None  # B hasn't been weighed, so nobody knows what A weighs
    shop.weigh("A/all/weigh-sanded#1", "831.2 g", stands=True)
    asked = doubt(shop, "B/all/weigh-sanded#1", "857.0 g")
    assert (asked.question.slip, asked.question.other) == ("other piece", a)
    assert asked.instead is not None
    assert asked.instead.said == "831.2 g"
    record_instead(shop.bench, shop.job, b, asked.instead)
    found = {x: shop.state.weighing_at(x) for x in (a, b)}
    assert {x: w.net_g for x, w in found.items() if w} == {a: 857.0, b: 831.2}


def test_what_stands_is_recorded_with_what_was_asked(shop: Worked) -> None:
    shop.until("A/block/pour#1")
    asked = doubt(shop, "A/block/pour#1", "12.9 g")
    before = len(shop.state.records)
    shop.weigh("A/block/pour#1", "12.9 g", stands=True)
    kept = [r.event for r in shop.state.records[before:]]
    assert [ev.kind_of(e) for e in kept] == ["questioned", "weighed"]
    assert isinstance(kept[0], ev.Questioned)
    assert kept[0].question == str(asked)
    assert kept[0].answer == "it stands"


def test_a_second_weighing_is_expected_like_the_first(shop: Worked) -> None:
    shop.until("A/block/pour#1")
    shop.weigh("A/block/pour#1", "12.9 g", stands=True)
    shop.weigh("A/block/pour#1", "129.4 g", again=True)
    assert doubt(shop, "A/block/pour#1", "12.9 g").question.slip == "decimal point"


def test_a_job_done_as_planned_is_never_asked_about(shop: Worked) -> None:
    state = shop.finish()
    assert "questioned" not in shop.kinds()
    assert len(state.weighings) == 4 + 2 * 5 + 2 * 2


LIGHT = st.floats(-5.0, 5.0)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(score=LIGHT, tail=st.sampled_from(["A/block/pour#2", "A/cover/weigh-blanks#1"]))
def test_within_five_spreads_of_what_is_expected_nothing_is_asked(
    shop: Worked, score: float, tail: str
) -> None:
    step = shop.step(tail)
    scales = {n: r.described for n, r in shop.bench.shop.scales.items()}
    asked = asked_of(shop.state, step, Read(0.0, 0.2), scales)
    assert asked is not None
    read = Read(asked.expected_g + score * asked.spread_g, 0.2)
    assert question_of(shop.state, step, read, scales) is None


@pytest.mark.parametrize("procedure", ["turned-lamp-base", "plane-setting-hammer"])
def test_other_procedures_done_as_planned_are_never_asked_about(
    procedure: str, tmp_path: Path
) -> None:
    shop = Worked(tmp_path)
    shop.start(procedure)
    shop.finish()
    assert "questioned" not in shop.kinds()
    shop.bench.close()


@pytest.mark.parametrize("off", [-0.06, 0.06])
def test_layers_that_pack_six_percent_off_are_a_matter_for_verdicts(
    off: float, tmp_path: Path
) -> None:
    shop = Worked(tmp_path)
    shop.start()

    def reads(act: Act) -> str:
        plan = act.step.weigh.plan_g or 0.0 if act.step and act.step.weigh else 0.0
        return f"{plan * (1 + off):.1f} g" if "pour" in act.address else as_planned(act)

    shop.reads = reads
    shop.until("B/block/pour#4")
    assert "questioned" not in shop.kinds()
    shop.bench.close()


def test_a_job_without_a_plan_is_never_asked_about(tmp_path: Path) -> None:
    from benchmate.bench.starting.starting import start_free

    shop = Worked(tmp_path)
    job = start_free(shop.bench, "odds and ends")
    assert record_weight(shop.bench, job, "", Typed("-3 g", what="cup")) == "Cup: -3 g."
    shop.bench.close()
