"""Weights that are asked about before they count: far from the plan, finer than the scale."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench.weights.slips import Doubtful, far_from_plan
from benchmate.bench.weights.weighing import Typed, record_weight
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import SCALES
from benchmate.landing.words import grams
from benchmate.plan.plan import Step, WeighPoint
from benchmate.refusal import Refused
from tests.hand_made import record
from tests.tui.benches import Shop

WHOLE = WeighPoint(kind="whole", plan_g=850.0, tolerance_g=8.0, what="piece")
BLANK = WeighPoint(kind="whole", plan_g=298.0, tolerance_g=30.0, what="block", weighed="blank")
CAP = WeighPoint(kind="gain", plan_g=3.6, tolerance_g=2.0, what="cap")
LAYER = WeighPoint(kind="gain", plan_g=128.0, tolerance_g=4.0, what="layer 1")


@pytest.mark.parametrize(
    ("point", "net_g", "asked"),
    [
        (WHOLE, 5.0, True),
        (WHOLE, 844.0, False),
        (WHOLE, 424.0, True),
        (WHOLE, 1701.0, True),
        (WHOLE, 500.0, False),
        (BLANK, 5.0, True),
        (BLANK, 200.0, False),
        (CAP, 0.5, False),
        (CAP, 9.0, False),
        (CAP, 40.0, True),
        (LAYER, 5.0, True),
        (LAYER, 60.0, False),
        (LAYER, 600.0, True),
    ],
)
def test_a_weight_that_nothing_explains_is_asked_about(
    point: WeighPoint, net_g: float, *, asked: bool
) -> None:
    step = Step(address="t/A/block/x#1", do="Weigh", act="weighed", weigh=point)
    found = far_from_plan(step, net_g, grams)
    assert (found is not None) == asked
    assert found is None or f"than the plan's {grams(point.plan_g or 0.0, 1.0)}" in found.sentence


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    made = Shop(tmp_path)
    made.bookends()
    return made


def scale(shop: Shop, division_g: float) -> None:
    now = shop.bench.now()
    record(
        shop.bench,
        (
            SCALES,
            ev.ScaleDescribed(
                happened=now, recorded=now, name="bench scale", division_g=division_g
            ),
        ),
    )


def weigh(shop: Shop, text: str, tare: str = "") -> str:
    address = "matched-bookends-1/A/block/weigh-blanks#1"
    return record_weight(shop.bench, shop.job, address, Typed(text, tare=tare))


def test_five_grams_for_a_block_of_297_are_asked_about(shop: Shop) -> None:
    with pytest.raises(Doubtful, match="5 g is far less than the plan's 297 g"):
        weigh(shop, "5 g")


def test_a_piece_below_nothing_is_refused_whatever_is_said(shop: Shop) -> None:
    with pytest.raises(Refused, match="A weight below zero") as refused:
        weigh(shop, "-5 g")
    assert not isinstance(refused.value, Doubtful)
    with pytest.raises(Refused, match="A weight below zero"):
        weigh(shop, "20 g", tare="300 g")


@pytest.mark.parametrize(
    ("division_g", "text", "instead"),
    [
        (1.0, "298.43 g", "298 g"),
        (1.0, "298 g", None),
        (1.0, "298.0 g", None),
        (0.1, "298.43 g", "298.4 g"),
        (0.1, "298.4 g", None),
        (0.5, "298.3 g", "298.5 g"),
        (2.0, "299 g", "300 g"),
        (1.0, "10.53 oz", None),
        (1.0, "298 g; 298.4 g", ""),
    ],
    ids=[
        "finer",
        "as it shows",
        "a nought more",
        "hundredths",
        "tenths",
        "between halves",
        "odd on even",
        "ounces have steps of their own",
        "one of two readings",
    ],
)
def test_what_the_scale_can_t_show_is_asked_about_with_what_it_would_show(
    shop: Shop, division_g: float, text: str, instead: str | None
) -> None:
    scale(shop, division_g)
    if instead is None:
        weigh(shop, text)
        return
    with pytest.raises(Doubtful, match="shows more than bench scale can") as asked:
        weigh(shop, text)
    found = asked.value.instead
    assert (found.said if found else "") == instead


def test_where_no_scale_is_described_any_digits_may_be_read(shop: Shop) -> None:
    weigh(shop, "298.43 g")
