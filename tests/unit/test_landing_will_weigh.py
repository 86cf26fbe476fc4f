"""Headings: what a piece is heading for, from records and plans."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmate.landing.course import (
    CourseChange,
    FillCourse,
    LayerCourse,
    Packing,
    PieceCourse,
    Weight,
)
from benchmate.landing.follow import follow, follow_all
from benchmate.landing.will_weigh import all_will_weigh, difference, will_weigh
from tests.unit.landing_help import (
    FILL,
    GAIN_G,
    LEATHER,
    PACKING,
    RESIN_G,
    SANDING,
    bookend,
    layer,
    poured,
)

STILL_G = SANDING.adds_g + LEATHER.adds_g


def test_before_the_first_layer_the_heading_is_the_plan() -> None:
    found = will_weigh(bookend())
    assert found.mass_g == pytest.approx(420.0 + 4 * GAIN_G + STILL_G, abs=0.01)
    assert found.low_g < found.mass_g < found.high_g
    assert found.expanded_g == pytest.approx(1.959964 * found.u_g, rel=1e-5)


def test_contributions_add_up_to_the_heading() -> None:
    found = will_weigh(poured(bookend(), 131.0, 136.0))
    assert math.fsum(c.g for c in found.contributions) == pytest.approx(found.mass_g)
    assert math.fsum(c.share for c in found.contributions) == pytest.approx(1.0)
    assert [c.name for c in found.contributions] == [
        "layer 2",
        "layer 3",
        "layer 4",
        "sanding",
        "leather",
        "moisture",
        "scale",
    ]


def test_each_weighing_makes_the_heading_surer() -> None:
    gains = (GAIN_G, GAIN_G, GAIN_G, GAIN_G)
    doubts = [will_weigh(poured(bookend(), *gains[:n])).u_g for n in range(5)]
    assert doubts == sorted(doubts, reverse=True)
    assert doubts[4] < doubts[0] / 2


def test_a_light_layer_is_made_up_in_part_by_the_next_and_taught_in_part_to_the_rest() -> None:
    before = will_weigh(bookend())
    after = will_weigh(poured(bookend(), GAIN_G - 8.0))
    by_name = {c.name: c.g for c in after.contributions}
    assert by_name["layer 2"] > by_name["layer 3"], "the low line left room above it"
    assert by_name["layer 3"] < GAIN_G, "shot that packs loosely once is expected to again"
    assert before.mass_g - 30.0 < after.mass_g < before.mass_g - 4.0


def test_where_lines_are_hit_exactly_a_light_layer_speaks_of_packing_alone() -> None:
    exact = replace(FILL, line_u=0.0, brim_u=0.0, void_u=0.0, resin_u=0.0)
    tight = replace(exact, packing=Packing(0.6, 0.01, 0.0, 0.0))
    course = bookend("B", *(layer(n, fill=tight) for n in range(1, 5)))
    found = will_weigh(poured(course, GAIN_G - 4.0, u_g=0.001))
    by_name = {c.name: c.g for c in found.contributions}
    for name in ("layer 2", "layer 3", "layer 4"):
        assert by_name[name] == pytest.approx(GAIN_G - 4.0, abs=0.3)


def test_what_is_weighed_out_does_not_hang_on_packing() -> None:
    weighed = bookend("B", *(layer(n, packing=0.55, by="weight") for n in range(1, 5)))
    looser = replace(FILL, packing=Packing.split(0.59, 0.0105))
    other = bookend("B", *(layer(n, packing=0.55, by="weight", fill=looser) for n in range(1, 5)))
    assert will_weigh(weighed).mass_g == pytest.approx(will_weigh(other).mass_g, abs=0.05)
    assert will_weigh(weighed).u_g < will_weigh(bookend()).u_g / 1.5


def test_shot_that_will_not_go_in_is_counted_as_missing() -> None:
    crammed = bookend("B", *(layer(n, packing=0.64, by="weight") for n in range(1, 5)))
    found = will_weigh(crammed)
    planned = 420.0 + sum(s.planned_g for s in crammed.stages)
    missing = {c.name: c.g for c in found.contributions}["shot that may not go in"]
    assert missing < -10.0
    assert found.mass_g == pytest.approx(planned + missing, abs=0.01)


def test_a_weighed_layer_that_came_out_far_light_was_full_and_teaches_packing() -> None:
    course = bookend("B", *(layer(n, packing=0.62, by="weight") for n in range(1, 5)))
    fitted = follow(poured(course, course.stages[0].planned_g)).packing()
    full = follow(poured(course, course.stages[0].planned_g - 9.0)).packing()
    assert fitted is not None
    assert full is not None
    assert fitted.g == pytest.approx(0.6, abs=0.001)
    assert full.g < 0.598


def test_a_split_reading_tells_shot_from_resin() -> None:
    apart = bookend()
    first = apart.stages[0]
    assert isinstance(first, LayerCourse)
    # Same gain, but less shot and more resin than a full layer of it would hold.
    told = replace(first, shot_in=Weight(118.0, 0.3), resin_in=Weight(14.0, 0.3))
    blind = replace(first, gain=Weight(132.0, 0.42))
    packing = follow(apart.with_layers({0: told})).packing()
    guessed = follow(apart.with_layers({0: blind})).packing()
    assert packing is not None
    assert guessed is not None
    assert packing.g < guessed.g - 0.002
    assert packing.u_g < guessed.u_g


def test_a_reading_of_the_whole_replaces_what_was_only_planned() -> None:
    done = replace(SANDING, whole=Weight(968.2, 0.5))
    course = poured(bookend("B", later=(done, LEATHER)), GAIN_G, GAIN_G, GAIN_G, GAIN_G)
    found = will_weigh(course)
    assert found.mass_g == pytest.approx(968.2 + 8.0, abs=0.4)
    assert found.contributions[0].name == "sanding"


def test_a_finished_piece_is_what_it_weighs() -> None:
    last = replace(LEATHER, whole=Weight(974.0, 0.4))
    sanded = replace(SANDING, is_done=True)
    course = poured(bookend("B", later=(sanded, last)), GAIN_G, GAIN_G, GAIN_G, GAIN_G)
    assert course.finished
    found = will_weigh(course)
    assert found.mass_g == pytest.approx(974.0, abs=0.2)
    assert "moisture" not in [c.name for c in found.contributions]
    assert found.u_g < math.hypot(0.4, 0.5) + 1e-9


def test_a_blank_that_is_only_planned_makes_the_heading_as_doubtful_as_its_density() -> None:
    planned = replace(bookend(), blank=Weight(420.0, 42.0))
    assert will_weigh(planned).u_g > 42.0


def test_a_layer_poured_but_not_weighed_is_past_but_still_in_doubt() -> None:
    course = bookend()
    first = course.stages[0]
    assert isinstance(first, LayerCourse)
    unweighed = course.with_layers({0: replace(first, poured=True)})
    found = will_weigh(unweighed)
    assert found.mass_g == pytest.approx(will_weigh(course).mass_g, abs=0.01)
    assert found.u_g == pytest.approx(will_weigh(course).u_g, rel=0.01)
    assert found.contributions[0].name == "layer 1"


def test_one_piece_teaches_the_next_the_packing_of_their_shot() -> None:
    light = poured(bookend("A"), *(GAIN_G - 5.0 for _ in range(4)))
    fresh = bookend("B")
    alone, taught = will_weigh(fresh), all_will_weigh([light, fresh])[1]
    assert taught.mass_g < alone.mass_g - 3.0
    assert taught.u_g < alone.u_g


def test_pieces_with_other_shot_teach_each_other_nothing() -> None:
    other = replace(FILL, shot="bronze")
    light = poured(bookend("A", *(layer(n, fill=other) for n in range(1, 5))), GAIN_G - 9.0)
    assert all_will_weigh([light, bookend("B")])[1].mass_g == will_weigh(bookend("B")).mass_g


def test_what_moves_both_pieces_alike_falls_out_of_their_difference() -> None:
    one, other = all_will_weigh([bookend("A"), bookend("B")])
    apart = difference(one, other)
    assert apart.g == pytest.approx(0.0, abs=1e-9)
    assert apart.u_g < math.hypot(one.u_g, other.u_g)


def test_wax_from_one_material_moves_both_alike_and_leather_each_on_its_own() -> None:
    def pair(change: CourseChange) -> float:
        made = [replace(bookend(name), stages=(change,)) for name in "AB"]
        return difference(*all_will_weigh(made)).u_g

    assert pair(CourseChange("wax", 2.0, 0.5, shared="wax")) == pytest.approx(math.sqrt(2) * 0.5)
    assert pair(CourseChange("wax", 2.0, 0.5)) == pytest.approx(math.sqrt(2) * math.hypot(0.5, 0.5))


def test_a_second_void_begins_anew_but_keeps_what_is_known_of_the_shot() -> None:
    second = replace(FILL, name="second void")
    layers = (*(layer(n) for n in (1, 2)), *(layer(n, fill=second) for n in (3, 4)))
    course = poured(bookend("B", *layers), GAIN_G - 6.0, GAIN_G - 6.0, GAIN_G)
    known = follow(course)
    assert known.fill == second
    both = follow(poured(bookend("B", *(layer(n) for n in range(1, 5))), 132.0, 132.0, GAIN_G))
    here, there = known.packing(), both.packing()
    assert here is not None
    assert there is not None
    assert here.u_g > there.u_g
    assert known.gauss.mean[1] < 0.0, "the shot was light in the first void"


def test_a_piece_without_a_void_has_a_heading_too() -> None:
    plain = PieceCourse("peg", Weight(30.0, 0.1), (CourseChange("sanding", -1.0, 0.2),))
    found = will_weigh(plain)
    assert found.mass_g == pytest.approx(29.0)
    assert found.u_g == pytest.approx(math.hypot(0.1, 0.2))


@settings(max_examples=60)
@given(
    gains=st.lists(st.floats(120.0, 155.0), max_size=4),
    u=st.floats(0.05, 3.0),
    blank=st.floats(300.0, 500.0),
)
def test_any_records_give_a_finite_heading_no_doubtfuller_than_before(
    gains: list[float], u: float, blank: float
) -> None:
    course = bookend("B", blank_g=blank)
    known = follow_all([poured(course, *gains, u_g=u)])[0]
    for row in range(6):
        assert known.gauss.cov[row][row] >= -1e-9
    found = will_weigh(poured(course, *gains, u_g=u))
    assert math.isfinite(found.mass_g)
    assert 0.0 < found.u_g <= will_weigh(course).u_g + 1e-9


@settings(max_examples=30)
@given(shift=st.floats(-50, 50), gains=st.lists(st.floats(125.0, 150.0), max_size=3))
def test_a_heavier_blank_shifts_everything_alike(shift: float, gains: list[float]) -> None:
    plain = will_weigh(poured(bookend("B"), *gains))
    course = bookend("B", blank_g=420.0 + shift)
    moved = will_weigh(replace(poured(course, *gains), wood_g=420.0))
    assert moved.mass_g - plain.mass_g == pytest.approx(shift, abs=1e-6)
    assert moved.u_g == pytest.approx(plain.u_g, rel=1e-9)


def test_a_packing_that_is_no_share_is_refused() -> None:
    with pytest.raises(ValueError, match="share between 0 and 1"):
        Packing(60.0, 0.01, 0.01, 0.01)


def test_shot_lighter_than_resin_is_refused() -> None:
    with pytest.raises(ValueError, match="the shot the denser"):
        FillCourse(PACKING, 1.0, 1.1)


@pytest.mark.parametrize(("g", "u"), [(float("nan"), 1.0), (10.0, -1.0), (10.0, float("inf"))])
def test_a_weight_that_is_none_is_refused(g: float, u: float) -> None:
    with pytest.raises(ValueError, match="weight"):
        Weight(g, u)


def test_a_layers_plan_is_shot_and_resin() -> None:
    assert layer(1).planned_g == pytest.approx(GAIN_G)
    assert layer(1).resin_g == pytest.approx(RESIN_G)
