"""A job's plan and records as courses: what each record means for the heading."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.events.stored import ScaleDescribed
from benchmate.job.state.state import Weighing
from benchmate.job.weights.courses import courses, doubt_of
from benchmate.landing.course import CourseChange, LayerCourse, PieceCourse
from tests.unit.loop_help import Worked

ROOT3 = math.sqrt(3.0)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Worked]:
    shop = Worked(tmp_path)
    shop.start()
    yield shop
    shop.bench.close()


def course(shop: Worked, n: int = 0) -> PieceCourse:
    scales = {name: r.described for name, r in shop.bench.shop.scales.items()}
    return courses(shop.state, scales)[n]


def change(of: PieceCourse, name: str) -> CourseChange:
    found = next(s for s in of.stages if s.name == name)
    assert isinstance(found, CourseChange)
    return found


def layers(of: PieceCourse) -> list[LayerCourse]:
    return [s for s in of.stages if isinstance(s, LayerCourse)]


def test_what_a_step_takes_has_the_doubt_that_the_file_gives_as_a_bound(shop: Worked) -> None:
    sanding = change(course(shop), "outside")  # takes = "8 g ± 3 g"
    assert (sanding.adds_g, sanding.u_g) == pytest.approx((-8.0, 3.0 / ROOT3))
    assert sanding.adjustable


def test_what_dries_is_known_less_well_than_what_is_cut_off(shop: Worked) -> None:
    oil, sanding = change(course(shop), "oil"), change(course(shop), "outside")
    assert oil.u_g / oil.adds_g > 1.5 * sanding.u_g / -sanding.adds_g


def test_the_course_adds_up_to_the_plans_last_weight(shop: Worked) -> None:
    found = course(shop)
    finished = shop.step("A/all/weigh-finished#1").weigh
    assert finished is not None
    total = found.blank.g + sum(s.planned_g for s in found.stages)
    assert total == pytest.approx(finished.plan_g)


def test_a_blank_is_planned_until_it_is_weighed(shop: Worked) -> None:
    assert course(shop).blank.u_g > 20.0
    shop.weigh("A/block/weigh-blanks#1", "300.4 g")
    assert course(shop).blank.g == pytest.approx(300.4)
    assert course(shop).blank.u_g < 0.1
    assert course(shop).blank_plan_g == pytest.approx(292.8, abs=0.1)


def test_a_cover_counts_from_the_start_with_what_it_weighed(shop: Worked) -> None:
    shop.weigh("A/cover/weigh-blanks#1", "41.2 g")
    cover = course(shop).stages[0]
    assert (cover.name, cover.planned_g, cover.done) == ("cover", 41.2, False)


def test_a_poured_layer_is_done_and_a_weighed_one_has_its_gain(shop: Worked) -> None:
    shop.until("A/block/pour#1")
    first = layers(course(shop))[0]
    assert first.done
    assert first.gain is None
    shop.weigh("A/block/pour#1", "126.0 g")
    first = layers(course(shop))[0]
    assert first.gain is not None
    assert first.gain.g == 126.0
    assert [layer.done for layer in layers(course(shop))] == [True, False, False, False]


def test_a_layer_that_was_skipped_is_not_in_the_piece(shop: Worked) -> None:
    shop.until("A/block/pour#1")
    before = course(shop)
    shop.bench.do(shop.job, cmd.Skip(address="A/block/pour#4", reason="full"))
    found = course(shop)
    assert len(layers(found)) == 3
    assert len(found.stages) == len(before.stages) - 1


def test_a_coat_that_was_skipped_adds_nothing(shop: Worked) -> None:
    coat = change(course(shop), "oil")
    before = sum(s.planned_g for s in course(shop).stages)
    shop.bench.do(shop.job, cmd.Skip(address="A/all/oil#1", reason="bare wood wanted"))
    assert sum(s.planned_g for s in course(shop).stages) == pytest.approx(before - coat.adds_g)


def test_a_skipped_weight_leaves_its_layer_poured(shop: Worked) -> None:
    act = shop.until("A/block/pour#1")
    shop.bench.do(shop.job, cmd.Skip(address=act.address, reason="forgot"))
    first = layers(course(shop))[0]
    assert first.poured
    assert first.gain is None


def test_only_a_last_layer_without_a_cap_ends_at_the_brim(shop: Worked) -> None:
    assert not any(layer.at_brim for layer in layers(course(shop)))
    plan = shop.state.plan
    assert plan is not None
    import msgspec

    bare = tuple(msgspec.structs.replace(f, cap_g=0.0) for f in plan.fills)
    open_ = replace(shop.state, plan=msgspec.structs.replace(plan, fills=bare))
    found = layers(courses(open_, {})[0])
    assert [layer.at_brim for layer in found] == [False, False, False, True]


def test_a_whole_weighing_settles_everything_before_it(shop: Worked) -> None:
    shop.until("A/all/weigh-sanded#1")
    shop.weigh("A/all/weigh-sanded#1", "846.0 g")
    found = course(shop)
    place = next(i for i, s in enumerate(found.stages) if s.name == "outside")
    weighed = found.stages[place].whole
    assert weighed is not None
    assert weighed.g == 846.0
    assert all(s.done for s in found.stages[: place + 1])
    assert not any(s.done for s in found.stages[place + 1 :])


def test_a_spoiled_piece_has_no_course(shop: Worked) -> None:
    shop.bench.do(shop.job, cmd.Spoil(piece="A", reason="dropped"))
    assert [c.piece for c in courses(shop.state, {})] == ["bookend B"]


def described(**more: float) -> ScaleDescribed:
    from benchmate.moment import Moment

    return ScaleDescribed(happened=Moment(0), recorded=Moment(0), name="s", division_g=1.0, **more)  # type: ignore[arg-type]


def weighing(u_g: float | None) -> Weighing:
    from benchmate.moment import Moment

    return Weighing("x", 100.0, 1, Moment(0), 100.0, u_g, "s", 1.0)


TWO_ROUNDINGS = math.sqrt(2.0) / (2.0 * ROOT3)


@pytest.mark.parametrize(
    ("u_g", "scale", "expected"),
    [
        pytest.param(None, described(), TWO_ROUNDINGS, id="division alone"),
        pytest.param(
            None,
            described(repeatability_g=0.6),
            math.hypot(TWO_ROUNDINGS, 0.6 * math.sqrt(2.0)),
            id="two readings that repeat so well",
        ),
        pytest.param(0.7, described(), 0.7, id="as recorded"),
        pytest.param(
            math.hypot(0.7, 0.9 / ROOT3), described(linearity_g=0.9), 0.7, id="less linearity"
        ),
        pytest.param(
            0.5, described(linearity_g=0.9), TWO_ROUNDINGS, id="never less than two roundings"
        ),
    ],
)
def test_linearity_is_left_out_of_a_records_doubt_since_the_piece_counts_it_once(
    u_g: float | None, scale: ScaleDescribed, expected: float
) -> None:
    assert doubt_of(weighing(u_g), {"s": scale}) == pytest.approx(expected)


def test_the_worst_linearity_in_the_shop_counts_once_for_the_piece(shop: Worked) -> None:
    assert course(shop).scale_u_g == 0.0
    shop.scale("of unknown linearity", 0.1)
    assert course(shop).scale_u_g == 0.0
    shop.scale("fine", 0.1, linearity_g=0.3)
    shop.scale("kitchen", 1.0, linearity_g=1.5)
    assert course(shop).scale_u_g == pytest.approx(1.5 / ROOT3)


READING_U_G = 1.0 / (2.0 * ROOT3)
"""One reading of a scale of 1 g: rounding alone."""


@pytest.mark.parametrize(
    ("tares", "readings"),
    [
        pytest.param(("", ""), 4.0, id="the scale set to zero each time"),
        pytest.param(("62 g", "47 g"), 4.0, id="a tare each"),
        # GUM F.1.2.3: two gross readings and twice the one tare: 1 + 1 + 2².
        pytest.param(("62 g", "62 g"), 6.0, id="one tare for both"),
    ],
)
def test_parts_that_share_a_tare_are_less_well_known_together(
    shop: Worked, tares: tuple[str, str], readings: float
) -> None:
    shop.scale("kitchen", 1.0)
    for tail, g, tare in zip(("block", "cover"), (293, 40), tares, strict=True):
        gross = g + (int(tare.split()[0]) if tare else 0)
        shop.weigh(f"A/{tail}/weigh-blanks#1", f"{gross} g", tare=tare)
    found = course(shop)
    cover = found.stages[0]
    assert isinstance(cover, CourseChange)
    variance = found.blank.u_g**2 + cover.u_g**2
    assert variance == pytest.approx(readings * READING_U_G**2)


def test_layers_poured_in_one_cup_whose_tare_is_typed_each_time_share_it(shop: Worked) -> None:
    shop.scale("kitchen", 1.0)
    for n in (1, 2, 3):
        shop.until(f"A/block/pour#{n}")
        shop.weigh(f"A/block/pour#{n}", "191 g", tare="62 g")
    gains = [layer.gain for layer in layers(course(shop)) if layer.gain is not None]
    variance = sum(g.u_g**2 for g in gains)
    assert variance == pytest.approx((3 + 3**2) * READING_U_G**2)


def test_what_was_added_to_a_layer_is_kept_apart(shop: Worked) -> None:
    shop.until("A/block/pour#1")
    for text, adding in (("350 g", ""), ("467.5 g", "shot"), ("478.6 g", "resin")):
        from benchmate.bench.weights.weighing import Typed, record_weight

        record_weight(
            shop.bench, shop.job, "A/block/pour#1", Typed(text, adding=adding), running=True
        )
    shop.weigh("A/block/pour#1", "478.6 g")
    first = layers(course(shop))[0]
    assert first.shot_in is not None
    assert first.resin_in is not None
    assert (first.shot_in.g, first.resin_in.g) == pytest.approx((117.5, 11.1))
