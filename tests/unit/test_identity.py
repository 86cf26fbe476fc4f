"""What a thing is, its address says; what it is called is for people, and may be said twice."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.weights.adjustments import take, will_weigh_of_job
from benchmate.job.weights.courses import courses
from benchmate.job.weights.drift import to_see
from benchmate.job.words.distinct_names import shown_names
from benchmate.landing.adjusting.adjustment import LayerChange, PieceChange
from benchmate.landing.course import LayerCourse, Weight
from benchmate.plan.plan import Plan
from tests.tui.benches import POUR, Shop, filled_plan
from tests.unit.shop_of_tests import plan as small_plan


def alike(plan: Plan) -> Plan:
    """The plan, with both its pieces called the same."""
    pieces = tuple(msgspec.structs.replace(p, label="bookend") for p in plan.pieces)
    return msgspec.structs.replace(plan, pieces=pieces)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path).small(alike(filled_plan()))


def test_two_pieces_of_one_name_have_each_its_own_heading(shop: Shop) -> None:
    job = shop.bench.shop.jobs["t"]
    found = will_weigh_of_job(job, {})
    assert [h.piece for h in found] == ["bookend", "bookend"]
    assert [h.address for h in found] == ["t/A", "t/B"]
    # Causes of their own stay their own: none of them moves the other.
    assert not any("t/A" in key for key in found[1].shared)


def test_a_change_finds_its_layer_by_its_address(shop: Shop) -> None:
    job = shop.bench.shop.jobs["t"]
    course = courses(job, {})[1]
    place, layer = next((n, s) for n, s in enumerate(course.stages) if isinstance(s, LayerCourse))
    change = LayerChange(place, layer.name, 117.0, 124.0, 11.0, 10.0, address=layer.address)
    plan, amounts = take(job, [PieceChange("bookend", (change,), 800.0, Weight(810.0, 2.0))])
    assert {a.address for a in amounts} == {"t/B/block/pour#1"}
    shot = {la.address: la.shot_g for fill in plan.fills for la in fill.layers}
    assert [a for a, g in shot.items() if g == 124.0] == ["t/B/block/pour#1"]


def test_pieces_of_one_name_are_told_apart_where_they_are_shown(shop: Shop) -> None:
    names = shown_names(shop.bench.shop.live)
    assert list(names) == [("t", "A"), ("t", "B")]
    one, other = (msgspec.structs.replace(small_plan(), job=f"pair-{n}") for n in (1, 2))
    for plan in (one, other):
        shop.bench.do(plan.job, cmd.StartJob(job=plan.job, title=plan.title, plan=plan))
    named = shown_names([j for j in shop.bench.shop.live if j.job != "t"])
    assert named["pair-1", "A"] == "bookend A (1)"
    assert named["pair-2", "A"] == "bookend A (2)"


def test_what_was_seen_by_an_older_benchmates_words_stays_seen(shop: Shop) -> None:
    """Its key held the sentence itself, with the window's label."""
    shop.mix()
    for address in (POUR.format(p, n) for p in "AB" for n in (1, 2)):
        shop.bench.do("t", cmd.Weigh(address=address, net_g=127.0))
    shop.bench.do("t", cmd.MarkDone(address="t/B/block/cap#1"))
    shop.clock.tick(2 * 3600.0)
    shop.bench.do("t", cmd.MarkDone(address="t/B/cover/spread#1", anyway=True))
    bench, version = shop.bench, shop.bench.shop.jobs["t"].version
    (early,) = to_see(bench.shop.jobs["t"], bench.shop.around, bench.now_s())
    assert early.key == f"time {version} before t/B/block/cap#1:cure"
    said_then = f"time {version} 22 h before bookend B, cure was due"
    bench.do("t", cmd.See(keys=(said_then,)))
    assert to_see(bench.shop.jobs["t"], bench.shop.around, bench.now_s()) == ()
